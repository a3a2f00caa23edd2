"""Sequential function charts do what the standard's rules say, compiled and walked, awake and asleep.

Rule: random charts, unsafe ones too, against a referee written from the rules (charts.py).
"""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.logic.compile import compile_task
from simplant.logic.st.prepared import read_program
from simplant.logic.walk import walk_task
from simplant.tags import Direction, Tag
from simplant.timebase import ms
from simplant.values import BOOL
from tests.agree.charts import INPUTS, OUTPUTS, Referee, random_chart
from tests.agree.stories import controller_of, story_of, told

TAGS = [
    *(Tag(n, BOOL, Direction.INPUT, address=f"%IX0.{i}") for i, n in enumerate(INPUTS)),
    *(Tag(n, BOOL, Direction.OUTPUT, address=f"%QX0.{i}") for i, n in enumerate(OUTPUTS)),
]


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    file = tmp_path_factory.mktemp("charts") / "chart.st"

    def read(chart):
        file.write_text(chart.text(), encoding="utf-8")
        return read_program(file, TAGS)

    return read


def play(layout, chart, rnd, count=60):
    """Scan by scan: the walker leaves the compiled state, and both do what the referee says."""
    fast, plain, referee = compile_task(layout), walk_task(layout), Referee(chart)
    names = [slot.name for slot in fast.slots]
    state, inputs, now = fast.initial, dict.fromkeys(INPUTS, False), 0
    for _ in range(count):
        inputs = {n: rnd.random() < 0.5 if rnd.random() < 0.3 else v for n, v in inputs.items()}
        image = tuple(inputs[n] for n in fast.inputs)
        after, _ = fast.run(image, state, now)
        assert plain.run(image, state, now)[0] == after
        active, outputs, counts = referee.scan(inputs, now)
        seen = dict(zip(names, after, strict=True))
        assert {s for s in chart.steps if seen.get(f"{s}.X", s in active)} == active
        assert {q: seen[q] for q in outputs} == outputs
        assert [seen.get("m0", counts[0]), seen.get("m1", counts[1])] == counts
        state, now = after, now + rnd.choice((ms(5), ms(10), ms(15)))


@pytest.mark.slow
@given(st.integers(0, 2**32))
@settings(max_examples=20)
def test_a_chart_does_what_the_rules_say(prepared, seed):
    """Which steps are active, which actions, and how often their bodies ran; compiled and walked states are equal."""
    rnd = Random(seed)
    chart = random_chart(rnd)
    (layout,) = prepared(chart).laid
    play(layout, chart, rnd)


@pytest.mark.slow
def test_many_charts_do_what_the_rules_say(prepared):
    """The same law on plain seeds."""
    for seed in range(50):
        chart = random_chart(Random(seed))
        (layout,) = prepared(chart).laid
        play(layout, chart, Random(seed), 100)


@pytest.mark.slow
@given(st.integers(0, 2**32))
@settings(max_examples=25)
def test_a_chart_sleeps_unseen(prepared, seed):
    """Every scan, sleeping, sleeping with extra wakes, and walked: one trace."""
    program = prepared(random_chart(Random(seed)))
    case, walked = (story_of(Random(seed), program, acts=8, make=make) for make in (compile_task, walk_task))
    every = told(case, controller_of(case, sleep=False))
    assert told(case, controller_of(case)) == every
    assert told(case, controller_of(case, extra=lambda _task, k: k % 5 == 0)) == every
    assert told(walked, controller_of(walked)) == every


@pytest.mark.slow
def test_charts_do_sleep(prepared):
    """A chart that waits for an input or a time is not scanned meanwhile: more than a quarter is slept through."""
    slept = scanned = 0
    for seed in range(20):
        case = story_of(Random(seed), prepared(random_chart(Random(seed))), acts=8)
        controller = controller_of(case)
        told(case, controller)
        ran, left_out = controller.counts(case.until)
        slept, scanned = slept + left_out, scanned + ran + left_out
    assert slept > scanned / 4
