"""Nothing that is drawn makes the reader crash or hang: it is read, or told what is wrong with it."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from tests.ladder.trees import DECLARED

LETTERS = "|+-()/SRPN<>abOE \n\n=:*'"
PIECES = [
    "|", "+", "-", "--", "---", "| |", "|/|", "|P|", "( )", "(S)", ">>", "<RETURN>", ">more>", " ", "  ", "\n", "\n|",
    "\n+--",    "a", "b", "late", "T#1s--", "+-----+", "| TON |", "|IN  Q|", "(*", "*)", "x:", "END_PROGRAM", "//",
]  # fmt: skip
WHOLE = Path("programs/sump_pumps/logic.ladder").read_text(encoding="utf-8")


def tried(text):
    """Read a text; what is right is laid out and compiled."""
    project = Project(text, "t.ladder", read=read_ladder)
    assert all(mistake.place.line <= text.count("\n") + 1 for mistake in project.report.mistakes)
    for mistake in project.report.mistakes:
        project.report.told(mistake)
    if not project.report.errors:
        try:
            for layout in lay_out(project).layouts:
                compile_task(layout)
        except SimplantError:
            pass


@given(st.text(LETTERS, max_size=300))
def test_any_letters(text):
    """The letters of drawings in any order."""
    tried(DECLARED.format(text + "\n"))


@given(st.text(max_size=100))
def test_any_text(text):
    """Any letters at all, also without a program around them."""
    tried(text)
    tried(DECLARED.format("|" + text + "\n"))


@given(st.lists(st.sampled_from(PIECES), max_size=60).map("".join))
def test_any_pieces(text):
    """Pieces of drawings in any order."""
    tried(DECLARED.format("|" + text + "\n"))


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_damaged_drawing(data):
    """A program that was right, with letters taken out, put in or changed in one place or several."""
    rungs = WHOLE.split("\n\n")
    first = data.draw(st.integers(8, len(rungs) - 4))
    text = "\n\n".join(rungs[first : first + 3])
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        gone = data.draw(st.integers(0, 3))
        text = text[:at] + data.draw(st.sampled_from(["", *PIECES])) + text[at + gone :]
    tried(DECLARED.format(text + "\n"))


DEEP = {
    "branches": lambda: "\n".join(
        ["|" + "  |" * n + "  b" + "\n|" + "  |" * n + "--| |--+" for n in range(400)]
    ),
    "long line": lambda: "|  a\n+--| |" + "-" * 100_000 + "( )\n",
    "contacts": lambda: "|" + "  a  " * 3000 + "  b\n+" + "--| |" * 3000 + "--( )\n",
    "rungs": lambda: "|  a   b\n+--| |-( )--+\n\n" * 2000,
    "boxes": lambda: "|" + " +---+" * 2000 + "\n|" + " | X |" * 2000 + "\n|" + " +---+" * 2000 + "\n",
    "comments": lambda: "(* " * 20_000 + "\n",
    "value": lambda: "|  +---+\n|  |ABS|\n|  " + "(" * 3000 + "--|IN |\n|  +---+\n",
    "arrows": lambda: "|  >more>--| |-->more>\n" * 300,
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("kind", DEEP)
def test_deep_and_long_drawings_are_read_or_told(kind):
    """No RecursionError, no endless work."""
    tried(DECLARED.format(DEEP[kind]()))
