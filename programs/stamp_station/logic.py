"""The control program of stamp_station: one sequence, a two-point controller, alarms.

A start clears the belt, since nobody knows what lies on it, and heats up; then blank after blank is fed, stamped and
picked. A stop waits for a token that is being stamped. Temperatures are in 0.1 degC.
"""

from simplant import INT, Alarm, Program, Step, go, min_, ms, seconds

COLD, HOT, TOO_HOT, WARM_TO_TOUCH = 1400, 1500, 1700, 550
SWITCHES = 10  # either way of HOT


def build(tags):
    """Make the program."""
    p = Program("stamp_station", tags)
    t = p.tags
    reset = p.falling("reset_edge", t.reset_pressed)  # on letting go: the safety relay is on by then
    start = p.rising("start_edge", t.start_pressed)
    tokens = p.memory("tokens", INT, retain=True, description="tokens picked since service")

    cycle = p.sequence("cycle", [
        Step("off", description="a reset is wanted, then a start"),
        Step("clear", limit=seconds(10), on_limit="tripped", description="what lies on the belt is scrap"),
        Step("heat", limit=seconds(90), on_limit="tripped"),
        Step("feed", limit=seconds(4), on_limit="tripped"),
        Step("bring", limit=seconds(6), on_limit="tripped"),
        Step("press", limit=seconds(2), on_limit="tripped"),
        Step("dwell"),
        Step("lift", limit=seconds(2), on_limit="tripped"),
        Step("pick", limit=seconds(3), on_limit="tripped"),
        Step("back", limit=seconds(3), on_limit="tripped"),
        Step("tripped"),
    ])  # fmt: skip
    running = cycle.among("clear", "heat", "feed", "bring", "press", "dwell", "lift", "pick", "back")

    # the head: two-point control while in service; a lost or too great temperature switches off
    lost = p.ton("lost", t.head_lost, ms(100))
    in_band = p.let("in_band", (t.head_temp >= COLD) & (t.head_temp <= TOO_HOT) & ~lost.Q)
    calls = p.memory("calls", description="the two-point controller calls for heat")
    p.set(calls, t.head_temp < HOT - SWITCHES)
    p.reset(calls, t.head_temp > HOT + SWITCHES)

    # trips: latched until a reset finds the cause gone
    heat_differs = p.ton("heat_differs", ~(t.heat_on_cmd ^ t.heat_dropped), ms(500))
    belt_differs = p.ton("belt_differs", ~(t.belt_cmd ^ t.belt_dropped), ms(500))
    alarms = p.alarms("alarm", reset=reset, rows=[
        Alarm("guard", running & ~(t.safety_on & t.field_clear & t.guard_closed & t.guard_locked),
              "emergency stop, light curtain or guard door", "make it clear, then reset"),
        Alarm("low_air", running & ~t.air_ok, "too little compressed air", "open the valve, see to the filter"),
        Alarm("overload", ~t.overload_ok, "the overload relay of the belt has tripped", "free the belt, let it cool"),
        Alarm("belt_contactor", belt_differs.Q, "the belt contactor does not follow", "check its coil and contacts"),
        Alarm("heat_contactor", heat_differs.Q, "the heating contactor does not follow", "check it, and the limiter"),
        Alarm("no_temperature", lost.Q, "the PT100 of the head sends no temperature", "check element and wires"),
        Alarm("head_hot", (t.head_temp > TOO_HOT) & ~t.head_lost, "the head is too hot", "check the solid-state relay"),
        Alarm("head_cold", cycle.overtime("heat"), "the head does not get hot", "check fuse and element"),
        Alarm("no_blank", cycle.overtime("feed"), "no blank came from the feeder", "refill it, free it"),
        Alarm("blank_lost", cycle.overtime("bring"), "a blank came not to the stop", "free the belt"),
        Alarm("stamp_stuck", cycle.overtime("press", "lift") | cycle.overtime("clear") & ~t.stamp_up,
              "the stamp came not to its end", "free it"),
        Alarm("pick_stuck", cycle.overtime("pick", "back") | cycle.overtime("clear") & ~t.pick_back,
              "the pick came not to its end", "free it"),
        Alarm("not_picked", cycle["back"] & t.pick_back & t.blank_there & (cycle.time >= ms(500)),
              "a token stayed at the stop", "take it off"),
    ])  # fmt: skip
    trip = p.let("trip", alarms.any)
    ready = p.let("ready", t.safety_on & t.field_clear & t.guard_closed & t.guard_locked & t.air_ok & ~trip)
    stop = p.memory("stop_wanted", description="to be obeyed when no token is being stamped")
    p.set(stop, ~t.stop_released & running)
    p.reset(stop, cycle.among("off", "tripped"))

    cycle.transitions([
        go("*", "tripped", trip),
        go("off", "clear", start & t.stop_released),
        go(["clear", "heat", "feed"], "off", stop),
        go("clear", "heat", (cycle.time >= seconds(8)) & t.stop_up & t.stamp_up & t.pick_back),
        go("heat", "press", in_band & t.blank_there),
        go("heat", "feed", in_band),
        go("feed", "bring", t.blank_comes),
        go("bring", "heat", t.blank_there),
        go("press", "dwell", t.stamp_down),
        go("dwell", "lift", cycle.time >= seconds(1)),
        go("lift", "pick", t.stamp_up),
        go("pick", "back", t.pick_out),
        go("back", "heat", t.pick_back & ~t.blank_there & ~stop, tokens.becomes(min_(tokens + 1, 32000))),
        go("back", "off", t.pick_back & ~t.blank_there, tokens.becomes(min_(tokens + 1, 32000))),
        go("tripped", "off", ~trip),
    ])  # fmt: skip

    # outputs; the guard unlocks once the belt has run down and the stamp is up
    at_rest = p.ton("at_rest", t.belt_dropped & ~t.belt_cmd & t.stamp_up & t.pick_back, seconds(5))
    p.rung(t.belt_cmd, running & ready)
    p.rung(t.feed_cmd, cycle["feed"] & ready)
    p.rung(t.stop_down_cmd, cycle["clear"] & (cycle.time < seconds(7)) & ready)
    p.rung(t.stamp_cmd, cycle.among("press", "dwell") & ready)
    p.rung(t.pick_cmd, cycle["pick"] & ready)
    p.rung(t.heat_on_cmd, running & ~alarms["no_temperature"] & ~alarms["head_hot"])
    p.rung(t.heat_cmd, running & calls & ~trip)
    p.rung(t.unlock_cmd, t.service_pressed & at_rest.Q & ~running)
    p.rung(t.beacon_red, cycle["tripped"])
    p.rung(t.beacon_yellow, (t.head_temp > WARM_TO_TOUCH) | t.head_lost)
    p.rung(t.beacon_green, running)
    return p
