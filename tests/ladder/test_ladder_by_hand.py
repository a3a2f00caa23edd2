"""Drawings as people type them: uneven wires, rails left out, spaces where none are needed."""

from pathlib import Path

import pytest

from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.report import Report

TYPED = {
    "without a right rail": """
|  start    stop   run
+--| |---+--|/|----( )
|  run   |
+--| |---+
""",
    "a rail out of line": """
|  start    stop       run |
+--| |---+--|/|--------( )---+
|  run   |                   |
+--| |---+                  |
""",
    "rails as bars": """
   |  start    stop             run  |
   |--| |---+--|/|--------------( )--|
   |  run   |                        |
   |--| |---+                        |
""",
    "names not quite above": """
|   start     stop              run  |
+--| |---+--|/|----------------( )---+
|    run |                           |
+--| |---+                           |
""",
    "tabs and small letters": "|  start\t  stop\t\trun\n+--| |---+--|/|---------( )\n|  run   |\n+--| |---+\n",
    "spaces in a coil": """
|  start    stop         run
+--| |---+--|/|----------()
|  run   |
+--| |---+
""",
}
DRAWN = """\
|  start     stop                                           run               |
+--| |----+--|/|--------------------------------------------( )---------------+
|  run    |                                                                   |
+--| |----+                                                                   |
"""
BOXES = {
    "wide": """
|               late
|          +-----------+
|  a       |    TON    |        b
+--| |-----|IN        Q|-------( )
|   T#1s --|PT       ET|-- span
|          +-----------+
""",
    "negated and unconnected": """
|            tally
|            +------+
|  a         | CTU  |   b
+--| |-------|CU   Q|--( )
|       c---O|R   CV|---
|        3 --|PV    |
|            +------+
""",
}
BOXES_DRAWN = {
    "wide": """\
|             late                                                            |
|             +------+                                                        |
|  a          | TON  |                                      b                 |
+--| |--------|IN   Q|--------------------------------------( )---------------+
|       T#1s--|PT  ET|--span                                                  |
|             +------+                                                        |
""",
    "negated and unconnected": """\
|           tally                                                             |
|           +-----+                                                           |
|  a        | CTU |                                         b                 |
+--| |------|CU  Q|-----------------------------------------( )---------------+
|       c--O|R    |                                                           |
|        3--|PV   |                                                           |
|           +-----+                                                           |
""",
}


def redrawn(drawing):
    report = Report("t.ladder", f"PROGRAM p\nVAR x : BOOL; END_VAR\n{drawing}END_PROGRAM\n")
    file = read_ladder(report)
    assert [report.told(mistake) for mistake in report.mistakes] == []
    return draw(file.units[0].body)


@pytest.mark.parametrize("how", TYPED)
def test_tidy_enough_is_read(how):
    """However it was typed, it is one and the same rung."""
    assert redrawn(TYPED[how]) == DRAWN


@pytest.mark.parametrize("how", BOXES)
def test_boxes_of_any_width(how):
    """A box is as wide as it was drawn; pins that lead nowhere are left out."""
    assert redrawn(BOXES[how]) == BOXES_DRAWN[how]


def test_comments_and_labels_stay_with_their_rungs():
    """A comment of several rows, a label, a comment at the end."""
    text = """(* first
   and second row *)
again:
|  a                                                        b                 |
+--| |------------------------------------------------------( )---------------+

finish:

(* nothing more *)
"""
    assert redrawn(text) == text


@pytest.mark.slow
@pytest.mark.parametrize("path", sorted(Path("programs").glob("*/*.ladder")), ids=lambda path: path.parent.name)
def test_our_programs_stand_as_they_are_drawn(path):
    """What is kept in the programs is the drawing itself."""
    text = path.read_text(encoding="utf-8")
    report = Report(str(path), text)
    (unit,) = (unit for unit in read_ladder(report).units if unit.kind == "PROGRAM")
    assert draw(unit.body) in text


def test_a_unit_may_have_statements():
    """Functions in Structured Text and programs in ladder stand in one file."""
    text = "FUNCTION twice : INT\nVAR_INPUT x : INT; END_VAR\ntwice := 2 * x;\nEND_FUNCTION\n"
    report = Report("t.ladder", text)
    (unit,) = read_ladder(report).units
    assert (report.mistakes, len(unit.body)) == ([], 1)
