"""Claims against the textbook semantics of temporal logic on finite traces.

Sources: V = seen stated in a text: closed F[a,b] in the documentation of a sampled-time MTL library, half-open until
and the dualities in two pages on LTL semantics; from memory (M): Maler & Nickovic 2004 for closed-interval STL and its
until, strong, weak and three-valued verdicts on finite traces. The rows themselves are derived from these by hand.
Samples every 10 ms, each value held until the next; our signals are the same, without sampling.
"""

import pytest

from simplant.rules import Outcome, always_in, eventually, holds, until, within
from simplant.timebase import ms
from tests.rules.trace_player import levels, play, tag

P, Q = tag("p"), tag("q")
ALL_50 = always_in(P, between=(ms(0), ms(50)))
SOME_50 = eventually(Q, between=(ms(0), ms(50)))
P_UNTIL_Q = until(P, Q, between=(ms(20), ms(60)))
CLOSED_UNTIL = until(P, P & Q, between=(ms(20), ms(60)))

CASES = [
    # case, claim, p and q (10 ms a mark), end, outcome, instant of the breach; source mark
    ("A", ALL_50, "######__", "_", 100, Outcome.HELD, None),  # derived: 50 included
    ("B", ALL_50, "#####___", "_", 100, Outcome.BROKEN, 50),  # derived: closed at 50
    (
        "B half-open",
        always_in(P, between=(ms(0), ms("49.999999"))),
        "#####___",
        "_",
        100,
        Outcome.HELD,
        None,
    ),  # derived
    ("C", SOME_50, "_", "_____###", 100, Outcome.HELD, None),  # derived
    ("D", SOME_50, "_", "______##", 100, Outcome.BROKEN, 50),  # derived
    ("E, LTL", P_UNTIL_Q, "######__", "______#_", 100, Outcome.HELD, None),  # V (LTL): p need not hold at the answer
    ("E, closed STL", CLOSED_UNTIL, "######__", "______#_", 100, Outcome.BROKEN, 60),  # M (STL): p also at the answer
    ("F", P_UNTIL_Q, "#", "_#______", 100, Outcome.BROKEN, 60),  # derived: an answer before a counts for nothing
    ("G", ALL_50, "#", "_", 40, Outcome.UNDECIDED, None),  # M: three-valued inconclusive
    ("H", SOME_50, "#", "_", 40, Outcome.UNDECIDED, None),  # M: three-valued inconclusive
    ("I", ALL_50, "##_##", "_", 40, Outcome.BROKEN, 20),  # derived: definitive
    ("J", SOME_50, "_", "__#__", 40, Outcome.HELD, None),  # derived: definitive
]


@pytest.mark.parametrize(("case", "claim", "p", "q", "end", "outcome", "breach"), CASES, ids=[c[0] for c in CASES])
def test_textbook_cases(case, claim, p, q, end, outcome, breach):
    """Cases A to J come out as the table says, and breaches are found at the very instant."""
    verdict = play(claim, {"p": levels(p), "q": levels(q)}, ms(end))
    assert (verdict.outcome, verdict.time) == (outcome, None if breach is None else ms(breach))


TRACES = ["#", "_", "##____##", "__##__##", "_#######", "#######_", "#_#_#_#_"]


@pytest.mark.parametrize("q", TRACES)
@pytest.mark.parametrize("end", [30, 50, 90])
def test_some_is_true_until(q, end):
    """F[a,b] q = true U[a,b] q. Source: LTL semantics pages (V)."""
    between = (ms(10), ms(50))
    signals = {"p": levels("#"), "q": levels(q)}
    some, until_ = eventually(Q, between=between), until(P, Q, between=between)
    assert [play(c, signals, ms(end)).outcome for c in (some, until_)] == [play(some, signals, ms(end)).outcome] * 2


@pytest.mark.parametrize("q", TRACES)
def test_all_is_not_some_not(q):
    """G q = not F not q, once the trace is long enough to decide both. Source: LTL semantics pages (V)."""
    between = (ms(10), ms(50))
    signals = {"q": levels(q)}
    every, none = always_in(Q, between=between), eventually(~Q, between=between)
    opposite = {Outcome.HELD: Outcome.BROKEN, Outcome.BROKEN: Outcome.HELD}
    assert play(every, signals, ms(90)).outcome is opposite[play(none, signals, ms(90)).outcome]


@pytest.mark.parametrize("q", TRACES)
def test_bounded_response_is_anchored_at_each_trigger(q):
    """within and holds are F[0,T] and G[0,T] at each rise of the trigger; here the trigger rises once, at 20 ms."""
    shifted = "##" + q + q[-1] * (8 - len(q))
    late = {"p": levels("__######"), "q": levels(shifted)}
    anchored = {"q": levels(q)}
    pairs = [
        (within(Q, ms(30), after=P), eventually(Q, between=(ms(0), ms(30)))),
        (holds(Q, for_=ms(30), after=P), always_in(Q, between=(ms(0), ms(30)))),
    ]
    for triggered, from_start in pairs:
        assert play(triggered, late, ms(100)).outcome is play(from_start, anchored, ms(80)).outcome
