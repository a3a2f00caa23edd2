"""Each step of a chart ends in its time: the same as a bound on each step by itself, told by one rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant import RuleError
from simplant.expr import StepActive
from simplant.rules import Outcome, at_most_for, steps_end
from simplant.timebase import ms
from tests.rules.trace_player import levels, play, tag

DARK = tag("dark")
LIMITS = {"press": ms(30), "lift": ms(20)}


def course(text):
    """Read `rpp`: a step each 10 ms, by its first letter."""
    names = {"r": "ready", "p": "press", "l": "lift"}
    return [(i * ms(10), names[c]) for i, c in enumerate(text) if i == 0 or c != text[i - 1]]


def judged(steps, dark="", **limits):
    claim = steps_end("cycle", limits or LIMITS, unless=DARK)
    signals = {"cycle": course(steps), "dark": levels(dark or "_" * len(steps))}
    verdict = play(claim, signals, (len(steps) - 1) * ms(10))
    return verdict.outcome, verdict.time and verdict.time // ms(1), verdict.margin_text


@pytest.mark.parametrize(("steps", "dark", "said"), [
    ("rrrrrrrr", "", (Outcome.NOT_EXERCISED, None, "")),
    ("rpprrr", "", (Outcome.HELD, None, "10 ms of 30 ms")),
    ("rppprr", "", (Outcome.HELD, None, "0.000 s of 30 ms")),
    ("rppppr", "", (Outcome.BROKEN, 40, "-10 ms of 30 ms")),
    ("rpplllrr", "", (Outcome.BROKEN, 50, "-10 ms of 20 ms")),
    ("rpplrr", "", (Outcome.HELD, None, "10 ms of 30 ms")),
    ("rrpp", "", (Outcome.UNDECIDED, None, "")),
    ("rppppppr", "__######", (Outcome.HELD, None, "20 ms of 30 ms")),
])  # fmt: skip
def test_verdicts(steps, dark, said):
    """A step that ends at its limit ended in time; each limit is its own; what is excused begins anew."""
    assert judged(steps, dark) == said


@given(st.text("rpl", min_size=2, max_size=20), st.integers(1, 4), st.integers(1, 4))
def test_as_a_bound_on_each_step(steps, press, lift):
    """It is broken first when the first of the single bounds is, and held when they all are."""
    limits = {"press": press * ms(10), "lift": lift * ms(10)}
    signals = {"cycle": course(steps), "dark": [(0, False)]}
    end = (len(steps) - 1) * ms(10)
    together = play(steps_end("cycle", limits), signals, end)
    single = [
        play(at_most_for(StepActive("cycle", (step,)), most), {"cycle": course(steps)}, end)
        for step, most in limits.items()
    ]
    times = [v.time for v in single if v.time is not None]
    assert together.time == min(times, default=None)
    assert together.breaches == sum(v.breaches for v in single)


@pytest.mark.parametrize(("limits", "told"), [
    ({}, "steps_end has no limits"), ({"press": ms(0)}, "the limit of press is 0.000 s. It must be above 0."),
    ({"press": 0.5}, "the limit of press must be a duration but is 0.5."),
])  # fmt: skip
def test_what_is_no_limit(limits, told):
    """Told where it is written."""
    with pytest.raises(RuleError) as error:
        steps_end("cycle", limits)
    assert told in str(error.value)
