"""The control program of sump_pumps: rungs and blocks only.

A pump-down begins at the duty float and ends at the stop float; the pumps take turns to lead. The other one helps from
the standby float on, or takes over if the leader is not available. Motors start one after the other.
"""

from simplant import INT, Alarm, Program, min_, minutes, ms, seconds
from simplant.expr import Ref
from simplant.values import BOOL

PUMPS = (1, 2)


def build(tags):
    """Make the program."""
    p = Program("sump_pumps", tags)
    t = p.tags
    reset = p.rising("reset_edge", t.reset_pressed)

    # what the floats say: one that is dry below two that are wet is outvoted
    high = p.rung(p.memory("high"), ~t.high_float_dry)
    call = p.rung(p.memory("call"), t.duty_float_wet | t.standby_float_wet | high, "any of them wants a pump")
    flood = p.rung(p.memory("flood"), t.duty_float_wet & t.standby_float_wet | t.standby_float_wet & high | t.duty_float_wet & high)
    outvoted = p.tof("outvoted_timer", flood, seconds(40))  # both pumps lower it by at most 0.8 m of 0.9 m in that time
    water = p.rung(p.memory("water"), t.stop_float_wet | outvoted.Q)
    odd = p.ton("odd_timer", t.duty_float_wet & ~t.stop_float_wet | t.standby_float_wet & ~t.duty_float_wet
                | high & ~t.standby_float_wet, seconds(5))  # fmt: skip

    # one pump-down
    pumping, was_pumping = p.memory("pumping"), p.memory("was_pumping")
    assist = p.memory("assist", description="both pumps, down to the stop level")
    tail = p.ton("tail_timer", pumping & ~call, minutes(5))
    p.set(pumping, call & water)
    p.reset(pumping, ~water | tail.Q)
    p.set(assist, pumping & (t.standby_float_wet | high))
    p.reset(assist, ~pumping)
    two_leads = p.memory("two_leads", retain=True, initial=True)
    p.move(two_leads.becomes(~two_leads), when=pumping & ~was_pumping, comment="take turns")
    p.move(was_pumping.becomes(pumping))

    # alarms: latched until a reset finds the cause gone
    staying = p.ton("staying_timer", t.standby_float_wet, minutes(1))
    rows = [Alarm("high_level", high | staying.Q, "water above the high level, or 1 min above the standby level", "look at both pumps and the outlet")]
    for n in PUMPS:
        cmd, dropped = t[f"pump_{n}_run_cmd"], t[f"pump_{n}_dropped"]
        differs = p.ton(f"contactor_timer_{n}", ~(cmd ^ dropped), ms(500))
        rows += [
            Alarm(f"pump_{n}_overload", ~t[f"pump_{n}_overload_ok"], f"overload relay of pump {n} has tripped", "free the impeller"),
            Alarm(f"pump_{n}_contactor", differs.Q, f"contactor {n} does not follow", "check coil, contacts and mirror wire"),
        ]  # fmt: skip
    rows += [
        Alarm("float_order", odd.Q, "a float is wet above a dry one", "check the floats and their wires"),
        Alarm("slow_pumping", tail.Q, "the stop level was not reached in 5 min", "check pump, stop float and inflow"),
    ]
    first_out = p.alarms("alarm", reset=reset, rows=rows)

    # who may run, and who wants to
    ready = {}
    for n in PUMPS:
        ok = t[f"pump_{n}_overload_ok"] & ~Ref(f"pump_{n}_overload", BOOL) & ~Ref(f"pump_{n}_contactor", BOOL)
        ready[n] = p.rung(p.memory(f"ready_{n}"), t[f"pump_{n}_auto"] & ok)
        p.rung(p.memory(f"hand_{n}"), t[f"pump_{n}_hand"] & ok & water)
    lead = {1: ~two_leads, 2: two_leads}
    running = {1: t.pump_1_run_cmd, 2: t.pump_2_run_cmd}

    # starting: one motor at a time, rested for 30 s, 3 min after its last start (unless two floats say flood)
    gap = p.block("start_gap", "TP")
    starts = {}
    for n, other in ((1, 2), (2, 1)):
        cmd, hand = running[n], Ref(f"hand_{n}", BOOL)
        rested = p.ton(f"rest_timer_{n}", ~cmd & t[f"pump_{n}_dropped"], seconds(30))
        spacing, least_run = p.block(f"spacing_{n}", "TP"), p.block(f"least_run_{n}", "TP")
        want = p.rung(p.memory(f"want_{n}"), ready[n] & pumping & (lead[n] | ~ready[other] | assist & running[other]) | hand)
        free = ~gap.Q & rested.Q & (~spacing.Q | flood)
        if n == 2:
            free = free & ~starts[1]
        starts[n] = p.rung(p.memory(f"start_{n}"), want & ~cmd & free)
        p.call(spacing, IN=starts[n], PT=minutes(3))
        p.call(least_run, IN=starts[n], PT=seconds(10))
        p.rung(cmd, starts[n] | cmd & (want | (ready[n] | hand) & least_run.Q))
        count = p.memory(f"starts_{n}", INT, retain=True, description=f"starts of pump {n} since service")
        p.move(count.becomes(min_(count + 1, 32000)), when=starts[n])
    closing = [p.rising(f"closing_{n}", ~t[f"pump_{n}_dropped"]) for n in PUMPS]  # also one that nobody commanded
    p.call(gap, IN=starts[1] | starts[2] | closing[0] | closing[1], PT=seconds(5))

    # what people see and hear
    silenced = p.memory("silenced")
    p.set(silenced, reset & high)
    p.reset(silenced, ~high)
    p.rung(t.horn, high & ~silenced)
    p.rung(t.fault_lamp, first_out != 0)
    p.rung(t.all_well, first_out == 0)
    p.rung(t.run_lamp_1, ~t.pump_1_dropped)
    p.rung(t.run_lamp_2, ~t.pump_2_dropped)
    return p
