"""What a program hands back by name: conditions named with `let`, alarms by attribute."""

import pytest

from simplant import BOOL, Alarm, Direction, Program, ProgramError, Tag
from simplant.logic.nodes import Coil, Rung

TAGS = [Tag("hot", BOOL, Direction.INPUT), Tag("late", BOOL, Direction.INPUT), Tag("reset", BOOL, Direction.INPUT)]
ROWS = [("too_hot", "hot"), ("too_late", "late")]


def program():
    p = Program("p", TAGS)
    return p, p.alarms("alarm", p.tags.reset, [Alarm(name, p.tags[cause], cause) for name, cause in ROWS])


def refused(action):
    """Give the error, less the place, which must be the first line of `action`."""
    with pytest.raises(ProgramError) as caught:
        action()
    place, _, text = str(caught.value).partition(": ")
    assert place == f"tests/logic/test_names_in_programs.py:{action.__code__.co_firstlineno}"
    return text


def test_let_is_a_memory_and_its_rung():
    """The same two things as written by hand, the comment on both; a taken name is refused where it is written."""
    p, _ = program()
    ref = p.let("both", p.tags.hot & p.tags.late, "trouble twice")
    tag, rung = p.declared["both"], list(p.sources())[-1]
    assert (tag.type, tag.direction, tag.description) == (BOOL, Direction.MEMORY, "trouble twice")
    assert isinstance(rung, Rung)
    assert (rung.target, str(rung.condition), rung.coil, rung.comment) == (
        ref, "hot AND late", Coil.PLAIN, "trouble twice",
    )  # fmt: skip
    assert refused(lambda: p.let("both", p.tags.hot)) == "the name 'both' is already taken. Choose another name."


def test_an_alarm_table_gives_its_results():
    """The number of the first-out, whether any alarm is there, each alarm by attribute or by name."""
    _, alarms = program()
    assert [str(e) for e in (alarms.first_out, alarms.any, alarms.too_hot, alarms["too_late"])] == [
        "alarm_first_out", "alarm_first_out <> 0", "too_hot", "too_late",
    ]  # fmt: skip


def test_a_wrong_use_of_an_alarm_table_is_refused_at_its_line():
    """A misspelt alarm; a comparison that Python would decide at once; a name that the table itself uses."""
    p, alarms = program()
    assert refused(lambda: alarms.too_hat) == (
        "the table 'alarm' has no alarm 'too_hat'. Close in spelling: too_hot, too_late."
    )
    assert refused(lambda: alarms != 0) == (
        "the alarm table 'alarm' was compared. It is no number."
        " Write .first_out with the comparison, or .any for: some alarm is there."
    )
    assert refused(lambda: p.alarms("other", p.tags.reset, [Alarm("any", p.tags.hot, "x")])) == (
        "an alarm cannot be named 'any'. Its table uses it. Choose another name."
    )
