"""Running Structured Text in tests: compiled and walked side by side, scan by scan."""

from simplant.logic.compile import compile_task
from simplant.logic.st.parse import parse
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.timebase import ms

PERIOD = ms(10)


def project(text, *, strict=False, read=parse):
    found = Project(text, "test.st", strict=strict, read=read)
    found.report.raise_errors()
    return found


def scans(text, given=(), *, unit=None, count=1, read=parse):
    """Give the values after each scan; `given`: {scan number: {name: value}}, held from there on.

    Compiled and walked must agree in every value and its Python type, and the values that a scan is not said to carry
    must not matter for the next.
    """
    (layout,) = lay_out(project(text, read=read), unit).layouts
    fast, plain = compile_task(layout), walk_task(layout)
    names = [slot.name for slot in fast.slots]
    inputs, state, rows = dict(given), fast.initial, []
    held = {}
    for number in range(count):
        held.update(inputs.get(number, {}))
        state = tuple(held.get(name, value) for name, value in zip(names, state, strict=True))
        after, _ = fast.run((), state, number * PERIOD)
        walked, _ = plain.run((), state, number * PERIOD)
        typed = [(name, value, type(value)) for name, value in zip(names, after, strict=True)]
        assert typed == [(name, value, type(value)) for name, value in zip(names, walked, strict=True)]
        assert [type(value) for value in after] == [type(value) for value in fast.initial]
        state = after
        rows.append(dict(zip(names, after, strict=True)))
    return rows


def once(text, *names):
    """Give some values after one scan of `VAR ... END_VAR statements` or of a whole file."""
    values = scans(text)[-1]
    return tuple(values[name] for name in names)


def value(expression, type_, declared=""):
    """Give what an expression is worth in a variable of a type."""
    return once(f"PROGRAM p VAR result : {type_}; {declared} END_VAR result := {expression}; END_PROGRAM", "result")[0]
