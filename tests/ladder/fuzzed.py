"""Drawings for the reader of ladder files, from letters of no sense to programs that are nearly right.

Everything is drawn from the `Random` given. Rule: whatever comes, `read` ends: it is read, or told what is wrong.
"""

from contextlib import suppress
from functools import cache
from pathlib import Path

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.read import read_ladder
from simplant.logic.ladder.tree import Ladder
from simplant.logic.st.lints import lints
from simplant.logic.st.project import Project
from simplant.logic.st.report import Fault
from simplant.logic.st.tasks import lay_out

HEAD = """PROGRAM p
VAR a, b, c, d : BOOL; i, j : INT; late : TON; tally : CTU; span : TIME; row : ARRAY [1..2] OF BOOL; END_VAR
"""
LETTERS = "||++----  ()/SRPN<>abOE:=*'.[]\n"
PIECES = (
    "|", "+", "-", "--", "---", "| |", "|/|", "|P|", "( )", "(S)", "--| |--", "--( )--", ">>", "-->> x", "<RETURN>",
    ">more>", " ", "  ", "      ", "\n", "\n|", "\n+--", "a", "b", "late", "T#1s--", "--span", "+-----+", "| TON |",
    "|IN  Q|", "--|IN  Q|--", "(*", "*)", "x:\n", "END_PROGRAM\n", "//", "\t", "row[1]", "O|", "'", "\n\n",
)  # fmt: skip


def text_of(rnd):
    """Give a text of any of the kinds."""
    return rnd.choice((_letters, _pieces, _grid, _damaged, _damaged, _damaged, _shifted, _nested, _bytes))(rnd)


def read(text):
    """Read, check, lay out, look for doubts, compile and draw a text; give whether it can run."""
    project = Project(text, "fuzz.ladder", read=read_ladder)
    for mistake in project.report.mistakes[:50]:
        assert project.report.told(mistake)
    if project.report.errors:
        return False
    lints(project)
    for unit in project.written.units:
        if isinstance(unit.body, Ladder):
            with suppress(Fault):
                draw(unit.body)
    with suppress(SimplantError):
        for layout in lay_out(project).layouts:
            compile_task(layout)
        return True
    return False


def _whole(drawing, head=HEAD):
    return f"{head}\n{drawing}\nEND_PROGRAM\n"


def _bytes(rnd):
    return rnd.randbytes(rnd.randint(0, 300)).decode("utf-8", "replace")


def _letters(rnd):
    return _whole("|" + "".join(rnd.choice(LETTERS) for _ in range(rnd.randint(0, 300))))


def _pieces(rnd):
    return _whole("|" + "".join(rnd.choice(PIECES) for _ in range(rnd.randint(0, 80))))


def _grid(rnd):
    """Rows of one width, with lines up and down that often meet."""
    width, rows = rnd.randint(4, 40), rnd.randint(1, 12)
    wire, gap = "----+---| |-( )", "    |   a      "
    lines = ["".join(rnd.choice(wire if n % 2 else gap) for _ in range(width)) for n in range(rows * 2)]
    return _whole("\n".join(f"|{line}|" for line in lines))


@cache
def _pumps():
    """Declarations of a program, and its rungs."""
    text = Path("programs/sump_pumps/logic.ladder").read_text(encoding="utf-8")
    head, _, body = text.rpartition("END_VAR\n")
    return f"{head}END_VAR\n", tuple(body.replace("END_PROGRAM", "").split("\n\n"))


def _some(rnd):
    return "\n\n".join(rnd.choice(_pumps()[1]) for _ in range(rnd.randint(1, 3)))


def _damaged(rnd):
    """Rungs of our programs, with letters taken out, put in or changed."""
    text = _some(rnd)
    for _ in range(rnd.randint(0, 5)):
        at = rnd.randint(0, len(text))
        text = text[:at] + rnd.choice(("", *PIECES)) + text[at + rnd.randint(0, 3) :]
    return _whole(text, _pumps()[0])


def _shifted(rnd):
    """Rungs with rows moved to the side, left out, or twice."""
    rows = _some(rnd).split("\n")
    for _ in range(rnd.randint(1, 3)):
        at = rnd.randrange(len(rows))
        rows[at : at + 1] = rnd.choice(([], [rows[at]] * 2, [" " + rows[at]], [rows[at][: rnd.randint(0, 60)]]))
        rows = rows or ["|"]
    return _whole("\n".join(rows), _pumps()[0])


def _nested(rnd):
    """Branches that open within branches, boxes side by side, long lines: deep or wide."""
    depth = rnd.randint(1, 60)
    kind = rnd.randint(0, 3)
    if kind == 0:
        rows = []
        for n in range(depth):
            rows += [
                "|" + "  |" * n + "  a" + "     |" * (depth - n),
                "+" + "--+" * (n + 1) + "--| |" + "--+" * (depth - n),
            ]
        return _whole("\n".join(rows))
    if kind == 1:
        return _whole("|" + "  a  " * depth + "  b\n+" + "--| |" * depth + "--( )")
    if kind == 2:
        return _whole("|" + " +---+" * depth + "\n|" + " | X |" * depth + "\n|" + " +---+" * depth)
    return _whole("(* " * depth + "|  (" * depth)
