"""Laws of the monitors: they agree with plain evaluators that look at every instant of the whole trace.

The evaluators know nothing of deadlines, queues or wakes: they apply the definition at each step of 1 ms. On signals
that change on the grid, with bounds on the grid, that decides the same as dense time.
"""

from math import inf

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.rules import (
    Outcome,
    alternates,
    always,
    always_in,
    at_most_for,
    before,
    count_at_most,
    dead_time,
    exclusive,
    holds,
    holds_for,
    interlock,
    lasted,
    never,
    no_restart_by_itself,
    one_hot,
    total_at_most,
    trip_latched,
    until,
    within,
)
from simplant.timebase import ms
from tests.rules.trace_player import Slope, levels, play, tag, truth

A, B, C, D = (tag(name) for name in "abcd")
MARKS = st.text("#_", min_size=1, max_size=24)
TRACES = st.fixed_dictionaries(dict.fromkeys("abcd", MARKS))
BOUNDS = st.tuples(st.integers(0, 6), st.integers(0, 6)).map(sorted)
ENDS = st.integers(0, 30)


def at(marks, k):
    return marks[min(k, len(marks) - 1)] == "#"


def rises(marks, end):
    return [k for k in range(end + 1) if at(marks, k) and (k == 0 or not at(marks, k - 1))]


def plain_until(t, p, q, first, last, end):
    for k in range(t, end + 1):
        if k >= t + first and at(q, k):
            return Outcome.HELD, None
        if not at(p, k) or k == t + last:
            return Outcome.BROKEN, k
    return Outcome.UNDECIDED, None


def plain_all(t, p, first, last, end):
    for k in range(t, end + 1):
        if k >= t + first and not at(p, k):
            return Outcome.BROKEN, k
        if k == t + last:
            return Outcome.HELD, None
    return Outcome.UNDECIDED, None


def joined(verdicts):
    """Join the verdicts of all triggers: broken by the earliest, else undecided, else held."""
    breaches = [t for outcome, t in verdicts if outcome is Outcome.BROKEN]
    if breaches:
        return Outcome.BROKEN, ms(min(breaches))
    if not verdicts:
        return Outcome.NOT_EXERCISED, None
    return max((o for o, _ in verdicts), key=[Outcome.HELD, Outcome.UNDECIDED].index), None


def judged(claim, marks, end, **how):
    verdict = play(claim, {n: levels(m, ms(1)) for n, m in marks.items()}, ms(end), **how)
    return verdict.outcome, verdict.time


@given(TRACES, BOUNDS, ENDS)
def test_until_agrees_with_its_definition(marks, bounds, end):
    """until, and within as its special case, at every trigger."""
    first, last = bounds
    starts = rises(marks["c"], end)
    claim = until(A, B, between=(ms(first), ms(last)), after=C)
    plain = joined([plain_until(t, marks["a"], marks["b"], first, last, end) for t in starts])
    assert judged(claim, marks, end) == plain
    plain = joined([plain_until(t, "#", marks["b"], 0, last, end) for t in starts])
    assert judged(within(B, ms(last), after=C), marks, end) == plain


@given(TRACES, BOUNDS, ENDS)
def test_lasting_agrees_with_its_definition(marks, bounds, end):
    """always_in and holds at every trigger; holds_for and at_most_for on every period."""
    first, last = bounds
    starts, periods = rises(marks["c"], end), rises(marks["a"], end)
    claim = always_in(A, between=(ms(first), ms(last)), after=C)
    assert judged(claim, marks, end) == joined([plain_all(t, marks["a"], first, last, end) for t in starts])
    assert judged(holds(A, for_=ms(last), after=C), marks, end) == joined(
        [plain_all(t, marks["a"], 0, last, end) for t in starts]
    )
    least = last + 1
    lasting = joined([plain_all(t, marks["a"], 0, last, end) for t in periods])
    verdict = judged(holds_for(A, ms(least)), marks, end)
    cut = max(periods, default=0) + last == end and lasting[0] is Outcome.HELD
    assert verdict == lasting or (cut and verdict[0] is Outcome.UNDECIDED)  # true until `least - 1 ms`, then the end
    opposite = marks["a"].translate(str.maketrans("#_", "_#"))
    assert judged(at_most_for(A, ms(last)), marks, end) == joined(
        [plain_until(t, "#", opposite, 0, last, end) for t in periods]
    )


@given(TRACES, ENDS, st.integers(0, 6))
def test_lasting_while_agrees_with_its_definition(marks, end, last):
    """at_most_for with while_: no stretch of both is longer; each rise of while_ puts it to the test."""
    both = "".join("#" if at(marks["a"], k) and at(marks["b"], k) else "_" for k in range(end + 1))
    opposite = both.translate(str.maketrans("#_", "_#"))
    plain = joined([plain_until(t, "#", opposite, 0, last, end) for t in rises(both, end)])
    tested = len(rises(marks["b"], end))
    if plain[0] is Outcome.NOT_EXERCISED and tested:
        plain = Outcome.HELD, None
    claim = at_most_for(A, ms(last), while_=B)
    assert judged(claim, marks, end) == plain
    assert play(claim, {n: levels(m, ms(1)) for n, m in marks.items()}, ms(end)).times_exercised == tested


@given(TRACES, ENDS)
def test_turns_agree_with_their_definition(marks, end):
    """Alternates: between two rises of the one lies a rise of the other, or `unless`."""
    pairs = (rises(marks["a"], end), rises(marks["b"], end))
    together = set(pairs[0]) & set(pairs[1])
    excused = [k for k in range(end + 1) if at(marks["c"], k)]
    alone = {k: side for side in (0, 1) for k in pairs[side] if k not in together and k not in excused}
    judged_at = {}
    for k, side in alone.items():
        before_k = [j for j in alone if j < k]
        if before_k and not any(max(before_k) < e < k for e in excused):
            judged_at[k] = alone[max(before_k)] == side
    bad = [k for k, wrong in judged_at.items() if wrong]
    calm = Outcome.HELD if judged_at else Outcome.NOT_EXERCISED
    expected = (Outcome.BROKEN, ms(min(bad))) if bad else (calm, None)
    assert judged(alternates(A, B, unless=C), marks, end) == expected


@given(TRACES, ENDS)
def test_states_agree_with_their_definition(marks, end):
    """always, never and groups look at every instant."""
    implied = [k for k in range(end + 1) if at(marks["a"], k)]
    bad = [k for k in implied if not at(marks["b"], k)]
    plain = (Outcome.BROKEN, ms(bad[0])) if bad else (Outcome.HELD if implied else Outcome.NOT_EXERCISED, None)
    assert judged(always(A.implies(B)), marks, end) == plain
    assert judged(never(A), marks, end) == ((Outcome.BROKEN, ms(implied[0])) if implied else (Outcome.HELD, None))
    counts = [sum(at(marks[n], k) for n in "abc") for k in range(end + 1)]
    for claim, good in ((one_hot(A, B, C), {1}), (exclusive(A, B, C), {0, 1})):
        bad = [k for k, count in enumerate(counts) if count not in good]
        calm = Outcome.NOT_EXERCISED if 0 in good and not any(counts) else Outcome.HELD
        assert judged(claim, marks, end) == ((Outcome.BROKEN, ms(bad[0])) if bad else (calm, None))


@given(TRACES, ENDS, st.integers(0, 3), st.integers(1, 12))
def test_order_and_count_agree_with_their_definition(marks, end, most, window):
    """before and count_at_most, spans ending with the rise of c; lasted and a window, looking back from a rise of b."""
    resets, laters = rises(marks["c"], end), rises(marks["b"], end)

    def prepared(k):
        return any(at(marks["a"], j) and not any(j < s < k for s in resets) for j in range(k + 1))

    bad = [k for k in laters if not prepared(k)]
    calm = Outcome.HELD if laters else Outcome.NOT_EXERCISED
    assert judged(before(A, B, since=C), marks, end) == ((Outcome.BROKEN, ms(bad[0])) if bad else (calm, None))
    back = most + 1
    bad = [k for k in laters if k < back or not all(at(marks["a"], j) for j in range(k - back, k))]
    assert judged(lasted(A, ms(back), before=B), marks, end) == ((Outcome.BROKEN, ms(bad[0])) if bad else (calm, None))
    bad = [k for k in laters if sum(1 for j in laters if j <= k and not any(j <= s < k for s in resets)) > most]
    assert judged(count_at_most(B, most, reset=C), marks, end) == (
        (Outcome.BROKEN, ms(bad[0])) if bad else (calm, None)
    )
    bad = [k for k in laters if sum(1 for j in laters if k - window < j <= k) > most]
    assert judged(count_at_most(B, most, window=ms(window)), marks, end) == (
        (Outcome.BROKEN, ms(bad[0])) if bad else (calm, None)
    )


def locked(marks, k, edges, *, gone):
    """Whether at step k edges are still missing since the last loss (a)."""
    losses = rises(marks["a"], k)
    after = losses[-1] if losses else None
    for edge in edges:
        good = [e for e in rises(marks[edge], k) if losses and e > after and not (gone and at(marks["a"], e))]
        if not good:
            return bool(losses)
        after = good[0]
    return False


@given(TRACES, ENDS, st.integers(0, 4))
def test_latches_agree_with_their_definition(marks, end, stop):
    """trip_latched, interlock and no_restart_by_itself: off `stop` after the first loss, until edges after the last."""
    driven, exercised = marks["b"], bool(rises(marks["a"], end))

    def first(bad):
        calm = Outcome.HELD if exercised else Outcome.NOT_EXERCISED
        return (Outcome.BROKEN, ms(bad[0])) if bad else (calm, None)

    for edges, claim in (
        ("cd", trip_latched(A, B, reset=C, start=D, stop_within=ms(stop))),
        ("c", interlock(B, ~A, stop_within=ms(stop), start=C)[1]),
    ):
        shut = [locked(marks, k, edges, gone=True) for k in range(end + 1)]
        bad = [k for k in range(stop, end + 1) if all(shut[k - stop : k + 1]) and at(driven, k)]
        expected, found = first(bad), judged(claim, marks, end)
        stopping = shut[end] and at(driven, end)
        assert found == expected or (stopping and not bad and found[0] is Outcome.UNDECIDED)
    claim = no_restart_by_itself(B, start=C, after=A)
    bad = [k for k in rises(driven, end) if locked(marks, k, "c", gone=False)]
    assert judged(claim, marks, end) == first(bad)


@given(TRACES, ENDS, st.integers(0, 4))
def test_dead_time_agrees_with_its_definition(marks, end, least):
    """Direction b of axis a: a change while it runs, too soon after a stop, or too soon before a start."""
    run, way = marks["a"], marks["b"]
    changes = [k for k in range(1, end + 1) if at(way, k) is not at(way, k - 1)]
    stops = [k for k in range(1, end + 1) if at(run, k - 1) and not at(run, k)]
    bad = {k for k in changes if at(run, k - 1) and at(run, k)}
    bad |= {k for k in changes if any(0 <= k - s < least for s in stops) and not (at(run, k - 1) and at(run, k))}
    bad |= {k for k in rises(run, end) if any(0 <= k - c < least for c in changes)}
    calm = Outcome.HELD if changes else Outcome.NOT_EXERCISED
    expected = (Outcome.BROKEN, ms(min(bad))) if bad else (calm, None)
    assert judged(dead_time(A, B, ms(least)), marks, end) == expected


@given(MARKS, ENDS, st.integers(0, 6), st.integers(1, 12) | st.none())
def test_total_agrees_with_its_definition(marks, end, most, window):
    """The sliding total at every step; broken where it stands at the limit and still grows; margin from its maximum."""
    span = window or 1000
    total = {t: sum(at(marks, k) for k in range(max(t - span, 0), t)) for t in range(end + 1)}
    grows = {t: at(marks, t) and not (t >= span and at(marks, t - span)) for t in total}
    bad = [t for t in total if total[t] == most and grows[t]]
    claim = total_at_most(A, ms(most), window=None if window is None else ms(window))
    verdict = play(claim, {"a": levels(marks, ms(1))}, ms(end))
    used = any(at(marks, t) for t in total)
    calm = Outcome.HELD if used else Outcome.NOT_EXERCISED
    assert (verdict.outcome, verdict.time) == ((Outcome.BROKEN, ms(bad[0])) if bad else (calm, None))
    assert verdict.margin == ((most - max(total.values())) / (most or 1000) if used else None)


CLAIMS = [
    always(A.implies(B)),
    within(B, ms(3), after=A),
    until(A, B, between=(ms(1), ms(4)), after=C),
    at_most_for(A, ms(4)),
    at_most_for(A, ms(4), while_=B),
    alternates(A, B, unless=C),
    holds(A, for_=ms(3), after=C),
    holds_for(A, ms(4)),
    always_in(A, between=(ms(2), ms(5)), after=C),
    before(A, B, since=C),
    lasted(A, ms(2), before=B),
    trip_latched(A, B, reset=C, start=D, stop_within=ms(2)),
    no_restart_by_itself(B, start=C),
    dead_time(A, B, ms(2)),
    total_at_most(A, ms(4), window=ms(8)),
    count_at_most(A, 3, reset=B),
    count_at_most(A, 2, window=ms(7)),
    exclusive(A, B),
]


@settings(max_examples=150)  # so that each claim is drawn several times
@given(st.sampled_from(CLAIMS), TRACES, ENDS, st.integers(0, 10))
def test_a_breach_stays_and_a_margin_has_its_sign(claim, marks, end, more):
    """A broken rule is broken in every longer run, from the same instant; held means margin >= 0, broken <= 0."""
    signals = {n: levels(m, ms(1)) for n, m in marks.items()}
    short, long = play(claim, signals, ms(end)), play(claim, signals, ms(end + more))
    if short.outcome is Outcome.BROKEN:
        assert (long.outcome, long.time) == (short.outcome, short.time)
        assert long.breaches >= short.breaches
    for verdict in (short, long):
        if verdict.margin is not None:
            wrong = {Outcome.HELD: verdict.margin < 0, Outcome.BROKEN: verdict.margin > 0}
            assert not wrong.get(verdict.outcome, False)


@settings(max_examples=150)  # so that each claim is drawn several times
@given(st.sampled_from(CLAIMS), TRACES, ENDS, st.sets(st.integers(0, 30_000), max_size=8))
def test_wakes_change_nothing(claim, marks, end, extra):
    """More wakes, or none at the deadlines, give the same verdict (but for evidence gathered late)."""
    signals = {n: levels(m, ms(1)) for n, m in marks.items()}
    woken = play(claim, signals, ms(end), extra=[e * 1000 for e in extra if e * 1000 <= ms(end)])
    plain, lazy = play(claim, signals, ms(end)), play(claim, signals, ms(end), lazy=True)
    assert woken == plain
    assert [getattr(lazy, f) for f in ("outcome", "time", "margin", "times_exercised", "breaches")] == [
        getattr(plain, f) for f in ("outcome", "time", "margin", "times_exercised", "breaches")
    ]


SLOPES = st.lists(st.tuples(st.integers(-50, 50), st.integers(-2000, 2000)), min_size=1, max_size=6)


@given(SLOPES, st.integers(-40, 40), MARKS)
@settings(max_examples=60)
def test_margins_are_extremes_of_the_whole_span(pieces, level, marks):
    """The margin of a level is the least distance over the run, up to the rounding of crossings.

    That of an implication is the least over the spans where its condition holds.
    """
    x, end = truth("x"), 30
    moving = [(ms(4 * i), Slope(float(start), float(rate))) for i, (start, rate) in enumerate(pieces)]
    signals = {"x": moving, "a": levels(marks, ms(1))}
    fine = [k / 50 for k in range(end * 50 + 1)]

    def value(t):
        begun, slope = moving[min(int(t // 4), len(moving) - 1)]
        return slope.start + slope.rate * (t * 1e6 - begun) / 1e9

    for claim, active in ((always(x > float(level)), lambda t: True), (always(A.implies(x > float(level))), None)):
        chosen = [t for t in fine if active or at(marks, int(t))]
        verdict = play(claim, signals, ms(end))
        distance = min((value(t) - level for t in chosen), default=inf)
        if verdict.margin is None:
            assert not chosen
            continue
        margin = verdict.margin * (abs(level) or 1)
        assert margin <= distance + 0.003, "a lower bound"
        assert margin >= min(distance - 0.05, 0) - 1e-9 if distance <= 0 else margin >= distance - 0.05, "a close one"
        if abs(distance) > 0.005:  # nearer than a crossing is rounded, either may be found
            assert (verdict.outcome is Outcome.BROKEN) == (distance < 0)
