"""The control program of sump_pumps: rungs and blocks only.

A pump-down begins at the duty float and ends at the stop float; the pumps take turns to lead. The other one helps from
the standby float on, or takes over if the leader is not ready. Motors start one after the other, and not too often.
"""

from simplant import INT, Alarm, Program, min_, minutes, ms, seconds

PUMPS = ((1, 2), (2, 1))  # each pump and the other one


def build(tags):
    """Make the program."""
    p = Program("sump_pumps", tags)
    t = p.tags
    reset = p.rising("reset_edge", t.reset_pressed)
    stop, duty, standby = t.stop_float_wet, t.duty_float_wet, t.standby_float_wet
    run = {1: t.pump_1_run_cmd, 2: t.pump_2_run_cmd}
    dropped = {1: t.pump_1_dropped, 2: t.pump_2_dropped}

    # what the floats say: a stop float that is dry below two wet ones is outvoted, for as long as cannot empty the sump
    high = p.let("high", ~t.high_float_dry)
    call = p.let("call", duty | standby | high, "any of them wants a pump")
    flood = p.let("flood", duty & standby | standby & high | duty & high, "two of them agree")
    outvoted = p.tof(
        "outvoted", flood, seconds(30)
    )  # both pumps lift 0.6 m: not below the inlet, not even from the duty float
    water = p.let("water", stop | outvoted.Q)
    disorder = p.ton("disorder", duty & ~stop | standby & ~duty | high & ~standby, seconds(5))
    staying = p.ton("staying", standby, minutes(1))

    # one pump-down; the lead changes as it begins
    pumping, was_pumping = p.memory("pumping"), p.memory("was_pumping")
    assist = p.memory("assist", description="both pumps, down to the stop level")
    two_leads = p.memory("two_leads", retain=True, initial=True, description="pump 2 leads, not pump 1")
    tail = p.ton("tail", (pumping | run[1] | run[2]) & ~call, minutes(5))
    p.set(pumping, call & water)
    p.reset(pumping, ~water | tail.Q, "the stop level, or too long below the duty level")
    p.set(assist, pumping & (standby | high))
    p.reset(assist, ~pumping)
    p.move(two_leads.becomes(~two_leads), when=pumping & ~was_pumping)
    p.move(was_pumping.becomes(pumping))
    leads = {1: ~two_leads, 2: two_leads}

    # alarms: latched until a reset finds the cause gone
    lazy = {n: p.ton(f"contactor_{n}_differs", ~(run[n] ^ dropped[n]), ms(500)) for n, _ in PUMPS}
    alarms = p.alarms("alarm", reset=reset, rows=[
        Alarm("high_level", high | staying.Q, "water above the high level, or long above standby", "see to the pumps"),
        Alarm("pump_1_overload", ~t.pump_1_overload_ok, "overload relay of pump 1 has tripped", "free the impeller"),
        Alarm("pump_2_overload", ~t.pump_2_overload_ok, "overload relay of pump 2 has tripped", "free the impeller"),
        Alarm("pump_1_contactor", lazy[1].Q, "contactor 1 does not follow", "check coil, contacts and mirror wire"),
        Alarm("pump_2_contactor", lazy[2].Q, "contactor 2 does not follow", "check coil, contacts and mirror wire"),
        Alarm("float_order", disorder.Q, "a float is wet above a dry one", "check the floats and their wires"),
        Alarm("slow_pumping", tail.Q, "stop level not reached in 5 min", "check pump, stop float and inflow"),
    ])  # fmt: skip

    # who may run; with both pumps in trouble and the water high, a doubtful contactor is tried all the same
    trouble = {n: alarms[f"pump_{n}_overload"] | alarms[f"pump_{n}_contactor"] for n, _ in PUMPS}
    last_hope = p.let("last_hope", trouble[1] & trouble[2] & flood)
    ready, by_hand, hand = {}, {}, {}
    for n, _ in PUMPS:
        auto, doubtful = t[f"pump_{n}_auto"], alarms[f"pump_{n}_contactor"] & ~last_hope
        ok = t[f"pump_{n}_overload_ok"] & ~alarms[f"pump_{n}_overload"] & ~doubtful
        ready[n] = p.let(f"ready_{n}", auto & ok)
        by_hand[n] = p.let(f"by_hand_{n}", t[f"pump_{n}_hand"] & ~auto & ok & ~alarms["slow_pumping"])
        hand[n] = p.let(f"hand_{n}", by_hand[n] & water)

    # starting: one motor at a time, after 30 s of rest, 3 min after its last start unless just switched on or in a flood
    gap = p.block("gap", "TP")
    start = {n: p.memory(f"start_{n}") for n, _ in PUMPS}
    for n, other in PUMPS:
        rested = p.ton(f"rest_{n}", ~run[n], seconds(30))
        spacing, least_run = p.block(f"spacing_{n}", "TP"), p.block(f"least_run_{n}", "TP")
        mine = leads[n] | ~ready[other] | assist & run[other]
        want = p.let(f"want_{n}", ready[n] & pumping & mine | hand[n])
        fresh = p.memory(f"fresh_{n}", description="somebody has just switched it on by hand")
        p.rung(fresh, (p.rising(f"hand_edge_{n}", by_hand[n]) | fresh) & by_hand[n] & ~start[n])
        free = ~gap.Q & ~start[other] & rested.Q & (~spacing.Q | flood | fresh)
        p.rung(start[n], want & ~run[n] & free)
        p.call(spacing, IN=start[n], PT=minutes(3))
        p.call(least_run, IN=start[n], PT=seconds(10))
        p.rung(run[n], start[n] | run[n] & (want | (ready[n] | by_hand[n]) & least_run.Q))
        count = p.memory(f"starts_{n}", INT, retain=True, description=f"starts of pump {n} since service")
        p.move(count.becomes(min_(count, 31999) + 1), when=start[n])
    closing = [p.rising(f"closing_{n}", ~dropped[n]) for n, _ in PUMPS]  # also one that nobody commanded
    p.call(gap, IN=start[1] | start[2] | closing[0] | closing[1], PT=seconds(5))

    # what people see and hear
    silenced = p.memory("silenced")
    p.set(silenced, reset & high)
    p.reset(silenced, ~high)
    p.rung(t.horn, high & ~silenced)
    p.rung(t.fault_lamp, alarms.any)
    p.rung(t.all_well, ~alarms.any)
    p.rung(t.run_lamp_1, ~dropped[1])
    p.rung(t.run_lamp_2, ~dropped[2])
    return p
