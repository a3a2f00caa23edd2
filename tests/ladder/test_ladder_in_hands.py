"""Rungs as many hands draw them: each is what is written beside it, prints, and reads again the same.

Rule: what is wanted is said of the contacts, and tried on all of their values.
"""

from itertools import product

import pytest

from simplant.logic.compile import compile_task
from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tasks import lay_out
from simplant.timebase import ms

HEAD = """PROGRAM p
VAR_INPUT a, b, c, d, e : BOOL; END_VAR
VAR_OUTPUT x, y, z : BOOL; n : INT; END_VAR
VAR wait : TON; tally : CTU; row : ARRAY[1..2] OF TON; END_VAR
"""
HANDS = {
    "plain": (lambda a, b, c, d, e: (a and not b,), """
|  a    b        x  |
+--| |--|/|-----( )-+
"""),
    "rails of bars": (lambda a, b, c, d, e: (a and not b,), """
|  a    b        x  |
|--| |--|/|-----( )-|
"""),
    "narrow contacts": (lambda a, b, c, d, e: (a and b,), """
| a   b  x
+-| |-||-()-
"""),
    "wide contacts and coils": (lambda a, b, c, d, e: (a and not b,), """
|   a      b           x   |
|---|   |--| / |------( )--|
"""),
    "names to the left": (lambda a, b, c, d, e: (a and b,), """
| a     b       x  |
+--| |--| |----( )-+
"""),
    "names to the right": (lambda a, b, c, d, e: (a and b,), """
|   a     b      x |
+--| |--| |----( )-+
"""),
    "rows of rails between": (lambda a, b, c, d, e: (a and not b,), """
|                   |
|  a    b        x  |
+--| |--|/|-----( )-+
|                   |
"""),
    "three branches": (lambda a, b, c, d, e: (a or b or not c,), """
|  a            x  |
+--| |--+------( )-+
|  b    |          |
+--| |--+          |
|  c    |          |
+--|/|--+          |
"""),
    "a branch in the middle": (lambda a, b, c, d, e: (a and (b or c),), """
|  a       b           x  |
+--| |--+--| |--+-----( )-+
|       |  c    |         |
|       +--| |--+         |
"""),
    "a branch in a branch": (lambda a, b, c, d, e: (a and (b or (c and (d or not e))),), """
|  a       b                  x  |
+--| |--+--| |-------------+-( )-+
|       |  c       d       |     |
|       +--| |--+--| |--+--+     |
|               |  e    |        |
|               +--|/|--+        |
"""),
    "branches of different lengths": (lambda a, b, c, d, e: ((a and b) or c,), """
|  a    b             x  |
+--| |--| |--+-------( )-+
|  c         |           |
+--| |-------+           |
"""),
    "two branches in a row": (lambda a, b, c, d, e: ((a or b) and (c or d),), """
|  a       c            x  |
+--| |--+--| |--+------( )-+
|  b    |  d    |          |
+--| |--+--| |--+          |
"""),
    "a parallel around a parallel": (lambda a, b, c, d, e: ((a and (b or c)) or d,), """
|  a       b             x  |
+--| |--+--| |--+--+----( )-+
|       |  c    |  |        |
|       +--| |--+  |        |
|  d               |        |
+--| |-------------+        |
"""),
    "coils one below the other": (lambda a, b, c, d, e: (a, not a, a and b,), """
|  a                  x  |
+--| |--+------------( )-+
|       |             y  |
|       +------------(/)-+
|       |   b         z  |
|       +---| |------( )-+
"""),
    "coils in a row": (lambda a, b, c, d, e: (a, a, a and b,), """
|  a     x     y     b     z
+--| |--( )---( )---| |---( )
"""),
    "a comment behind": (lambda a, b, c, d, e: (a, b,), """
(* above *)
|  a        x  |   (* behind *)
+--| |-----( )-+   // and behind that
// above the second

|  b        y  |
+--| |-----( )-+
"""),
    "a label and a jump": (lambda a, b, c, d, e: (a and b, c,), """
|  a
+--|/|-->> over

|  b        x  |
+--| |-----( )-+

over:
|  c        y  |
+--| |-----( )-+
"""),
    "a return to the rail": (lambda a, b, c, d, e: (not a and b,), """
|  a                |
+--| |----<RETURN>--+

|  b        x  |
+--| |-----( )-+
"""),
    "a jump to the rail": (lambda a, b, c, d, e: (b,), """
|  a             |
+--| |-->> end --+

|  b        y  |
+--| |-----( )-+

end:
|  b        x  |
+--| |-----( )-+
"""),
    "small letters in coils": (lambda a, b, c, d, e: (a and not b,), """
|  a        x  |
+--| |-----(s)-+

|  b        x  |
+--| |-----( r )
"""),
    "a gate as a box": (lambda a, b, c, d, e: (a and b,), """
|          +-----------+        |
|  a       |    AND    |     x  |
+--| |-----|IN1     OUT|----( )-+
|       b--|IN2        |        |
|          +-----------+        |
"""),
    "a value negated at a pin": (lambda a, b, c, d, e: (a and not b,), """
|          +-----------+        |
|  a       |    AND    |     x  |
+--| |-----|IN1     OUT|----( )-+
|      b--O|IN2        |        |
|          +-----------+        |
"""),
    "a box at the left rail": (lambda a, b, c, d, e: (False,), """
|      +---------+        |
|      |   GT    |     x  |
|      |      OUT|----( )-|
|   n--|IN1      |        |
|   5--|IN2      |        |
|      +---------+        |
"""),
    "an instance of an array": (lambda a, b, c, d, e: (a,), """
|            row[1]           |
|          +------+           |
|  a       | TON  |        x  |
+--| |-----|IN   Q|-------( )-+
|   T#0s --|PT  ET|           |
|          +------+           |
"""),
    "a pin that leads nowhere": (lambda a, b, c, d, e: (a,), """
|            tally
|          +-------+
|  a       |  CTU  |        x
+--| |-----|CU    Q|-------( )
|          |R    CV|--n
|       1--|PV     |
|          +-------+
"""),
    "too wide": (lambda a, b, c, d, e: (a and b and c,), """
|  a     b
+--| |---| |-->more>
|           c      x
|  >more>--| |----( )
"""),
    "lines under power": (lambda a, b, c, d, e: (a and b,), """
┃  a    b          x |
╋━━┃ ┃━━| |--------( )|
"""),
    "too wide, and on right at the rail": (lambda a, b, c, d, e: (a and b and not c,), """
|  a     b
+--| |---| |-->more>
|          c      x
|>more>---|/|----( )
"""),
}  # fmt: skip


def program(drawing):
    return f"{HEAD}{drawing}END_PROGRAM\n"


@pytest.mark.parametrize("hand", HANDS)
def test_it_is_read_as_it_is_meant(hand):
    """Every value of the contacts, from a fresh start, gives the coils what is written beside the drawing."""
    wanted, drawing = HANDS[hand]
    project = Project(program(drawing), "t.ladder", read=read_ladder)
    project.report.raise_errors()
    task = compile_task(lay_out(project).layouts[0])
    names = [slot.name for slot in task.slots]
    for values in product((False, True), repeat=5):
        given = dict(zip("abcde", values, strict=True))
        state = tuple(given.get(name, value) for name, value in zip(names, task.initial, strict=True))
        after = dict(zip(names, task.run((), state, ms(0))[0], strict=True))
        expected = wanted(**given)
        assert tuple(after[name] for name in "xyz"[: len(expected)]) == expected, given


@pytest.mark.parametrize("hand", HANDS)
def test_it_prints_and_reads_again_the_same(hand):
    """Print, read, print gives one text; no word is lost."""
    drawing = HANDS[hand][1]
    (unit,) = read_ladder(Report("t.ladder", program(drawing))).units
    printed = draw(unit.body)
    report = Report("t.ladder", program(printed + "\n"))
    (again,) = read_ladder(report).units
    assert report.mistakes == []
    assert draw(again.body) == printed
    assert all(word in printed for word in ("above", "behind", "and behind that", "second") if word in drawing)
