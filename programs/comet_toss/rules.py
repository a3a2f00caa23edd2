"""What is demanded of comet_toss: of its tags, and of what the machine truly does.

Each rule says under which faults it must hold: "none" (the default), "single" (any one) or "pair".
"""

from simplant import BOOL, LREAL, minutes, ms, seconds, to_type
from simplant.rules import (
    aim_within,
    always,
    at,
    at_most_for,
    count_at_most,
    count_equals,
    dead_time,
    lasted,
    no_restart_by_itself,
    served_in_order,
    settles_within,
    steps_end,
    total_at_most,
    trip_latched,
    within,
)

# the worst within the tolerances of the parts
LIMIT, TABLE_SPEED, TABLE_RAMP = 60.0 * 1.005, 40.0 * 1.02, 160.0 * 0.95  # deg, deg/s, deg/s2
REACTION = 0.0015 + 0.001 + 0.010 + 0.002 + 0.001 + 0.002  # s: sensor, filter, scan, execution, output, poll
STOPPING = TABLE_SPEED * REACTION + TABLE_SPEED**2 / (2 * TABLE_RAMP)  # deg
FARTHEST = LIMIT + STOPPING  # deg
HOMED = 60.0 * 0.005 + 0.5 * 0.2 + (STOPPING - 5.4) + 0.1 * 40.0 * 0.02  # deg: edge, hysteresis, the way past them
RUN_TIME = (
    0.002 + 2 * 0.001
)  # s by which a run may be longer or shorter than told: polls, jitter of the scan at both ends
AIMED = HOMED + 0.02 * 100.0 + 0.2 + 0.3 * 1.5  # deg: and speed over the longest way, half a scan's way, backlash
AIMED += 6 * RUN_TIME * TABLE_SPEED  # deg: and the times of all runs between two homings
SLOWEST = (
    0.998 * (48.0 * 0.98 - 0.4 * 1.3 * 0.3 * 1.3) / (0.2 * 1.05)
)  # rad/s: three seconds on, idling on a low supply
UNSEEN = ms(6)  # a mode that turned less than filter, scan and output before a command may have been unseen
FASTEST = 48.0 * 1.02 / (0.2 * 0.95)  # rad/s

LONGEST = {  # every step but those that wait for people: off, ready, wait, stopping, jog, tripped
    "lower": ms(320), "home_lift": ms(10_020), "lowered": ms(320), "home_left": ms(6100), "home_rest": ms(520),
    "home_turn": ms(320), "home_right": ms(2100), "homed": ms(520), "turn_up": ms(320), "raise": ms(5220),
    "aim_way": ms(320), "aim": seconds(3), "settle": ms(520), "load": ms(15_100), "warn": ms(1620), "toss": ms(150),
    "leave": ms(1100), "air": ms(25_100),
}  # fmt: skip


def build(machine):
    """Give the claims."""
    t, truth = machine.program.tags, machine.truth
    memory = machine.program.memories
    cycle = machine.program.charts["cycle"]
    angle, speed, elevation = truth("table.angle"), truth("wheel.speed"), truth("lift.elevation")
    stopped = truth("estop.pressed") | truth("door.open")
    start, reset = truth("start.pressed"), truth("reset.pressed")
    wheel_on = truth("wheel_contactor.closed") & truth("drive_48.closed")
    lift_on = truth("lift_feed.closed") & truth("drive_12.closed")
    table_on = truth("pulses.table_move") & truth("drive_24.closed")
    driven = wheel_on | lift_on | table_on
    to_right = truth("pulses.busy") & truth("pulses.table_right")
    to_left = truth("pulses.busy") & ~truth("pulses.table_right")
    commands = t.wheel_run_cmd | t.lift_run_cmd | t.table_run_cmd | t.gate_release_cmd
    up = {volts: truth(f"supply{volts}.healthy") for volts in (48, 24, 12, 5)}
    supplies = up[48] & up[24] & up[12] & up[5]
    alone = truth("balls.met_no_arm") == 0  # fed so that it comes while the arm is away: only whoever feeds can help it
    launching = to_type(truth("balls.in_launcher"), BOOL)  # a fact: how far a count is from 0 is no margin
    flying = to_type(truth("balls.in_flight"), BOOL)
    leaving = t.gate_release_cmd | launching
    shining = truth("lamp_yellow.lit")
    wanted = to_type(memory["target"], LREAL) / 10.0
    high = memory["high"]
    tossing = cycle.among("toss", "leave")
    out_of_service = cycle.among("off", "tripped")
    mode_turned = (truth("mode.bit_0") ^ memory["mode_was_1"]) | (truth("mode.bit_1") ^ memory["mode_was_2"])
    dark = ~t.beacon_red & ~t.beacon_green  # not started, or the controller without power

    return [
        # what must hold whatever single thing fails
        trip_latched(stopped, driven, reset=reset, start=start, stop_within=ms(100), faults="single",
                     name="a stop removes drive power", text="after emergency stop or door opening no drive is energised "
                     "within 100 ms, nor until a reset and then a start"),
        trip_latched(stopped, truth("gate.passing") & truth("wheel.turning"), reset=reset, start=start,
                     stop_within=ms(120), faults="single", name="no ball after a stop",
                     text="after a stop no ball passes the gate while the wheel still turns, 120 ms for the arm to come back"),
        no_restart_by_itself(driven, start=start, after=stopped | out_of_service | dark, lag=ms(100), faults="single",
                             name="nothing starts by itself", text="power, reset, door or a stop's end never start motion"),
        no_restart_by_itself(commands, start=start, after=mode_turned, lag=UNSEEN, faults="single",
                             name="the mode switch starts nothing"),
        no_restart_by_itself(t.table_run_cmd | t.lift_run_cmd | t.gate_release_cmd, start=start, faults="single",
                             after=mode_turned, lag=UNSEEN, name="no motion after the mode switch",
                             text="after the mode switch was turned no axis moves and no ball is released without a new start"),
        at_most_for((truth("mode.position") == 3) & ~truth("enable.pressed") & (table_on | lift_on | (wheel_on & ~tossing)), ms(300),
                    faults="single", name="service by hand only",
                    text="in service no drive is energised for longer than 300 ms unless the hold-to-run button is held; "
                         "a toss under way is finished"),
        within(~commands, ms(1300), after=truth("stop.pressed"), name="a stop is obeyed",
               text="the stop button ends all motion, a toss under way finished, within 1.3 s"),
        always(truth("lamp_red.lit").implies(~shining & ~truth("lamp_green.lit")), name="red stands alone",
               text="the red lamp never shines with yellow or green"),

        # before and during a toss
        at(truth("gate.passing"), (speed >= SLOWEST) & (speed <= FASTEST), name="wheel at speed", scale=10.0, unit="rad/s",
           text=f"no ball is released unless the wheel truly turns within its band ({SLOWEST:.0f} to {FASTEST:.0f} rad/s)"),
        at(t.gate_release_cmd, shining, name="warned", text="a release comes only under the yellow lamp"),
        lasted(shining, ms(1500), before=t.gate_release_cmd, name="warned long enough",
               text="the warning has lasted 1.5 s without a break before each release"),
        at(t.gate_release_cmd & alone, truth("balls.settled"), name="ball at rest", text="the ball has settled before release"),
        always(leaving.implies(~truth("table.moving") & ~truth("lift.moving")), name="axes at rest",
               text="no axis moves from release until the ball has left"),
        always((launching & alone).implies(truth("balls.in_launcher") < 2), name="one ball at a time",
               text="no second ball is released while one is in the launcher"),
        always((flying & alone).implies(truth("balls.in_flight") < 2), name="one ball in the air"),
        aim_within(angle, wanted, AIMED, at_=t.gate_release_cmd, unit="deg", name="aimed"),
        aim_within(elevation, 29.0, 5.0, at_=t.gate_release_cmd & ~high, unit="deg", name="raised"),
        aim_within(elevation, 49.5, 10.0, at_=t.gate_release_cmd & high, unit="deg", name="raised high"),  # blind: 5 s at 10 %

        # axes
        always(to_right.implies(angle <= FARTHEST) & to_left.implies(angle >= -FARTHEST),
               name="stops past a limit", scale=1.0, unit="deg",
               text=f"a driven table stops within its stopping distance past a limit ({FARTHEST:.2f} deg)"),
        dead_time(t.table_run_cmd | t.pulses_busy, t.table_right_cmd, ms(100), name="table turns from rest"),
        dead_time(t.lift_run_cmd, t.lift_up_cmd, ms(150), name="lift turns from rest"),
        total_at_most(truth("lift_feed.closed"), share="0.25", window=minutes(2), name="lift duty"),
        at_most_for(t.lift_run_cmd, seconds(12), name="lift's longest run"),
        count_at_most(t.gate_release_cmd, 6, reset=cycle["homed"], name="homed often enough"),

        # sequence
        always(commands.implies(supplies), name="supplies settled", text="nothing is commanded before all four supplies are up"),
        steps_end("cycle", LONGEST, unless=dark, name="each step ends"),
        within(~commands, ms(50), after=memory["trip"], faults="single", name="a trip drops all commands"),
        within(~truth("wheel.turning") | (wheel_on & ~stopped), seconds(16), after=stopped, name="wheel comes to rest",
               text="after a stop the wheel coasts, for 16 s at most, unless it is started again"),
        *[within((cycle["toss"] & (memory["spot"] == n)) | cycle.among("off", "ready", "tripped"), minutes(3),
                 after=memory[f"want_{n}"], name=f"call {n} served", text=f"a call at spot {n} is served within 3 min, "
                 "unless the machine is stopped") for n in range(1, 6)],
        served_in_order([memory[f"want_{n}"] for n in range(1, 6)],
                        [cycle["toss"] & (memory["spot"] == n) for n in range(1, 6)],
                        accepting=~cycle.among("off", "ready", "tripped"), name="calls in order",
                        text="calls are served in the order in which they came"),
        settles_within(truth("supply24.healthy").implies(t.wheel_contactor_dropped == ~truth("wheel_contactor.closed")),
                       ms(100), name="contactor seen"),
        settles_within(truth("lamp_red.lit").implies(out_of_service), ms(100), name="red means out of service"),
        settles_within((cycle["tripped"] & truth("supply24.healthy")).implies(truth("lamp_red.lit")), seconds(3),
                       name="tripped shows red", text="a trip shows red, but for the controller's boot after a power dip"),
        count_equals(memory["tosses"], truth("balls.launched"), settle=ms(300), while_=alone & (memory["tosses"] < 32000),
                     name="tosses counted"),
        always(memory["tosses"] >= 0, name="the toss count does not turn over"),
        within(launching | stopped | memory["trip"] | dark, ms(400), after=t.gate_release_cmd,
               name="a release lets a ball go", text="a release lets a ball go, unless a stop comes between"),
    ]  # fmt: skip
