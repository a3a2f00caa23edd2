"""Double coils: the smallest program that has one, and its neighbour that must not be blamed."""

import pytest

from simplant import INT, Alarm, Step, constant, go, ms
from tests.check.kit import chart, findings, whats


def _two_coils(p, t):
    p.rung(t.motor, t.start)
    p.rung(t.motor, t.stop)


def _set_twice(p, t):
    p.set(t.motor, t.start)
    p.set(t.motor, t.sensor)
    p.reset(t.motor, t.stop)


def _coil_and_drive(p, t):
    p.rung(t.motor, t.start)
    chart(p, [Step("rest"), Step("run", drive=(t.motor,))], [go("rest", "run", t.start)])


def _action_and_drive(p, t):
    chart(
        p,
        [Step("rest", entry=[t.motor.becomes(False)]), Step("run", drive=(t.motor,))],
        [go("rest", "run", t.start), go("run", "rest", t.stop)],
    )


def _moves_that_meet(p, t):
    p.move(t.motor.becomes(True), when=t.start)
    p.move(t.motor.becomes(False), when=t.stop)
    p.move(t.motor.becomes(t.sensor), when=t.start)


def _two_tasks(p, t):
    p.move(t.motor.becomes(True), when=t.start & t.stop)
    with p.task("fast", period=ms(1)):
        p.move(t.motor.becomes(False), when=t.start & ~t.stop)


def _condition_changes_between(p, t):
    way = p.memory("way")
    p.move(t.motor.becomes(True), when=way)
    p.rung(way, t.start)
    p.move(t.motor.becomes(t.sensor), when=~way)


def _python_and_coil(p, t):
    p.python(lambda x: x, reads=[t.start], writes=[t.motor])
    p.rung(t.motor, t.start)


@pytest.mark.parametrize(
    "write",
    [
        _two_coils,
        _set_twice,
        _coil_and_drive,
        _action_and_drive,
        _moves_that_meet,
        _two_tasks,
        _condition_changes_between,
        _python_and_coil,
    ],
)
def test_an_output_with_two_writers_is_an_error(write):
    """One scan, or two tasks, can write the output twice."""
    found = findings(write, "double coil")
    assert [(f.severity, f.what.split(" is written")[0]) for f in found] == [("error", "motor")]


def _set_and_reset(p, t):
    p.set(t.motor, t.start)
    p.reset(t.motor, t.stop)


def _opposite_conditions(p, t):
    run = p.rung(p.memory("run"), t.start & ~t.stop)
    p.move(t.motor.becomes(True), when=run & t.sensor)
    p.move(t.motor.becomes(t.sensor), when=t.stop)


def _other_numbers(p, t):
    p.move(t.motor.becomes(True), when=t.weight > 10)
    p.move(t.motor.becomes(False), when=t.weight < 10)


def _exclusive_steps(p, t):
    cycle = chart(p, [Step("rest"), Step("run", entry=[t.motor.becomes(True)])], [go("rest", "run", t.start)])
    del cycle
    p.move(t.motor.becomes(False), when=p.charts["cycle"]["rest"])


def _actions_of_one_chart(p, t):
    chart(
        p,
        [Step("rest", exit=[t.motor.becomes(False)]), Step("run", entry=[t.motor.becomes(True)])],
        [go("rest", "run", t.start, t.motor.becomes(t.sensor)), go("run", "rest", t.stop)],
    )


def _first_come(p, t):
    """The second does nothing once the first has filled the place."""
    place = p.memory("place", INT)
    p.move(place.becomes(1), when=t.start & (place == 0))
    p.move(place.becomes(2), when=t.stop & (place == 0))
    p.move(t.motor.becomes(True), when=place > 0)


def _latch_reset_by_a_step(p, t):
    p.set(t.motor, t.sensor)
    chart(p, [Step("rest"), Step("run", entry=[t.motor.becomes(False)])], [go("rest", "run", t.start)])


@pytest.mark.parametrize(
    "write",
    [
        _set_and_reset,
        _opposite_conditions,
        _other_numbers,
        _exclusive_steps,
        _actions_of_one_chart,
        _first_come,
        _latch_reset_by_a_step,
    ],
)
def test_writers_that_cannot_meet_are_left_alone(write):
    """Exclusive conditions, one set/reset pair, actions of one chart."""
    assert [f for kind in ("double coil", "several writers") for f in findings(write, kind)] == []


def test_memory_is_judged_by_what_it_holds():
    """A flag that two rungs fight for is likely wrong; a number that is worked on in steps is worth knowing."""

    def write(p, t):
        flag, total = p.memory("flag"), p.memory("total", INT)
        p.move(flag.becomes(True), total.becomes(1), when=t.start)
        p.move(flag.becomes(t.sensor), total.becomes(total / constant(2, INT)), when=t.stop)
        cause = p.alarms("alarm", t.start, [Alarm("hot", t.sensor, "too hot")]).first_out
        p.move(t.motor.becomes(cause == 0))

    assert [
        (f.severity, f.kind, f.what.split()[0]) for f in findings(write) if "writ" in f.what and "flag" in f.what
    ] == [
        ("warning", "double coil", "flag"),
        ("note", "unread memory", "memory"),
    ]
    assert [f.what.split()[0] for f in findings(write, "several writers")] == ["total"]


def test_both_writers_are_named_with_their_places():
    """Each coil with its line; the finding itself stands at the last."""
    (found,) = findings(_two_coils, "double coil")
    line = _two_coils.__code__.co_firstlineno
    here = f"tests/check/{__name__.rpartition('.')[2]}.py"
    assert found.what == f"motor is written by coil at {here}:{line + 1} and coil at {here}:{line + 2}"
    assert str(found.place) == f"{here}:{line + 2}"


def test_too_many_conditions_are_called_not_decided():
    """Seventeen independent conditions, exclusive or not, are not tried."""

    def write(p, t):
        bits = [p.memory(f"bit_{n}") for n in range(17)]
        some = bits[0]
        for bit in bits[1:]:
            some = some | bit
        p.move(t.motor.becomes(True), when=some)
        p.move(t.motor.becomes(t.sensor), when=~some)

    assert [f.severity for f in findings(write, "not decided")] == ["note"]
    assert whats(write, "double coil") == []
