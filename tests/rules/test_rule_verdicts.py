"""Whole verdict tables: signals in, every field of the verdict out. One mark is 10 ms, # is true."""

from dataclasses import replace

import pytest

from simplant.expr import StepActive, abs_
from simplant.rules import (
    Outcome,
    aim_within,
    alternates,
    always,
    always_in,
    at,
    at_most_for,
    before,
    count_at_most,
    count_equals,
    dead_time,
    exclusive,
    holds,
    holds_for,
    interlock,
    lasted,
    never,
    no_restart_by_itself,
    one_active,
    output_at_most,
    permissive,
    served_in_order,
    start_of_run,
    step_at_most,
    total_at_most,
    trip_latched,
    until,
    within,
)
from simplant.timebase import ms
from simplant.values import INT
from tests.rules.trace_player import Slope, chart, levels, play, tag, truth

HELD, BROKEN, UNDECIDED, IDLE = Outcome.HELD, Outcome.BROKEN, Outcome.UNDECIDED, Outcome.NOT_EXERCISED
A, B, C, D = (tag(name) for name in "abcd")

BOOLEAN = [
    # claim, signals, end ms, (outcome, breach ms, margin, margin text, exercised, breaches)
    (always(A), {"a": "###"}, 30, (HELD, None, None, "", 1, 0)),
    (always(A), {"a": "#_#_"}, 40, (BROKEN, 10, None, "", 1, 2)),
    (never(A), {"a": "__#"}, 30, (BROKEN, 20, None, "", 1, 1)),
    (always(A.implies(B)), {"a": "____", "b": "__#_"}, 40, (IDLE, None, None, "", 0, 0)),
    (always(A.implies(B)), {"a": "_#_#", "b": "###_"}, 40, (BROKEN, 30, None, "", 2, 1)),
    (within(B, ms(30), after=A), {"a": "_#____", "b": "____#_"}, 60, (HELD, None, 0.0, "0.000 s of 30 ms", 1, 0)),
    (within(B, ms(30), after=A), {"a": "_#____", "b": "_#____"}, 60, (HELD, None, 1.0, "30 ms of 30 ms", 1, 0)),
    (within(B, ms(20), after=A), {"a": "#_____", "b": "___#__"}, 60, (BROKEN, 20, -0.5, "-10 ms of 20 ms", 1, 1)),
    (within(B, ms(20), after=A), {"a": "#_____", "b": "______"}, 60, (BROKEN, 20, -2.0, "-40 ms of 20 ms", 1, 1)),
    (within(B, ms(40), after=A), {"a": "#_#___", "b": "___#__"}, 60, (HELD, None, 0.25, "10 ms of 40 ms", 2, 0)),
    (within(B, ms(10), after=A), {"a": "#_#___", "b": "_____#"}, 60, (BROKEN, 10, -4.0, "-40 ms of 10 ms", 2, 2)),
    (within(B, ms(20), after=A), {"a": "#", "b": "_"}, 20, (BROKEN, 20, 0.0, "0.000 s of 20 ms", 1, 1)),
    (within(B, ms(40), after=A), {"a": "___#__", "b": "______"}, 60, (UNDECIDED, None, None, "", 1, 0)),
    (within(B, ms(40), after=A), {"a": "______", "b": "######"}, 60, (IDLE, None, None, "", 0, 0)),
    (
        until(A, B, between=(ms(10), ms(50)), after=C),
        {"c": "_#", "a": "_####_", "b": "____#_"},
        60,
        (HELD, None, 0.4, "20 ms of 50 ms", 1, 0),
    ),
    (
        until(A, B, between=(ms(10), ms(50)), after=C),
        {"c": "_#", "a": "_##___", "b": "____#_"},
        60,
        (BROKEN, 30, -0.6, "-30 ms of 50 ms", 1, 1),
    ),
    (holds(A, for_=ms(30), after=C), {"c": "#", "a": "#####_"}, 60, (HELD, None, 2 / 3, "20 ms of 30 ms", 1, 0)),
    (holds(A, for_=ms(30), after=C), {"c": "#", "a": "######"}, 60, (HELD, None, None, "", 1, 0)),
    (holds(A, for_=ms(30), after=C), {"c": "#", "a": "##____"}, 60, (BROKEN, 20, -1 / 3, "-10 ms of 30 ms", 1, 1)),
    (holds(A, for_=ms(30), after=C), {"c": "____#", "a": "######"}, 60, (UNDECIDED, None, None, "", 1, 0)),
    (always_in(A, between=(ms(20), ms(30))), {"a": "__##__"}, 60, (HELD, None, 1 / 3, "10 ms of 30 ms", 1, 0)),
    (always_in(A, between=(ms(20), ms(30))), {"a": "______"}, 60, (BROKEN, 20, -1 / 3, "-10 ms of 30 ms", 1, 1)),
    (holds_for(A, ms(20)), {"a": "_##__###"}, 70, (HELD, None, 0.0, "0.000 s of 20 ms", 2, 0)),
    (holds_for(A, ms(20)), {"a": "_##__#__"}, 80, (BROKEN, 60, -0.5, "-10 ms of 20 ms", 2, 1)),
    (holds_for(A, ms(20)), {"a": "_______#"}, 75, (UNDECIDED, None, None, "", 1, 0)),
    # excused by a moment of b within the time, at its end or at its beginning; not before, and not after its end
    (
        holds_for(A, ms(30), unless=B),
        {"a": "_##__#__", "b": "__#_____"},
        80,
        (BROKEN, 60, -2 / 3, "-20 ms of 30 ms", 2, 1),
    ),
    (holds_for(A, ms(30), unless=B), {"a": "_##__#__", "b": "_#_#_##_"}, 80, (IDLE, None, None, "", 0, 0)),
    (holds_for(A, ms(30), unless=B), {"a": "_##_____", "b": "#__#____"}, 80, (HELD, None, None, "", 1, 0)),
    (
        holds_for(A, ms(30), unless=B),
        {"a": "_##_____", "b": "#___####"},
        80,
        (BROKEN, 30, -1 / 3, "-10 ms of 30 ms", 1, 1),
    ),
    (at_most_for(A, ms(20)), {"a": "_##_____"}, 80, (HELD, None, 0.0, "0.000 s of 20 ms", 1, 0)),
    (at_most_for(A, ms(20)), {"a": "_####_#_"}, 80, (BROKEN, 30, -1.0, "-20 ms of 20 ms", 2, 1)),
    (output_at_most(A, ms(20)), {"a": "________"}, 80, (IDLE, None, None, "", 0, 0)),
    (before(A, B), {"a": "_#__", "b": "___#"}, 40, (HELD, None, None, "", 1, 0)),
    (before(A, B), {"a": "__#_", "b": "__#_"}, 40, (HELD, None, None, "", 1, 0)),
    (before(A, B, since=B), {"a": "_#____", "b": "__#_#_"}, 60, (BROKEN, 40, None, "", 2, 1)),
    (before(A, B, since=C), {"a": "#_____", "b": "__#_#_", "c": "__#___"}, 60, (BROKEN, 40, None, "", 2, 1)),
    (lasted(A, ms(20), before=B), {"a": "_##___", "b": "___#__"}, 60, (HELD, None, 0.0, "0.000 s of 20 ms", 1, 0)),
    (lasted(A, ms(20), before=B), {"a": "#_##__", "b": "___#__"}, 60, (BROKEN, 30, -0.5, "-10 ms of 20 ms", 1, 1)),
    (lasted(A, ms(20), before=B), {"a": "____", "b": "#___"}, 40, (BROKEN, 0, -1.0, "-20 ms of 20 ms", 1, 1)),
    (lasted(A, ms(20), before=B), {"a": "####", "b": "____"}, 40, (IDLE, None, None, "", 0, 0)),
    (before(A, B, since=C), {"a": "#_____", "b": "__#___", "c": "####__"}, 60, (HELD, None, None, "", 1, 0)),
    (exclusive(A, B, C), {"a": "#__#", "b": "_#_#", "c": "_"}, 40, (BROKEN, 30, None, "", 2, 1)),
    (exclusive(A, B), {"a": "_", "b": "_"}, 40, (IDLE, None, None, "", 0, 0)),
    (one_active({"pumps": [A, B]})[0], {"a": "#__#", "b": "_#_#"}, 40, (BROKEN, 20, None, "", 3, 1)),
    (permissive(A, B), {"a": "_#_", "b": "_#__"}, 40, (HELD, None, None, "", 1, 0)),
    (permissive(A, B), {"a": "_#_", "b": "#___"}, 40, (BROKEN, 10, None, "", 1, 1)),
    (count_at_most(A, 2), {"a": "#_#_#_#"}, 70, (BROKEN, 40, -1.0, "-2 of 2", 4, 2)),
    (count_at_most(A, 3, reset=B), {"a": "#_#_#_#", "b": "____#__"}, 70, (HELD, None, 0.0, "0 of 3", 4, 0)),
    (count_at_most(A, 2, window=ms(40)), {"a": "#_#_#_"}, 60, (HELD, None, 0.0, "0 of 2", 3, 0)),
    (count_at_most(A, 2, window=ms(41)), {"a": "#_#_#_"}, 60, (BROKEN, 40, -0.5, "-1 of 2", 3, 1)),
    (
        count_at_most(A, 1, window=ms(40), reset=B),
        {"a": "#__#__", "b": "_#____"},
        60,
        (HELD, None, 0.0, "0 of 1", 2, 0),
    ),
    (at_most_for(A, ms(20), while_=B), {"a": "###___", "b": "____#_"}, 60, (HELD, None, None, "", 1, 0)),
    (at_most_for(A, ms(20), while_=B), {"a": "______", "b": "_#_#__"}, 60, (HELD, None, None, "", 2, 0)),
    (at_most_for(A, ms(20), while_=B), {"a": "######", "b": "______"}, 60, (IDLE, None, None, "", 0, 0)),
    (at_most_for(A, ms(20), while_=B), {"a": "#####_", "b": "__####"}, 60, (BROKEN, 40, -0.5, "-10 ms of 20 ms", 1, 1)),
    (alternates(A, B), {"a": "#___#_", "b": "__#___"}, 60, (HELD, None, None, "", 2, 0)),
    (alternates(A, B), {"a": "______", "b": "__#___"}, 60, (IDLE, None, None, "", 0, 0)),
    (alternates(A, B), {"a": "#_#_#_", "b": "______"}, 60, (BROKEN, 20, None, "", 2, 2)),
    (alternates(A, B), {"a": "##_#__", "b": "_#___#"}, 60, (HELD, None, None, "", 3, 0)),
    (alternates(A, B), {"a": "#_#__#", "b": "__#_#_"}, 60, (HELD, None, None, "", 2, 0)),
    (alternates(A, B), {"a": "#_#_#_", "b": "__#___"}, 60, (BROKEN, 40, None, "", 1, 1)),
    (alternates(A, B, unless=C), {"a": "#__#__", "b": "_", "c": "_#____"}, 60, (IDLE, None, None, "", 0, 0)),
    (alternates(A, B, unless=C), {"a": "#__#_#", "b": "_", "c": "_#____"}, 60, (BROKEN, 50, None, "", 1, 1)),
    (total_at_most(A, ms(30)), {"a": "##_##___"}, 80, (BROKEN, 40, -1 / 3, "-10 ms of 30 ms", 2, 1)),
    (total_at_most(A, ms(20), window=ms(40)), {"a": "#__##__##_"}, 95, (HELD, None, 0.0, "0.000 s of 20 ms", 3, 0)),
    (total_at_most(A, share="3/4", window=ms(40)), {"a": "_####_"}, 60, (BROKEN, 40, -1 / 3, "-10 ms of 30 ms", 1, 1)),
    (total_at_most(A, ms(10), window=ms(50)), {"a": "##_#__"}, 60, (BROKEN, 10, -2.0, "-20 ms of 10 ms", 2, 1)),
    (total_at_most(A, share="1", window=ms(20)), {"a": "######"}, 60, (HELD, None, 0.0, "0.000 s of 20 ms", 1, 0)),
    (dead_time(A, B, ms(20)), {"a": "##___##", "b": "____###"}, 70, (BROKEN, 50, -0.5, "-10 ms of 20 ms", 1, 1)),
    (dead_time(A, B, ms(20)), {"a": "##_____#", "b": "____####"}, 80, (HELD, None, 0.0, "0.000 s of 20 ms", 1, 0)),
    (dead_time(A, B, ms(20)), {"a": "#####", "b": "__###"}, 50, (BROKEN, 20, -1.0, "-20 ms of 20 ms", 1, 1)),
]


@pytest.mark.parametrize(("claim", "signals", "end", "expected"), BOOLEAN, ids=[c.text for c, *_ in BOOLEAN])
def test_verdicts_on_levels(claim, signals, end, expected):
    """Outcome, first breach, margin both ways, times exercised and number of breaches; woken at deadlines or not."""
    v, lazy = (play(claim, {n: levels(m) for n, m in signals.items()}, ms(end), lazy=how) for how in (False, True))
    breach = None if v.time is None else v.time / 1e6
    margin = None if v.margin is None else pytest.approx(v.margin)
    assert expected == (v.outcome, breach, margin, v.margin_text, v.times_exercised, v.breaches)
    assert replace(lazy, tags=()) == replace(v, tags=())


TRIP = trip_latched(A, B, reset=C, start=D, stop_within=ms(20))
RESTARTS = [
    # claim, trip/loss a, driven b, reset c, start d -> outcome, breach
    ("stops in time, never again", TRIP, "_#__", "###_____", "_", "_", HELD, None),
    ("runs on too long", TRIP, "_#__", "####____", "_", "_", BROKEN, 30),
    ("reset, then start", TRIP, "_#__", "###___##", "____#___", "_____#__", HELD, None),
    ("start without reset", TRIP, "_#__", "###___##", "_", "_____#__", BROKEN, 60),
    ("reset alone", TRIP, "_#__", "###___##", "____#___", "_", BROKEN, 60),
    ("start tied down", TRIP, "_#__", "###___##", "____#___", "########", BROKEN, 60),
    ("reset held down", TRIP, "_#__", "###___##", "########", "_____#__", BROKEN, 60),
    ("reset while tripped", TRIP, "_####___", "###___##", "__#_____", "_____#__", BROKEN, 60),
    ("start before reset", TRIP, "_#__", "###___##", "_____#__", "____#___", BROKEN, 60),
    ("both at once", TRIP, "_#__", "###___##", "____#___", "____#___", BROKEN, 60),
    ("trip again after reset", TRIP, "_#___#__", "###____#", "___#____", "______#_", BROKEN, 70),
    ("chattering does not put the stop off", TRIP, "_#_#_#__", "####____", "_", "_", BROKEN, 30),
    ("tripped at the start", TRIP, "##______", "__#_____", "_", "_", BROKEN, 20),
    ("never tripped", TRIP, "_", "########", "_", "_", IDLE, None),
    ("alone, a start each time", no_restart_by_itself(B, start=D), "_", "_#__#___", "_", "#__#____", BROKEN, 10),
    ("alone, with starts", no_restart_by_itself(B, start=D), "_", "__#__#__", "_", "_#__#___", HELD, None),
    ("after the mode switch", no_restart_by_itself(B, start=D, after=A), "__##____", "##____#_", "_", "_", BROKEN, 60),
    ("on its way", no_restart_by_itself(B, start=D, after=A, lag=ms(20)), "__##____", "___#####", "_", "_", HELD, None),
    ("just not", no_restart_by_itself(B, start=D, after=A, lag=ms(20)), "__##____", "____####", "_", "_", BROKEN, 40),
    ("once more", no_restart_by_itself(B, start=D, after=A, lag=ms(20)), "__##____", "___##_##", "_", "_", BROKEN, 60),
    ("lost twice", no_restart_by_itself(B, start=D, after=A, lag=ms(20)), "_#_#____", "____####", "_", "_", BROKEN, 40),
    ("goes on", no_restart_by_itself(B, start=D, after=A), "__##____", "########", "_", "_", HELD, None),
]


@pytest.mark.parametrize(
    ("law", "claim", "a", "b", "c", "d", "outcome", "breach"), RESTARTS, ids=[r[0] for r in RESTARTS]
)
def test_no_restart_without_the_right_edges(law, claim, a, b, c, d, outcome, breach):
    """Only a reset edge after the trip has gone and then a start edge give the drives back."""
    v = play(claim, {n: levels(m) for n, m in zip("abcd", (a, b, c, d), strict=True)}, ms(80))
    assert (v.outcome, v.time) == (outcome, None if breach is None else ms(breach))


def test_an_interlock_is_needed_to_start_and_to_keep_and_restarts_nothing():
    """Three ways to break it, each by the claim that says so."""
    to_start, to_keep = interlock(A, B, stop_within=ms(20), start=C, name="lift clear", faults="single")
    assert [(c.name, c.faults) for c in (to_start, to_keep)] == [
        ("lift clear, to start", "single"),
        ("lift clear, to keep", "single"),
    ]
    rows = [  # running, clear, start -> breaches of both
        ("_####___", "########", "_#______", (None, None)),
        ("_#______", "_______#", "_#______", (10, None)),
        ("_#####__", "###_____", "_#______", (None, 50)),
        ("_###__##", "##__####", "_#______", (None, 60)),
        ("_###__##", "##__####", "_#__#___", (None, None)),
    ]
    for running, clear, start, breaches in rows:
        signals = {"a": levels(running), "b": levels("#" + clear[1:]), "c": levels(start)}
        verdicts = [play(claim, signals, ms(80)) for claim in (to_start, to_keep)]
        assert [v.time if v.time is None else v.time // 1_000_000 for v in verdicts] == list(breaches)
    lasting = interlock(A, B, stop_within=ms(20))[1]
    assert play(lasting, {"a": levels("_###__##"), "b": levels("##__####")}, ms(80)).outcome is HELD


QUEUES = [
    # two callers a, b, their services c, d, accepting e -> outcome, breach, times exercised
    ("first come", "#____", "_#___", "__#__", "___#_", "#", HELD, None, 2),
    ("jumped", "#____", "_#___", "___#_", "__#__", "#", BROKEN, 20, 2),
    ("at once: either", "#____", "#____", "___#_", "__#__", "#", HELD, None, 2),
    ("calling twice gains and loses nothing", "#_#__", "_#___", "___#_", "____#", "#", HELD, None, 2),
    ("called again after service", "#__#_", "_#___", "__#__", "____#", "#", HELD, None, 2),
    ("not accepted, not owed", "#____", "__#__", "____#", "___#_", "_####", HELD, None, 1),
    ("forgotten when the mode ends", "#____", "___#_", "_", "____#", "#_###", HELD, None, 1),
    ("nobody calls", "_____", "_____", "__#__", "___#_", "#", IDLE, None, 0),
]


@pytest.mark.parametrize(
    ("law", "a", "b", "c", "d", "e", "outcome", "breach", "times"), QUEUES, ids=[q[0] for q in QUEUES]
)
def test_who_calls_first_is_served_first(law, a, b, c, d, e, outcome, breach, times):
    """Order of accepted calls; services nobody asked for are not judged."""
    claim = served_in_order([A, B], [C, D], accepting=tag("e"))
    v = play(claim, {n: levels(m) for n, m in zip("abcde", (a, b, c, d, e), strict=True)}, ms(60))
    assert (v.outcome, v.time, v.times_exercised) == (outcome, None if breach is None else ms(breach), times)


SPEED, ANGLE = truth("wheel.speed"), truth("table.angle")
RISING = [(0, Slope(0.0, 1000.0)), (ms(50), 50.0)]  # 1 per ms up to 50
PHYSICAL = [
    # claim, signals, end ms, (outcome, breach ms, margin, margin text, exercised, breaches)
    (always(SPEED < 60.0, unit="rad/s"), {"wheel.speed": RISING}, 90, (HELD, None, 1 / 6, "10 rad/s", 1, 0)),
    (never(SPEED > 40.0), {"wheel.speed": RISING}, 90, (BROKEN, 40, -0.25, "-10", 1, 1)),
    (
        always(A.implies(SPEED > 20.0), scale=10.0),
        {"wheel.speed": RISING, "a": levels("___##_")},
        90,
        (HELD, None, 1.0, "10", 1, 0),
    ),
    (
        always(A.implies((SPEED > 20.0) & (SPEED < 45.0)), scale=1.0),
        {"wheel.speed": RISING, "a": levels("___##_")},
        90,
        (BROKEN, 45, -5.0, "-5", 1, 1),
    ),
    (
        holds(SPEED >= 20.0, for_=ms(30), after=A),
        {"wheel.speed": RISING, "a": levels("___#")},
        90,
        (HELD, None, 0.5, "10", 1, 0),
    ),
    (
        holds(SPEED >= 20.0, for_=ms(30), after=A),  # the closed end counts
        {"wheel.speed": [(0, 30.0), (ms(60), 22.0)], "a": levels("___#")},
        90,
        (HELD, None, 0.1, "2", 1, 0),
    ),
    (
        always_in(SPEED >= 20.0, between=(ms(30), ms(50))),  # what is before or after does not
        {"wheel.speed": [(0, 21.0), (ms(30), 30.0), (ms(51), 21.0)]},
        90,
        (HELD, None, 0.5, "10", 1, 0),
    ),
    (
        always_in(SPEED >= 20.0, between=(ms(30), ms(50))),
        {"wheel.speed": [(0, Slope(15.0, 1000.0)), (ms(40), Slope(55.0, -1000.0))]},
        75,
        (HELD, None, 1.25, "25", 1, 0),
    ),
    (always((SPEED > 60.0).implies(B)), {"wheel.speed": RISING, "b": levels("_")}, 90, (IDLE, None, 1 / 6, "10", 0, 0)),
    (
        always(A.implies(SPEED > 20.0)),  # a supply that goes with its command
        {"wheel.speed": [(0, 24.0), (ms(30), 0.0)], "a": levels("###_")},
        90,
        (HELD, None, 0.2, "4", 1, 0),
    ),
    (
        always((SPEED < 40.0) | B),  # a crossing rounded up leaves no negative margin
        {"wheel.speed": [(0, Slope(39.9, 3.0))], "b": [(0, False), (33_334_000, True)]},
        90,
        (HELD, None, 0.0, "0", 1, 0),
    ),
    (at(A, SPEED > 20.0), {"wheel.speed": RISING, "a": levels("_#_#")}, 90, (BROKEN, 10, -0.5, "-10", 2, 1)),
    (
        aim_within(ANGLE, 30.0, 2.0, at_=A, unit="deg"),
        {"table.angle": [(0, Slope(0.0, 100.0)), (ms(295), 29.5)], "a": levels("_" * 35 + "#")},
        400,
        (HELD, None, 0.75, "1.5 deg", 1, 0),
    ),
    (
        always(abs_(ANGLE) < 68.0),
        {"table.angle": [(0, Slope(0.0, -1000.0)), (ms(60), -60.0)]},
        90,
        (HELD, None, 8 / 68, "8", 1, 0),
    ),
    (always(truth("balls.lost", INT) == 0), {"balls.lost": [(0, 0), (ms(30), 1)]}, 90, (BROKEN, 30, -1.0, "-1", 1, 1)),
]


@pytest.mark.parametrize(("claim", "signals", "end", "expected"), PHYSICAL, ids=[c.text for c, *_ in PHYSICAL])
def test_margins_in_physical_units(claim, signals, end, expected):
    """A margin is the nearest approach over the whole span, as a fraction of scale or level, and in its unit."""
    v = play(claim, signals, ms(end))
    breach = None if v.time is None else v.time / 1e6
    margin = None if v.margin is None else pytest.approx(v.margin, abs=1e-4)
    assert expected == (v.outcome, breach, margin, v.margin_text, v.times_exercised, v.breaches)
    assert v.outcome is not HELD or v.margin >= 0.0
    lazy = play(claim, signals, ms(end), lazy=True)
    assert (lazy.outcome, lazy.time, lazy.margin) == (v.outcome, v.time, pytest.approx(v.margin))


def test_counts_may_lag_but_not_stay_wrong():
    """The program's count follows the truth within the settling time; a rule that never saw a difference has held."""
    claim = count_equals(truth("count", INT), truth("balls.caught", INT), settle=ms(20))
    late = {"balls.caught": [(0, 0), (ms(20), 1)], "count": [(0, 0), (ms(40), 1)]}
    missed = {"balls.caught": [(0, 0), (ms(20), 1)], "count": [(0, 0)]}
    quiet = {"balls.caught": [(0, 0)], "count": [(0, 0)]}
    found = [play(claim, signals, ms(80)) for signals in (late, missed, quiet)]
    assert [(v.outcome, v.time, v.margin) for v in found] == [
        (HELD, None, 0.0),
        (BROKEN, ms(40), -2.0),
        (HELD, None, None),
    ]


def test_counts_go_along_from_where_they_stood():
    """A retained count goes on from its last value; at its end it is not judged; one that jumps back is broken."""
    count, balls = truth("count", INT), truth("balls.caught", INT)
    claim = count_equals(count, balls, settle=ms(20), while_=count < 100)
    caught = [(0, 0), (ms(20), 1), (ms(40), 2)]
    along = {"balls.caught": caught, "count": [(0, 40), (ms(30), 41), (ms(50), 42)]}
    full = {"balls.caught": caught, "count": [(0, 99), (ms(30), 100)]}
    back = {"balls.caught": caught, "count": [(0, 40), (ms(30), 0)]}
    found = [play(claim, signals, ms(90)) for signals in (along, full, back)]
    assert [(v.outcome, v.time) for v in found] == [(HELD, None), (HELD, None), (BROKEN, ms(40))]
    assert [name for name, _, _ in found[2].tags] == ["count", "balls.caught"]


def test_steps_are_bounded_and_named_in_the_evidence():
    """A step that lasts too long is broken at its bound; the evidence names the step that was active."""
    claim = step_at_most("cycle", "homing", ms(30), name="homing bounded")
    v = play(claim, {"cycle": [(0, "idle"), (ms(10), "homing"), (ms(60), "ready")]}, ms(90))
    assert (v.outcome, v.time, v.tags) == (BROKEN, ms(40), (("cycle", "homing", ms(10)),))
    assert claim.names() == ("cycle",)
    assert StepActive("cycle", ("homing",)).same_as(claim.propositions()[0])
    assert chart("cycle").name == "cycle"


def test_a_power_up_claim_is_triggered_by_the_start():
    """The start of the run rises once."""
    claim = holds(~A, for_=ms(30), after=start_of_run())
    assert play(claim, {"a": levels("____#")}, ms(60)).outcome is HELD
    assert play(claim, {"a": levels("___#_")}, ms(60)).time == ms(30)
