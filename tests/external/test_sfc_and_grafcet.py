"""Where charts by IEC 61131-3 and by IEC 60848 (GRAFCET) go the same way, and where they part.

The referee evolves by the five rules of IEC 60848 as two published courses tell them (SOURCES.md): all transitions that
can be cleared are, again and again until the situation is stable. Rule: whole sequences of situations are compared.
"""

from dataclasses import replace
from random import Random

import pytest

from tests.agree.charts import INPUTS, Chart, Condition, Way, random_chart
from tests.st.running import scans

ALWAYS = Condition(())


def cleared(chart, situation, inputs):
    """The transitions that rule 4 clears at once: enabled, and their condition true."""
    elapsed = dict.fromkeys(chart.steps, 0)
    return [w for w in chart.ways if set(w.sources) <= situation and w.test.holds(inputs, situation, elapsed)]


def evolved(situation, ways):
    """Rules 3 and 5: all preceding steps are left, all following ones entered; what is both stays active."""
    return situation - {s for w in ways for s in w.sources} | {t for w in ways for t in w.targets}


def passed_through(chart, situation, inputs, most=50):
    """The situations that one instant passes through until it is stable, the stable one last."""
    found = [situation]
    while (ways := cleared(chart, found[-1], inputs)) and len(found) < most:
        found.append(evolved(found[-1], ways))
    return found


def ours(chart, inputs):
    """The situations after each scan, `inputs` being those of each scan."""
    names = list(chart.steps)
    rows = scans(chart.text(), dict(enumerate(inputs)), count=len(inputs))
    return [{name for name in names if row[f"{name}.X"]} for row in rows]


def untimed(chart):
    """The same chart without times: IEC 60848 has no scan to count them by."""
    return replace(chart, ways=tuple(replace(w, test=replace(w.test, step="")) for w in chart.ways))


def chart(steps, *ways, initial="K"):
    return Chart({s: [] for s in steps}, (initial,), tuple(Way((a,), (b,), test, None) for a, b, test in ways))


@pytest.mark.slow
def test_without_alternatives_an_evolution_is_a_scan():
    """Where no two transitions that leave one step can be cleared at once, both evolve alike, one evolution a scan."""
    compared = parted = 0
    for seed in range(40):
        rnd = Random(seed)
        drawn = untimed(random_chart(rnd))
        inputs = [{n: rnd.random() < 0.5 for n in INPUTS} for _ in range(12)]
        seen = ours(drawn, inputs)
        assert seen[0] == set(drawn.initial)
        for before, after, given in zip(seen, seen[1:], inputs[1:], strict=False):
            ways = cleared(drawn, before, given)
            left = [step for way in ways for step in way.sources]
            compared += 1
            if len(left) == len(set(left)):
                assert after == evolved(before, ways)
            else:
                parted += 1
    assert 10 < parted < compared / 2


def test_alternatives_part_the_two():
    """Rule 4 clears both ways out of K, and L and M are active; IEC 61131-3 takes one."""
    both = chart("KLM", ("K", "L", Condition((("a", True),))), ("K", "M", Condition((("a", True),))))
    given = dict.fromkeys(INPUTS, True)
    assert passed_through(both, {"K"}, given)[-1] == {"L", "M"}
    assert ours(both, [given, given, given]) == [{"K"}, {"L"}, {"L"}]


def test_exclusive_alternatives_do_not():
    """Conditions that exclude each other, as IEC 60848 wants them, are one way in both."""
    one = chart("KLM", ("K", "L", Condition((("a", True),))), ("K", "M", Condition((("a", False),))))
    given = dict.fromkeys(INPUTS, True)
    assert passed_through(one, {"K"}, given)[-1] == {"L"}
    assert ours(one, [given, given]) == [{"K"}, {"L"}]


def test_what_is_passed_through_lasts_a_scan():
    """From K by way of L and M to N: one instant there, a scan for each step here; both come to rest in N."""
    row = chart("KLMN", ("K", "L", Condition((("a", True),))), ("L", "M", ALWAYS), ("M", "N", ALWAYS))
    given = dict.fromkeys(INPUTS, True)
    transient = passed_through(row, {"K"}, given)
    assert transient == [{"K"}, {"L"}, {"M"}, {"N"}]
    assert ours(row, [given] * 6) == [*transient, {"N"}, {"N"}]


def test_a_round_without_rest():
    """A round whose conditions all hold is never stable for IEC 60848, so it is wrong there; here it turns by scans."""
    wheel = chart("KL", ("K", "L", ALWAYS), ("L", "K", ALWAYS))
    assert len(passed_through(wheel, {"K"}, dict.fromkeys(INPUTS, False))) == 50
    assert ours(wheel, [{}] * 4) == [{"K"}, {"L"}, {"K"}, {"L"}]
