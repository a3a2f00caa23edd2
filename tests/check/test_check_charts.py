"""Sequences: dead steps and rows, priority, waits; each with its innocent neighbour."""

import pytest

from simplant import INT, Step, go, ms, seconds
from tests.check.kit import chart, findings, whats

CHART_KINDS = ("unreachable step", "dead end", "guard never true", "shadowed transition", "priority", "not decided")


def charted(steps, rows):
    """Give the findings on the steps and rows of one chart: (kind, what)."""

    def write(p, t):
        made = p.sequence("cycle", steps)
        made.transitions(rows(p, t, made))

    return [(f.kind, f.what) for f in findings(write) if f.kind in CHART_KINDS]


CASES = [
    (
        "a loop of two steps is in order",
        ["rest", "run"],
        lambda _p, t, _c: [go("rest", "run", t.start), go("run", "rest", t.stop)],
        [],
    ),
    (
        "no row leads to fill",
        ["rest", "run", "fill"],
        lambda _p, t, _c: [go("rest", "run", t.start), go("run", "rest", t.stop), go("fill", "rest", t.stop)],
        [("unreachable step", "step cycle.fill can never be reached")],
    ),
    (
        "a limit leads there",
        [Step("rest", limit=seconds(1), on_limit="fill"), "fill"],
        lambda _p, t, _c: [go("fill", "rest", t.stop)],
        [],
    ),
    (
        "no row leads on",
        ["rest", "run"],
        lambda _p, t, _c: [go("rest", "run", t.start)],
        [("dead end", "step cycle.run can never be left")],
    ),
    (
        "a guard contradicts itself, and so the step behind it is out of reach",
        ["rest", "run"],
        lambda _p, t, _c: [go("rest", "run", t.start & (t.weight > 5) & (t.weight < 5)), go("run", "rest", t.stop)],
        [
            ("unreachable step", "step cycle.run can never be reached"),
            ("dead end", "step cycle.rest can never be left"),
            ("guard never true", "row 1 of cycle (to run) can never fire in step rest"),
        ],
    ),
    (
        "a longer time behind a shorter one",
        ["rest", "run", "late"],
        lambda _p, t, c: [
            go("rest", "run", c.time >= seconds(3)),
            go("rest", "late", c.time >= seconds(5)),
            go("run", "late", t.start),
            go("late", "rest", t.stop),
        ],
        [("shadowed transition", "row 2 of cycle (to late) can never fire in step rest")],
    ),
    (
        "a shorter time behind a longer one: the order decides",
        ["rest", "run", "late"],
        lambda _p, t, c: [
            go("rest", "late", c.time >= seconds(5)),
            go("rest", "run", c.time >= seconds(3)),
            go("run", "rest", t.start),
            go("late", "rest", t.stop),
        ],
        [("priority", "row 1 of cycle (to late) and row 2 can hold together in step rest")],
    ),
    (
        "two rows together leave nothing for the third",
        ["rest", "run", "late"],
        lambda _p, t, _c: [
            go("rest", "run", t.start),
            go("rest", "late", ~t.start & t.sensor),
            go("rest", "late", ~t.start & ~t.sensor),
            go("rest", "run", t.stop),
            go("run", "rest", t.start),
            go("late", "rest", t.stop),
        ],
        [("shadowed transition", "row 4 of cycle (to run) can never fire in step rest")],
    ),
    (
        "tags of rungs stand for their conditions",
        ["rest", "run", "late"],
        lambda p, t, _c: [
            go("rest", "run", p.rung(p.memory("calls"), t.start & ~t.stop)),
            go("rest", "late", p.rung(p.memory("tour"), t.stop & ~t.start)),
            go("run", "rest", t.start),
            go("late", "rest", t.stop),
        ],
        [],
    ),
    (
        "a row from all steps is named once, and a step knows that it is active",
        ["rest", "run", "fault"],
        lambda _p, t, c: [
            go("*", "fault", t.sensor),
            go("rest", "run", t.start & ~c["run"]),
            go("run", "rest", t.stop),
            go("fault", "rest", t.start & c["rest"]),
        ],
        [
            ("dead end", "step cycle.fault can never be left"),
            ("guard never true", "row 4 of cycle (to rest) can never fire in step fault"),
            ("priority", "row 1 of cycle (to fault) and the rows below it can hold together in steps rest and run"),
        ],
    ),
    (
        "two ways to one step without actions are no question of order",
        ["rest", "run"],
        lambda _p, t, c: [
            go("rest", "run", t.sensor & (c.time >= ms(300))),
            go("rest", "run", c.time >= ms(800)),
            go("run", "rest", t.stop),
        ],
        [],
    ),
    (
        "seventeen conditions are too many",
        ["rest", "run", "late"],
        lambda p, t, _c: [
            go("rest", "run", _any(p, "a")),
            go("rest", "late", _any(p, "b")),
            go("run", "rest", t.start),
            go("late", "rest", t.start),
        ],
        [("not decided", "cycle: how the rows of rest lie to each other was not decided")],
    ),
]


def _any(p, letter):
    joined = p.memory(f"{letter}_0")
    for n in range(1, 9):
        joined = joined | p.memory(f"{letter}_{n}")
    return joined


@pytest.mark.parametrize(("steps", "rows", "found"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_steps_and_rows(steps, rows, found):
    """What is said about a chart, all of it."""
    assert sorted(charted(steps, rows)) == sorted(found)


def test_a_tag_that_changed_since_its_rung_is_not_taken_for_its_condition():
    """The rung's tag holds what was; its condition may be otherwise by now."""

    def write(p, t):
        flag = p.memory("flag")
        old = p.rung(p.memory("old"), flag)
        p.rung(flag, t.start)
        chart(p, ["rest", "run"], [go("rest", "run", old & ~flag), go("run", "rest", t.stop)])

    assert findings(write, "guard never true") == []


WAITS = [
    ("a sensor, no limit", [Step("rest"), Step("run")], lambda t, _c: t.sensor, ["sensor"]),
    ("a limit that leads on", [Step("rest"), Step("run", limit=ms(9), on_limit="rest")], lambda t, _c: t.sensor, []),
    ("a limit that only reports", [Step("rest"), Step("run", limit=ms(9))], lambda t, _c: t.sensor, []),
    ("time opens it as well", [Step("rest"), Step("run")], lambda t, c: t.sensor | (c.time > ms(9)), []),
    ("time alone does not", [Step("rest"), Step("run")], lambda t, c: t.sensor & (c.time > ms(9)), ["sensor"]),
    (
        "time opens it whatever the input",
        [Step("rest"), Step("run")],
        lambda t, c: (t.sensor & (c.time > ms(9))) | (~t.sensor & (c.time > ms(5))),
        [],
    ),
]


@pytest.mark.parametrize(("steps", "guard", "inputs"), [w[1:] for w in WAITS], ids=[w[0] for w in WAITS])
def test_a_step_that_waits_for_a_sensor_has_a_way_out_by_time(steps, guard, inputs):
    """Blamed is a step that would wait for ever for an input that does not come."""

    def write(p, t):
        made = p.sequence("cycle", steps)
        made.transitions([go("rest", "run", t.start), go("run", "rest", guard(t, made))])

    blamed = [("warning", f"step cycle.run waits for {name} with no time limit") for name in inputs]
    assert whats(write, "wait without limit", operator_inputs=["start"]) == blamed


def test_waiting_for_people_is_only_named():
    """Without a word on who works an input it is taken for a sensor's."""

    def write(p, t):
        pressed = p.rising("pressed", t.start)
        chart(p, ["rest", "run"], [go("rest", "run", pressed), go("run", "rest", t.stop)])

    assert whats(write, "waits for people", operator_inputs=["start", "stop"]) == [
        ("note", "cycle: rest and run wait for start and stop with no time limit")
    ]
    assert len(findings(write, "wait without limit")) == 2


def test_a_timer_beside_the_chart_is_a_time_limit_too():
    """A timer that runs in the step and trips the chart through an alarm or a rung."""

    def write(p, t):
        made = p.sequence("cycle", ["rest", "run", "fault"])
        late = p.ton("late", made["run"] & ~t.sensor, seconds(3))
        trip = p.rung(p.memory("trip"), late.Q)
        made.transitions(
            [
                go("rest", "run", t.start),
                go("run", "rest", t.sensor),
                go("run", "fault", trip),
                go("fault", "rest", t.stop),
            ]
        )

    assert whats(write, "wait without limit", operator_inputs=["start", "stop"]) == []


def test_memory_that_is_waited_for_is_no_input():
    """Only inputs can fail by a wire."""

    def write(p, t):
        count = p.memory("count", INT)
        p.move(count.becomes(1), when=t.sensor)
        chart(p, ["rest", "run"], [go("rest", "run", count > 0), go("run", "rest", count == 0)])

    assert findings(write, "wait without limit") == []
