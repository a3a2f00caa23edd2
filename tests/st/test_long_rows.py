"""AND, OR and XOR in rows of thousands, and branches of as many arms: read, checked, compiled, walked, printed.

Rule: who looks at such a row goes along it; nothing but memory grows with its length, and beyond 5,000 it is told.
"""

from itertools import islice
from operator import add, mul, sub

import pytest

from simplant.logic.compile import compile_task
from simplant.logic.coverage.probes import Prober
from simplant.logic.mutate.text import of_text
from simplant.logic.st.parse import parse
from simplant.logic.st.prepared import prepared
from simplant.logic.st.printed import printed
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.tags import Direction, Tag
from simplant.timebase import ms
from simplant.values import BOOL, TYPES, divide

COUNT = 1_200
TAGS = [
    *(Tag(f"a{n}", BOOL, Direction.INPUT, address=f"%IX{n // 8}.{n % 8}") for n in range(16)),
    Tag("q", BOOL, Direction.OUTPUT, address="%QX0.0"),
]
STEP = {"+": add, "-": sub, "*": mul, "/": divide}
WORTH = {"AND": all, "OR": any}
IMAGES = [tuple(n == one for n in range(16)) for one in (-1, 0, 15)] + [(True,) * 16]


def text(sign):
    row = f" {sign} ".join(f"a{n % 16}" for n in range(COUNT))
    return f"PROGRAM p\nIF {row} THEN q := {row}; ELSE q := FALSE; END_IF;\nEND_PROGRAM\n"


@pytest.mark.slow
@pytest.mark.parametrize("sign", ["AND", "OR", "XOR"])
def test_a_row_of_thousands(sign):
    """What the row is worth by hand, both ways and with probes; and the text comes back."""
    program = prepared(text(sign), "long.st", TAGS)
    (layout,) = program.laid
    probed = Prober(program).probed(layout)
    for image in IMAGES:
        parity = sum(image[n % 16] for n in range(COUNT)) % 2 == 1
        worth = WORTH.get(sign, lambda _image, parity=parity: parity)(image)
        for task in (compile_task(layout), walk_task(layout), compile_task(probed)):
            assert task.run(image, task.initial, 0)[0] == (worth,)
    once = printed(program.project.written)
    assert printed(parse(Report("long.st", once))) == once
    assert len(list(islice(of_text(program, ms(10)), 5))) == 5


ARMS = 1_500
CASE = "CASE n OF\n" + "".join(f"{n}: m := {n + 1};\n" for n in range(ARMS)) + "ELSE m := -1;\nEND_CASE;"
ELSIF = (
    "IF n = 0 THEN m := 1;\n"
    + "".join(f"ELSIF n = {n} THEN m := {n + 1};\n" for n in range(1, ARMS))
    + "ELSE m := -1;\nEND_IF;"
)


@pytest.mark.parametrize("statement", [CASE, ELSIF], ids=["CASE", "ELSIF"])
def test_a_branch_of_thousands(statement):
    """The first, one in the middle, the last and none of its arms, compiled and walked."""
    project = Project(f"PROGRAM p\nVAR n, m : INT; END_VAR\n{statement}\nEND_PROGRAM\n", "long.st")
    project.report.raise_errors()
    (layout,) = lay_out(project).layouts
    for task in (compile_task(layout), walk_task(layout)):
        found = [task.run((), (n, 0), 0)[0] for n in (0, 199, 200, 777, ARMS - 1, ARMS)]
        assert found == [(0, 1), (199, 200), (200, 201), (777, 778), (ARMS - 1, ARMS), (ARMS, -1)]


@pytest.mark.parametrize("signs", ["+-", "*", "*/", "+"])
@pytest.mark.parametrize("kind", ["INT", "REAL"])
def test_a_long_row_of_numbers(signs, kind):
    """A row of 300 numbers is worth what it is step by step, each step brought into the type, both ways."""
    type_, mark = TYPES[kind], "" if kind == "INT" else ".0"
    numbers, steps = [n % 7 + 1 for n in range(301)], [signs[n % len(signs)] for n in range(300)]
    worth = type_.wrap(numbers[0])
    for sign, number in zip(steps, numbers[1:], strict=True):
        worth = type_.wrap(STEP[sign](worth, type_.wrap(number)))
    row = "a[1]" + "".join(f" {sign} a[{number}]" for sign, number in zip(steps, numbers[1:], strict=True))
    first = ", ".join(f"{n}{mark}" for n in range(1, 8))
    source = f"PROGRAM p VAR a : ARRAY[1..7] OF {kind} := [{first}]; x : {kind}; END_VAR\nx := {row};\nEND_PROGRAM\n"
    program = prepared(source, "long.st", ())
    (layout,) = program.laid
    at = [slot.name for slot in layout.slots].index("x")
    for task in (compile_task(layout), walk_task(layout), compile_task(Prober(program).probed(layout))):
        assert task.run((), task.initial, 0)[0][at] == worth
    once = printed(program.project.written)
    assert printed(parse(Report("long.st", once))) == once
    assert len(list(islice(of_text(program, ms(10)), 5))) == 5


def test_longer_is_told():
    """Beyond 5,000 operators the row is refused at its place, with what to do."""
    row = " OR ".join(["a"] * 5_002)
    (mistake,) = Project(f"PROGRAM p VAR a, q : BOOL; END_VAR q := {row}; END_PROGRAM", "long.st").report.errors
    assert (mistake.what, mistake.mend) == ("the expression is too long", "give parts of it names")
