"""The catalogue of findings on a program: the smallest program that provokes each, and its exact text."""

import re

import pytest

from simplant import INT, REAL, Step, constant, go, ms
from simplant.expr import Assignment, Ref
from simplant.values import BOOL
from tests.check.kit import findings


def _coils(p, t):
    p.rung(t.motor, t.start)
    p.rung(t.motor, t.stop)


def _coils_in_a_loop(p, t):
    for ref in (t.start, t.stop):
        p.rung(t.motor, ref)


def _tasks(p, t):
    p.rung(t.motor, t.start)
    with p.task("fast", period=ms(1)):
        p.rung(t.motor, t.stop)


def _numbers(p, t):
    n = p.memory("n", INT)
    p.move(n.becomes(1), when=t.start)
    p.move(n.becomes(2), when=t.stop)


def _flags(p, t):
    flag = p.memory("flag")
    p.move(flag.becomes(True), when=t.start)
    p.move(flag.becomes(t.sensor), when=t.stop)


def _undecided_writers(p, t):
    some = p.memory("bit")
    for n in range(16):
        some = some | p.memory(f"bit_{n}")
    p.move(t.motor.becomes(True), when=some)
    p.move(t.motor.becomes(t.stop), when=~some)


def _chart(rows, steps=("rest", "run")):
    def write(p, t):
        cycle = p.sequence("cycle", steps)
        cycle.transitions(rows(p, t, cycle))

    return write


def _wide(p, _t, _c):
    def some(letter):
        joined = p.memory(f"{letter}_0")
        for n in range(1, 9):
            joined = joined | p.memory(f"{letter}_{n}")
        return joined

    return [go("rest", "run", some("a")), go("rest", "run", some("b"), p.memory("x").becomes(True))]


def _two_way(_p, t, _c):
    return [go("rest", "run", t.start), go("run", "rest", t.stop)]


def _count(p, t):
    n = p.memory("n", INT)
    p.move(n.becomes(n + 1), when=t.start)


def _reset_count(p, t):
    n = p.memory("n", INT)
    p.move(n.becomes(n + 1), when=t.start)
    p.move(n.becomes(0), when=t.stop)


def _twice(p, t):
    it = p.block("it", "R_TRIG")
    p.call(it, CLK=t.start)
    p.call(it, CLK=t.stop)


def _python(p, t):
    def mix(x):
        return x

    p.python(mix, reads=[t.start], writes=[t.motor])


CASES = [
    (
        "double coil",
        _coils,
        "LINE: error: motor is written by coil at LINE and coil at LINE. Each writes in every scan, so only the last "
        "counts. Let one rung or one sequence write it, or make the conditions exclude each other.",
    ),
    (
        "double coil",
        _coils_in_a_loop,
        "LINE: error: motor is written by coil at LINE (2 times). Each writes in every scan, so only the last counts. "
        "Let one rung or one sequence write it, or make the conditions exclude each other.",
    ),
    (
        "double coil",
        _tasks,
        "LINE: error: motor is written by coil at LINE and coil at LINE. Tasks main and fast write it, each over the "
        "other. Let one rung or one sequence write it, or make the conditions exclude each other.",
    ),
    (
        "double coil",
        _flags,
        "LINE: warning: flag is written by assignment at LINE and assignment at LINE. They can act in one scan; then "
        "the last counts. Let one rung or one sequence write it, or make the conditions exclude each other.",
    ),
    (
        "several writers",
        _numbers,
        "LINE: note: n is written by assignment at LINE and assignment at LINE. They can act in one scan, in "
        "this order.",
    ),
    (
        "not decided",
        _undecided_writers,
        "LINE: note: motor is written by assignment at LINE and assignment at LINE; whether at most one acts in a scan "
        "was not decided. There are too many cases to try.",
    ),
    (
        "not decided",
        _chart(_wide),
        "LINE: note: cycle: how the rows of rest lie to each other was not decided. Their guards have too "
        "many cases to "
        "try (more than 16 independent conditions). Put a part of the guards into a rung of its own.",
    ),
    (
        "unreachable step",
        _chart(_two_way, ("rest", "run", "fill")),
        "LINE: warning: step cycle.fill can never be reached. No chain of rows that can fire leads there "
        "from rest. Add "
        "the row that should lead there, or remove the step.",
    ),
    (
        "dead end",
        _chart(lambda _p, t, _c: [go("rest", "run", t.start)]),
        "LINE: warning: step cycle.run can never be left. It has no row to another step that can fire, and no limit "
        "that leads to one. Add a row out of it.",
    ),
    (
        "guard never true",
        _chart(lambda _p, t, _c: [go("rest", "run", t.start & ~t.start)]),
        "LINE: warning: row 1 of cycle (to run) can never fire in step rest. No values make its guard true: start AND "
        "NOT start. Correct the guard, or remove the row.",
    ),
    (
        "shadowed transition",
        _chart(lambda _p, t, _c: [go("rest", "run", t.weight > 3), go("rest", "run", t.weight > 5)]),
        "LINE: warning: row 2 of cycle (to run) can never fire in step rest. Row 1 is tried first and holds whenever "
        "its guard does. Put the narrower guard first, or remove the row.",
    ),
    (
        "shadowed transition",
        _chart(lambda _p, t, _c: [go("rest", "run", w) for w in (t.weight > 3, t.weight < 4, t.start)]),
        "LINE: warning: row 3 of cycle (to run) can never fire in step rest. Rows 1 and 2 are tried first and one of "
        "them holds whenever its guard does. Put the narrower guard first, or remove the row.",
    ),
    (
        "priority",
        _chart(lambda _p, t, _c: [go("rest", "run", t.start), go("rest", "rest", t.stop)]),
        "LINE: note: row 1 of cycle (to run) and row 2 can hold together in step rest. The order decides: row 1 goes "
        "first.",
    ),
    (
        "wait without limit",
        _chart(lambda _p, t, _c: [go("rest", "run", t.sensor & t.start)], (Step("rest"), "run")),
        "LINE: warning: step cycle.rest waits for sensor with no time limit. If a sensor or wire fails, it waits for "
        'ever and nobody is told. Give it one: Step("rest", limit=seconds(...), on_limit="...").',
    ),
    (
        "waits for people",
        _chart(lambda _p, t, _c: [go("rest", "run", t.start)]),
        "LINE: note: cycle: rest waits for start with no time limit.",
    ),
    (
        "unused input",
        lambda p, t: p.rung(t.motor, t.start & t.stop & (t.weight > 3)),
        "warning: input sensor is never read. Whatever it says, the program does not care. Use it, or take it off the "
        "I/O list.",
    ),
    (
        "unwritten output",
        lambda p, t: p.rung(t.motor, t.start),
        "warning: output valve is never written. It keeps its initial value. Give it a rung, or take it off "
        "the I/O list.",
    ),
    (
        "unwritten memory",
        lambda p, t: p.rung(t.motor, p.memory("held")),
        "LINE: warning: memory held is read but never written. It keeps its initial value. Write it, or use "
        "a constant.",
    ),
    (
        "unread memory",
        lambda p, t: p.rung(p.memory("idle"), t.start),
        "LINE: note: memory idle is written but never read. Remove it, unless people look at it.",
    ),
    ("unused memory", lambda p, t: p.memory("spare"), "LINE: note: memory spare is never used. Remove it."),
    (
        "undeclared",
        lambda p, t: p.rung(t.motor, Ref("strat", BOOL)),
        "LINE: error: 'strat' is used but not declared. Close in spelling: start.",
    ),
    (
        "undeclared",
        lambda p, t: p.sequence("cycle", ["rest"]),
        "LINE: error: sequence 'cycle' has steps but no transitions. Call .transitions([...]).",
    ),
    (
        "type",
        lambda p, t: p.rung(t.motor, Ref("weight", BOOL)),
        "LINE: error: weight is declared INT but used as BOOL. Use the reference that the declaration gave.",
    ),
    (
        "type",
        lambda p, t: p.move(Assignment(p.memory("n", INT), t.start)),
        "LINE: error: n is INT but is given start (BOOL). Convert it: to_type(..., INT).",
    ),
    (
        "block never called",
        lambda p, t: p.block("late", "TON"),
        "LINE: warning: late (TON) is declared but never called. Its outputs keep their initial values. Call it in "
        "every scan, or remove it.",
    ),
    (
        "block called twice",
        _twice,
        "LINE: warning: it (R_TRIG) is called 2 times: at LINE and LINE. The calls share one memory, so each sees what "
        "the other left. Declare an instance for each call.",
    ),
    (
        "conditional edge block",
        lambda p, t: p.call(p.block("it", "R_TRIG"), CLK=t.start, when=t.sensor),
        "LINE: warning: it (R_TRIG) is called only when sensor. While it is not called it misses edges, and then sees "
        "one that is long past. Call it in every scan, and put the condition into its input or behind its output.",
    ),
    (
        "conditional timer",
        lambda p, t: p.call(p.block("it", "TON"), IN=t.start, when=t.sensor),
        "LINE: note: it (TON) is called only when sensor. While it is not called its Q stands still and its time runs "
        "on. Put the condition into IN.",
    ),
    (
        "counter wraps",
        _count,
        "LINE: warning: n := n + 1 (assignment) can run out of INT. After 32767 comes -32768. Hold it by min_ or max_ "
        "well inside INT, or let it count only while it is below a bound.",
    ),
    (
        "counter wraps",
        _reset_count,
        "LINE: note: n := n + 1 (assignment) can run out of INT. Only its reset (assignment at LINE) keeps it below "
        "32767. Hold it by min_ or max_ well inside INT, or let it count only while it is below a bound.",
    ),
    (
        "division by zero",
        lambda p, t: p.move(p.memory("n", INT).becomes(constant(60, INT) / t.weight)),
        "LINE: warning: 60 / weight (assignment) can divide by zero. The controller would stop there. Do it only where "
        "weight <> 0.",
    ),
    (
        "division by zero",
        lambda p, t: p.move(p.memory("n", INT).becomes(t.weight / 0)),
        "LINE: error: weight / 0 (assignment) divides by zero. The controller would stop there.",
    ),
    (
        "exact equality",
        lambda p, t: p.rung(t.motor, p.memory("x", REAL) == 2.5),
        "LINE: warning: x = 2.5 (coil) asks whether real numbers are exactly equal. Rounding decides that. Ask whether "
        "abs_(x - 2.5) is small enough.",
    ),
    (
        "exact equality",
        lambda p, t: p.rung(t.motor, t.weight == 5000),
        "LINE: note: weight = 5000 (coil) waits for one very count of weight. A reading can step past it. Use >= or "
        "<=.",
    ),
    (
        "plain Python",
        _python,
        "LINE: note: plain Python 'mix' is run in every scan. It cannot be printed, covered or exported, never sleeps, "
        "and is not looked through for races.",
    ),
]


@pytest.mark.parametrize(("kind", "write", "text"), CASES, ids=[f"{n} {c[0]}" for n, c in enumerate(CASES)])
def test_the_text_of_a_finding(kind, write, text):
    """Place, severity, what, why, mend: on one line, word for word."""
    found = findings(write, kind, operator_inputs=["start", "stop"])
    assert re.sub(r"tests/\w+/\w+\.py:\d+", "LINE", str(found[0])) == text


def test_every_kind_of_finding_is_in_the_catalogue():
    """A new kind without its text fails here: the kinds are read from the checks' own sources."""
    from pathlib import Path

    import simplant.logic.check as package

    source = "".join(p.read_text(encoding="utf-8") for p in Path(package.__file__).parent.glob("*.py"))
    kinds = set(re.findall(r'Finding\(\s*"(?:error|warning|note)",\s*"([a-z A-Z]+)"', source))
    assert kinds <= {kind for kind, _, _ in CASES}
    assert len(kinds) > 15
