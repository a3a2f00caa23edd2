"""Margins against an independent monitor library (rtamt, robustness of signal temporal logic), on random traces.

The library samples; our monitors hear of changes. On signals that change only at whole ticks both mean the same: the
least distance from the level over the interval, negative where it was passed.
Source: Nickovic and Yamaguchi, "RTAMT: online robustness monitors from STL", ATVA 2020 (from memory).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.rules import always, always_in, at, never
from simplant.timebase import Ns, ms
from tests.rules.trace_player import play, tag, truth

rtamt = pytest.importorskip("rtamt")

TICK = ms(1)
LONGEST = 12
X, Y, GO = truth("x"), truth("y"), tag("go")
values = st.lists(st.integers(-9, 9).map(float), min_size=LONGEST, max_size=LONGEST)


def pieces(row):
    """Give a row of samples as the changes in it."""
    return [(n * TICK, v) for n, v in enumerate(row) if n == 0 or v != row[n - 1]]


def theirs(formula, **rows):
    """Give the robustness of a formula at the first tick."""
    spec = rtamt.StlDiscreteTimeSpecification()
    for name in rows:
        spec.declare_var(name, "float")
    spec.spec = formula
    spec.parse()
    return spec.evaluate({"time": list(range(LONGEST)), **rows})[0][1]


def ours(claim, **rows):
    """Give our margin in the unit of the signal, and the verdict."""
    return play(claim, {name: pieces(row) for name, row in rows.items()}, (LONGEST - 1) * TICK).margin


@given(values, values, st.integers(-5, 5))
def test_always_and_never(x, y, level):
    """The least distance of a whole trace, of one comparison, of two joined by AND or OR, and turned by NOT."""
    for claim, formula in (
        (always(X <= level, scale=1.0), f"always(x <= {level})"),
        (always((X <= level) & (Y >= -level), scale=1.0), f"always((x <= {level}) and (y >= {-level}))"),
        (always((X <= level) | (Y >= level), scale=1.0), f"always((x <= {level}) or (y >= {level}))"),
        (never((X > level) & (Y > level), scale=1.0), f"always(not((x > {level}) and (y > {level})))"),
    ):
        assert ours(claim, x=x, y=y) == theirs(formula, x=x, y=y)


@given(values, st.integers(-5, 5), st.integers(0, LONGEST - 1), st.integers(0, LONGEST - 1))
def test_in_an_interval(x, level, one, other):
    """Of a closed interval, both ends included; one that is broken is measured up to its breach."""
    first, last = sorted((one, other))
    claim = always_in(X >= level, between=(Ns(first * TICK), Ns(last * TICK)), scale=1.0)
    breach = next((n for n in range(first, last + 1) if x[n] < level), last)
    assert ours(claim, x=x) == theirs(f"always[{first}:{breach}](x >= {level})", x=x)


@given(values, st.lists(st.booleans(), min_size=LONGEST, max_size=LONGEST), st.integers(-5, 5))
def test_at_each_rise(x, go, level):
    """At each rise of a trigger, sampled; where there is none, nothing is said."""
    rises = [float(now and not before) for now, before in zip(go, [False, *go], strict=False)]
    claim = at(GO, X <= level, scale=1.0)
    margin = ours(claim, x=x, go=go)
    if not any(rises):
        assert margin is None
        return
    far = [100.0 if rise else -100.0 for rise in rises]
    assert margin == theirs(f"always((g >= 0) -> (x <= {level}))", x=x, g=far)
