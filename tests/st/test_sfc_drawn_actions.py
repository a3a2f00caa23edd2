"""Actions whose bodies are drawn: rungs in a step, lowered like rungs anywhere, and done while their step is active.

What ladder does is its own tests' affair. Rule: a drawn action does what the same action in Structured Text does.
"""

from dataclasses import replace

import pytest

from simplant.errors import UsageError
from simplant.logic.compile import compile_task
from simplant.logic.ladder.tree import Action as CoilAction
from simplant.logic.ladder.tree import Coil, Contact, Ladder, Return, Rung, Sense, Series
from simplant.logic.st.parse import parse
from simplant.logic.st.printed import printed
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.st.tree import Access
from simplant.logic.walk import walk_task

TEXT = """PROGRAM p
VAR go, a, b, seen, mem : BOOL; n : INT; END_VAR
INITIAL_STEP Rest: END_STEP
STEP Work: drawn(N); told(N); END_STEP
TRANSITION FROM Rest TO Work := go; END_TRANSITION
TRANSITION FROM Work TO Rest := NOT go; END_TRANSITION
ACTION drawn: seen := a AND NOT b; END_ACTION
ACTION told: n := n + 1; END_ACTION
END_PROGRAM"""


def drawn(*elements):
    """Read the chart with the action `drawn` as one rung."""

    def read(report):
        file = parse(report)
        (unit,) = file.units
        first, second = unit.body.actions
        place = first.place
        rung = Rung(place, "", "", Series(tuple(make(place) for make in elements)))
        ladder = replace(first, body=Ladder(place, (rung,)))
        return replace(file, units=(replace(unit, body=replace(unit.body, actions=(ladder, second))),))

    return Project(TEXT, "t.st", read=read)


def contact(name, sense):
    return lambda place: Contact(place, sense, Access(place, name))


def coil(name, action=CoilAction.PLAIN):
    return lambda place: Coil(place, action, Access(place, name))


def run(project):
    """Give seen, mem and n after each of eight scans in which `go` is TRUE in scans 2 to 5 and `a` in 3, 4 and 7."""
    project.report.raise_errors()
    (layout,) = lay_out(project).layouts
    fast, plain = compile_task(layout), walk_task(layout)
    names, state, rows = [slot.name for slot in fast.slots], fast.initial, []
    for scan in range(8):
        given = {"go": 2 <= scan <= 5, "a": scan in (3, 4, 7)}
        state = tuple(given.get(name, value) for name, value in zip(names, state, strict=True))
        after = fast.run((), state, scan * 10**7)[0]
        assert plain.run((), state, scan * 10**7)[0] == after
        state = after
        rows.append(tuple(dict(zip(names, state, strict=True))[n] for n in ("seen", "mem", "n")))
    return rows


def test_a_rung_does_what_the_statement_does():
    """Contacts and a coil; outside its step the coil keeps its value, for there is no final scan."""
    rung = drawn(contact("a", Sense.OPEN), contact("b", Sense.CLOSED), coil("seen"))
    rows = run(rung)
    assert rows == run(Project(TEXT, "t.st"))
    assert [seen for seen, _, _ in rows] == [False, False, False, True, True, False, False, False]


def test_an_edge_keeps_its_memory_in_the_chart():
    """A rising contact needs a hidden variable of the unit; its edge is seen by the scans that look."""
    rows = run(drawn(contact("a", Sense.RISING), coil("mem", CoilAction.SET)))
    assert [mem for _, mem, _ in rows] == [False, False, False, True, True, True, True, True]


def test_a_return_in_an_action_is_refused():
    """It would leave the whole chart."""
    report = drawn(contact("a", Sense.OPEN), Return).report
    assert [m.what for m in report.errors] == ["RETURN stands in the action drawn"]


def test_a_drawn_action_is_not_printed_as_text():
    """The text of a chart has actions in Structured Text only."""
    with pytest.raises(UsageError, match="the action drawn is drawn, and cannot be printed as text"):
        printed(drawn(contact("a", Sense.OPEN), coil("seen")).written)
