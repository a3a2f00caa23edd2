"""The control program of comet_toss, as a sequence on a table and rungs around it.

Axes: the table is homed on its left limit and positioned by time from there; the lift has no feedback and is
homed by driving down longer than its worst stroke. Angles are in tenths of a degree.
"""

from simplant import INT, TIME, Alarm, Program, Step, abs_, constant, go, min_, ms, seconds, select, to_type

SPOTS = (1, 2, 3, 4, 5)
SPOT_ANGLE = (-500, -250, 0, 250, 500)  # 0.1 deg
HOME = -500  # spot 1: where the table stands after homing, left the limit at -59.5 deg, ran on for 0.1 s and braked
TENTHS_PER_SCAN, MS_PER_SCAN = 4, 10  # 40 deg/s in whole scans; true of ways above the 10 deg that the ramps take
TOSSES_PER_HOMING = 6
EARLY = constant(ms(5), TIME)  # half a scan: a scan that comes a little early must not add a whole one to the way
RAISE_LOW, RAISE_HIGH = constant(ms(1780), TIME), constant(ms(5200), TIME)  # from the bottom, before coasting


def watch_wheel(p):
    """Time each 8 pulses of the wheel, one a turn; give whether it turns fast enough to toss (219 rad/s)."""
    t, turns, lap = p.tags, p.memory("wheel_turns", INT), p.memory("wheel_lap")
    at_speed = p.memory("wheel_at_speed")
    pulse = p.rising("wheel_edge", t.wheel_pulse)
    late = p.ton("wheel_late", ~lap, ms(230))
    p.move(turns.becomes(turns + 1), when=pulse)
    p.set(at_speed, lap & t.wheel_run_cmd)
    p.reset(at_speed, late.Q | ~t.wheel_run_cmd)
    p.move(lap.becomes(turns >= 8))
    p.move(turns.becomes(0), when=turns >= 8)
    return at_speed


def build(tags):
    """Make the program."""
    p = Program("comet_toss", tags)
    t = p.tags
    # what the operator and the visitors want
    reset = p.falling("reset_edge", t.reset_pressed)  # on letting go: drive power is back by then
    calls_mode = p.let("calls_mode", t.mode_1 & ~t.mode_2)
    tour_mode = p.let("tour_mode", t.mode_2 & ~t.mode_1)
    service_mode = p.let("service_mode", t.mode_1 & t.mode_2)
    mode_was_1, mode_was_2 = p.memory("mode_was_1"), p.memory("mode_was_2")
    mode_moved = p.let("mode_moved", (t.mode_1 ^ mode_was_1) | (t.mode_2 ^ mode_was_2))
    p.move(mode_was_1.becomes(t.mode_1), mode_was_2.becomes(t.mode_2))
    start = p.let("start", p.rising("start_edge", t.start_pressed) & ~mode_moved, "never while the mode turns")

    # memory
    queue = [p.memory(f"queue_{n}", INT, description=f"spot served {n}. from now") for n in SPOTS]
    spot = p.memory("spot", INT, description="spot being served, 1 to 5")
    angle = p.memory("angle", INT, initial=HOME, description="where the table is thought to be, 0.1 deg")
    target = p.memory("target", INT, description="where it is to go")
    travel = p.memory("travel", TIME, description="run time to get there")
    halt = p.memory("halt", INT, description="where it comes to in that time, 0.1 deg")
    go_right = p.memory("go_right")
    go_up = p.memory("go_up")
    high = p.memory("high", description="the lift is to be at its high elevation")
    since_homing = p.memory("since_homing", INT, initial=TOSSES_PER_HOMING)
    from_limit = p.memory("from_limit", description="homing began on the left limit: left at a crawl, way not counted")
    tour_at = p.memory("tour_at", INT, description="tosses made in this tour, 0 to 10")
    arm_seen = p.memory("arm_seen", description="the arm has crossed the gate sensor in this toss")
    ball_gone = p.memory("ball_gone", description="the ball of this toss has left the gate")
    tosses = p.memory("tosses", INT, retain=True, description="tosses since service")
    lost = p.memory("balls_lost", INT, retain=True)
    quickest = [p.memory(f"quickest_{n}", TIME, retain=True, initial=seconds(99)) for n in SPOTS]

    # the sequence
    cycle = p.sequence("cycle", [
        Step("off", description="power is up, or a trip was reset; a reset is wanted"),
        Step("ready", description="a start is wanted"),
        Step("lower", entry=[go_up.becomes(False), go_right.becomes(False)], description="relays come to rest"),
        Step("home_lift", description="down for longer than the worst stroke"),
        Step("lowered"),
        Step("home_left", limit=seconds(6), on_limit="tripped", entry=[from_limit.becomes(t.table_at_left)]),
        Step("home_rest"),
        Step("home_turn", entry=[go_right.becomes(True)]),
        Step("home_right", limit=seconds(2), on_limit="tripped"),
        Step("homed", entry=[angle.becomes(HOME), since_homing.becomes(0)]),
        Step("turn_up", entry=[go_up.becomes(True)]),
        Step("raise"),
        Step("wait"),
        Step("aim_way"),
        Step("aim", exit=[angle.becomes(halt)]),
        Step("settle"),
        Step("load", limit=seconds(15), on_limit="tripped"),
        Step("warn"),
        Step("toss", entry=[arm_seen.becomes(False), ball_gone.becomes(False), since_homing.becomes(since_homing + 1)]),
        Step("leave", limit=seconds(1), on_limit="tripped"),
        Step("air"),
        Step("stopping"),
        Step("jog"),
        Step("tripped"),
    ])  # fmt: skip
    running = cycle.among(
        "lower", "home_lift", "lowered", "home_left", "home_rest", "home_turn", "home_right", "homed", "turn_up", "raise", "wait", "aim_way",
        "aim", "settle", "load", "warn", "toss", "leave", "air",
    )  # fmt: skip

    # trips: protective stops, latched until a reset finds the cause gone
    right_edge = p.rising("right_edge", t.table_at_right)
    left_edge = p.rising("left_edge", t.table_at_left)
    beam = p.rising("beam_edge", t.return_beam)
    homing_left = cycle["home_left"]
    table_moving = t.table_run_cmd
    both = t.table_at_left & t.table_at_right
    welded = p.ton("wheel_welded_timer", ~t.wheel_run_cmd & ~t.wheel_contactor_dropped, ms(300))
    not_closing = p.ton("wheel_open_timer", t.wheel_run_cmd & t.wheel_contactor_dropped, ms(300))
    busy_late = p.ton("busy_timer", t.pulses_busy & ~t.table_run_cmd, seconds(1))
    moved = p.tof("moved_timer", t.table_run_cmd, ms(200))
    not_busy = p.ton("not_busy_timer", moved.Q & ~t.pulses_busy, ms(50))  # late, or it starts anew and steps are lost
    watched = [watch_wheel(p)] if any(tag.name == "wheel_pulse" for tag in tags) else []  # programs/comet_toss_watched
    slow = [p.ton("wheel_slow_timer", t.wheel_run_cmd & ~at_speed, seconds(5)).Q | (cycle.among("warn", "toss") & ~at_speed)
            for at_speed in watched]  # fmt: skip
    alarms = p.alarms("alarm", reset=reset, rows=[
        Alarm("estop", ~t.estop_healthy & ~p.first_scan & ~cycle.among("off"), "emergency stop, or drive power gone", "unlatch, then reset"),
        Alarm("guard_open", ~t.guard_closed & ~p.first_scan & ~cycle.among("off"), "the guard door was opened", "close it, then reset"),
        Alarm("reset_in_service", t.reset_pressed & (running | cycle["jog"]),
              "reset was pressed in service: drive power may have been gone unseen", "prove emergency stop and guard, reset again"),
        Alarm("both_limits", both, "both table limits are on at once", "check the limit wires"),
        Alarm("wrong_limit", (homing_left & right_edge) | (table_moving & ~t.table_right_cmd & right_edge)
              | (table_moving & t.table_right_cmd & left_edge), "the table came to the limit it moved away from", "check the limit wires"),
        Alarm("overtravel", cycle["aim"] & ((t.table_right_cmd & t.table_at_right) | (~t.table_right_cmd & t.table_at_left)),
              "the table came to a limit while aiming", "home again; check belt and steps"),
        Alarm("home_lost", cycle.overtime("home_left", "home_right"), "the left limit was not found, or not left", "check limit and drive"),
        Alarm("no_ball", cycle.overtime("load"), "no ball came to the gate", "put balls into the funnel"),
        Alarm("gate_jam", cycle.overtime("leave"), "the gate did not open and close", "check arm and gate sensor"),
        Alarm("wheel_welded", welded.Q, "the wheel contactor does not drop", "replace the contactor"),
        Alarm("wheel_open", not_closing.Q, "the wheel contactor does not pull in", "check coil and drive power"),
        Alarm("pulses_lost", busy_late.Q | not_busy.Q, "the pulse controller does not follow", "check its supply and lines"),
        *(Alarm("wheel_slow", cause, "the wheel is slower than a toss needs", "check motor and sensor") for cause in slow),
    ])  # fmt: skip
    trip = p.let("trip", alarms.any)

    # the calls of the visitors, served in the order in which they came
    for number in SPOTS:
        call = p.rising(f"call_edge_{number}", t[f"call_{number}"])
        waiting = (spot == number) & cycle.among("aim_way", "aim", "settle", "load", "warn", "toss", "leave", "air")
        for slot in queue:
            waiting = waiting | (slot == number)
        want = p.let(f"want_{number}", call & ~waiting & calls_mode & running)
        for place, slot in enumerate(queue):
            free = slot == 0
            taken = free if place == 0 else free & (queue[place - 1] != 0) & (queue[place - 1] != number)
            p.move(slot.becomes(number), when=want & taken)

    wheel_ready = p.ton("wheel_ready", t.wheel_run_cmd, seconds(3))
    wheel_goes = wheel_ready.Q
    for at_speed in watched:
        wheel_goes = wheel_goes & at_speed
    limit_left = p.ton("limit_left", cycle["home_right"] & ~t.table_at_left, ms(100))
    ball_rests = p.ton("ball_rests", t.gate_seen, ms(600))
    released = p.tof("released", t.gate_release_cmd, ms(400))
    gate_rises = p.rising("gate_rises", t.gate_seen)
    gate_falls = p.falling("gate_falls", t.gate_seen)
    p.set(arm_seen, gate_rises & released.Q)
    left = p.let("left", gate_falls & released.Q & ~ball_gone)
    p.set(ball_gone, left)
    p.move(tosses.becomes(min_(tosses, 31999) + 1), when=left)
    # a stop, or a turn of the mode switch, waits for a toss under way and is then obeyed
    stop = p.memory("stop_wanted", description="to be obeyed as soon as no ball is on its way out")
    p.set(stop, (~t.stop_released | mode_moved) & (running | cycle["jog"]))
    p.reset(stop, cycle.among("off", "ready", "stopping", "tripped"))
    more_tour = tour_mode & (tour_at < 10)
    served = (queue[0] != 0) & calls_mode
    home_again = since_homing >= TOSSES_PER_HOMING
    want_high = p.let("want_high", tour_mode & (tour_at >= 5))
    take_queue = [spot.becomes(queue[0])]
    take_queue += [queue[n].becomes(queue[n + 1] if n < 4 else 0) for n in range(5)]
    rest = cycle.time >= ms(500)
    cycle.transitions([
        go("*", "tripped", trip),
        go("off", "ready", reset & t.estop_healthy & t.guard_closed),
        go("ready", "jog", start & service_mode & t.stop_released),
        go("ready", "lower", start & (calls_mode | tour_mode) & t.stop_released,
           tour_at.becomes(0), high.becomes(False), since_homing.becomes(TOSSES_PER_HOMING)),
        go(["lower", "home_lift", "lowered", "home_left", "home_rest", "home_turn", "home_right", "homed", "turn_up", "raise", "wait", "aim_way",
            "aim", "settle", "load", "warn", "air"], "stopping", stop),
        go("lower", "home_lift", cycle.time >= ms(300)),
        go("home_lift", "lowered", cycle.time >= seconds(10)),
        go("lowered", "home_left", (cycle.time >= ms(300)) & home_again),
        go("lowered", "turn_up", cycle.time >= ms(300)),
        go("home_left", "home_rest", t.table_at_left),
        go("home_rest", "home_turn", rest),
        go("home_turn", "home_right", cycle.time >= ms(300)),
        go("home_right", "homed", limit_left.Q),
        go("homed", "lowered", rest & from_limit, go_right.becomes(False), since_homing.becomes(TOSSES_PER_HOMING)),
        go("homed", "turn_up", rest),
        go("turn_up", "raise", cycle.time >= ms(300)),
        go("raise", "wait", cycle.time >= select(high, RAISE_LOW, RAISE_HIGH)),
        go("wait", "lower", home_again | (want_high ^ high),
           high.becomes(want_high), since_homing.becomes(TOSSES_PER_HOMING)),
        go("wait", "aim_way", served, *take_queue),
        go("wait", "aim_way", more_tour, spot.becomes(tour_at % 5 + 1), tour_at.becomes(tour_at + 1)),
        go("wait", "stopping", tour_mode & (tour_at >= 10)),
        go("aim_way", "settle", (cycle.time >= ms(20)) & (halt == angle)),
        go("aim_way", "aim", cycle.time >= ms(300)),
        go("aim", "settle", cycle.time >= travel - EARLY),
        go("settle", "load", rest),
        go("load", "warn", ball_rests.Q & wheel_goes),
        go("warn", "toss", cycle.time >= ms(1600)),
        go("toss", "leave", cycle.time >= ms(130)),
        go("leave", "air", (cycle.time >= ms(800)) & arm_seen),
        go("air", "wait", beam, *[q.becomes(min_(q, cycle.time), when=spot == n) for n, q in zip(SPOTS, quickest, strict=True)]),
        go("air", "wait", cycle.time >= seconds(25), lost.becomes(min_(lost, 31999) + 1)),
        go("stopping", "ready", (cycle.time >= seconds(1)) & t.stop_released),
        go("jog", "stopping", stop | ~service_mode),
        go("tripped", "off", ~trip),
    ])  # fmt: skip
    leaving = cycle.among("off", "ready", "tripped")
    p.move(*[slot.becomes(0) for slot in queue], when=leaving, comment="calls do not outlast a stop")

    # where to go: from the table's estimate to the spot served
    for number, tenths in zip(SPOTS, SPOT_ANGLE, strict=True):
        p.move(target.becomes(tenths), when=cycle["aim_way"] & (spot == number))
    scans = (abs_(target - angle) + TENTHS_PER_SCAN // 2) / TENTHS_PER_SCAN
    p.move(
        travel.becomes(to_type(scans * MS_PER_SCAN, TIME)),
        go_right.becomes(target > angle),
        halt.becomes(angle + select(go_right, -scans, scans) * TENTHS_PER_SCAN),
        when=cycle["aim_way"],
    )

    # hold-to-run in service
    hold = p.let("hold", cycle["jog"] & t.attendant_enable & t.stop_released)
    jog_left = p.let("jog_left", hold & t.call_1 & ~t.call_2)
    jog_right = p.let("jog_right", hold & t.call_2 & ~t.call_1)
    jog_down = p.let("jog_down", hold & t.call_3 & ~t.call_4)
    jog_up = p.let("jog_up", hold & t.call_4 & ~t.call_3)
    table_rests = p.ton("table_rests", ~t.table_run_cmd & ~t.pulses_busy, ms(200))
    lift_rests = p.ton("lift_rests", ~t.lift_run_cmd, ms(200))
    p.move(go_right.becomes(jog_right), when=(jog_left | jog_right | leaving) & table_rests.Q)
    p.move(go_up.becomes(jog_up), when=(jog_down | jog_up | leaving) & lift_rests.Q)
    jogs_table = p.ton("jogs_table", (jog_left & ~go_right) | (jog_right & go_right), ms(200))
    jogs_lift = p.ton("jogs_lift", (jog_down & ~go_up) | (jog_up & go_up), ms(200))

    # outputs: each has one writer, and each is off unless drive power, guard and program agree
    safe = p.let("safe", t.estop_healthy & t.guard_closed & ~trip)
    p.rung(t.table_right_cmd, go_right, "only a direction: it changes from rest, trips included")
    p.rung(t.lift_up_cmd, go_up, "likewise")
    p.rung(t.table_enable_cmd, safe & ~leaving)
    moves = cycle.among("home_left", "home_right", "aim")
    blocked = (go_right & t.table_at_right) | (~go_right & t.table_at_left)
    p.rung(t.table_run_cmd, safe & (moves | jogs_table.Q) & ~blocked)
    p.rung(t.lift_run_cmd, safe & (cycle.among("home_lift", "raise") | jogs_lift.Q))
    p.rung(t.wheel_run_cmd, safe & running)
    p.rung(t.gate_release_cmd, safe & cycle["toss"])
    warn = cycle.among("warn", "toss")
    p.rung(t.beacon_red, cycle.among("off", "tripped"))
    p.rung(t.beacon_yellow, warn)
    p.rung(t.beacon_green, running | cycle["jog"])
    p.rung(t.horn, warn)
    p.rung(t.reset_lamp, cycle.among("off", "tripped"))
    return p
