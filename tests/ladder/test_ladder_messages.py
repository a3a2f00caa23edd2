"""What is told of mistakes in a drawing: the place in it, the row with a caret, the reason, the mend."""

import pytest

from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.project import Project

HEAD = "PROGRAM p\nVAR a, b, c, d, e : BOOL; n : INT; w : WORD; late : TON; tally : CTU; END_VAR\n"
MISTAKES = {
    "a wire with a gap": (
        False,
        [
            "|  a            b",
            "+--| |---  ----( )--+",
        ],
        [
            "t.ladder:4:9: the line ends here. It leads to no coil and no rail. Draw - up to what "
            "comes next, without a gap.",
            "    4 | +--| |---  ----( )--+",
            "      |         ^",
        ],
    ),
    "a contact without a name": (
        False,
        [
            "|               b",
            "+--| |---------( )--+",
        ],
        [
            "t.ladder:4:4: no name stands above this contact. Write the name of a variable above it, "
            "from the same column on.",
            "    4 | +--| |---------( )--+",
            "      |    ^^^",
        ],
    ),
    "a contact of no kind": (
        False,
        [
            "|  a            b",
            "+--|X|---------( )--+",
        ],
        [
            "t.ladder:4:4: '|X|' is no contact of IEC 61131-3. Write | |, |/|, |P|, |N|.",
            "    4 | +--|X|---------( )--+",
            "      |    ^^^",
        ],
    ),
    "a coil of no kind": (
        False,
        [
            "|  a            b",
            "+--| |---------(X)--+",
        ],
        [
            "t.ladder:4:16: '(X)' is no coil of IEC 61131-3. Write ( ), (/), (S), (R), (P), (N).",
            "    4 | +--| |---------(X)--+",
            "      |                ^^^",
        ],
    ),
    "a name that is not declared": (
        False,
        [
            "|  aa           b",
            "+--| |---------( )--+",
        ],
        [
            "t.ladder:3:4: 'aa' is not declared. Declared and close in spelling: a.",
            "    3 | |  aa           b",
            "      |    ^^",
        ],
    ),
    "a line down one column off": (
        False,
        [
            "|  a            b",
            "+--| |---+-----( )--+",
            "|  c    |           |",
            "+--| |--+           |",
        ],
        [
            "t.ladder:5:9: '|' is joined to nothing. A line up or down leads from a + to a + of the same column.",
            "    5 | |  c    |           |",
            "      |         ^",
        ],
    ),
    "a bridge between branches": (
        False,
        [
            "|  a            b           n1",
            "+--| |---+------| |----+----( )--+",
            "|        |             |",
            "|        +---+--+      |",
            "|  c         |  |  d   |",
            "+--| |-------+  +--| |-+",
            "",
        ],
        [
            "t.ladder:8:2: these branches are joined crosswise. They are no nest of series and "
            "parallels. Draw the contacts of the bridge on each branch that they serve.",
            "    8 | +--| |-------+  +--| |-+",
            "      |  ^",
        ],
    ),
    "a box with a row that is shifted": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |",
            "+--| |-----|IN  Q|---( )--+",
            "|    T#1--|PT    |",
            "|          +-----+",
        ],
        [
            "t.ladder:7:12: the box has no left side here. Its upper edge begins at column 12. Write | at column 12.",
            "    7 | |    T#1--|PT    |",
            "      |            ^",
        ],
    ),
    "a box with a short lower edge": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |",
            "+--| |-----|IN  Q|---( )--+",
            "|    T#1s--|PT   |",
            "|          +----+",
        ],
        [
            "t.ladder:4:12: the box that begins here is not closed. Its upper edge goes from column 12 "
            "to 18, 7 letters. Draw a lower edge as long as the upper.",
            "    4 | |          +-----+",
            "      |            ^^^^^^^",
        ],
    ),
    "a box without its right side": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |",
            "+--| |-----|IN  Q---( )--+",
            "|    T#1s--|PT   |",
            "|          +-----+",
        ],
        [
            "t.ladder:6:18: the box has no right side here. Its upper edge ends at column 18. Write | at column 18.",
            "    6 | +--| |-----|IN  Q---( )--+",
            "      |                  ^",
        ],
    ),
    "a box without a type": (
        False,
        [
            "|          +-----+",
            "|  a       |     |",
            "+--| |-----|IN  Q|--",
            "|          +-----+",
        ],
        [
            "t.ladder:4:17: nothing stands where the type of a block is wanted. It stands on the first "
            "row in the box, alone.",
            "    4 | |  a       |     |",
            "      |                 ^",
        ],
    ),
    "a wire that meets no pin": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |",
            "+--| |-----|    Q|---",
            "|    T#1s--|PT   |",
            "|          +-----+",
        ],
        [
            "t.ladder:6:12: a wire meets the box here, but there is no pin. Write the name of the pin "
            "inside, next to the side.",
            "    6 | +--| |-----|    Q|---",
            "      |            ^",
        ],
    ),
    "a pin that the block has not": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |     b",
            "+--| |-----|IN  Q|----( )--+",
            "|    T#1s--|PTT  |",
            "|          +-----+",
        ],
        [
            "t.ladder:7:6: TON has no input 'PTT'. Close in spelling: PT.",
            "    7 | |    T#1s--|PTT  |",
            "      |      ^^^",
        ],
    ),
    "a value that is none": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |     b",
            "+--| |-----|IN  Q|----( )--+",
            "|    T#1x--|PT   |",
            "|          +-----+",
        ],
        [
            "t.ladder:7:6: 1x is no duration. Write for instance T#1m30s or T#250ms.",
            "    7 | |    T#1x--|PT   |",
            "      |      ^^^^",
        ],
    ),
    "power at two pins": (
        False,
        [
            "|          tally",
            "|          +-----+",
            "|  a       | CTU |     b",
            "+--| |-----|CU  Q|----( )--+",
            "|  b       |     |",
            "+--| |-----|R    |",
            "|       3--|PV   |",
            "|          +-----+",
        ],
        [
            "t.ladder:8:12: power reaches CTU at CU and at R. One pin of a block is in the line of "
            "power. Write the name of a variable at the side of the other pin.",
            "    8 | +--| |-----|R    |",
            "      |            ^",
        ],
    ),
    "a jump to nowhere": (
        False,
        [
            "|  a",
            "+--| |--->> nowher",
            "",
            "nowhere:",
            "|  a   b",
            "+--| |-( )--+",
        ],
        [
            "t.ladder:4:13: there is no rung 'nowher' to jump to. The labels are nowhere. Close in spelling: nowhere.",
            "    4 | +--| |--->> nowher",
            "      |             ^^^^^^",
        ],
    ),
    "a label twice": (
        False,
        [
            "x:",
            "|  a   b",
            "+--| |-( )--+",
            "",
            "x:",
            "|  a   b",
            "+--| |-( )--+",
        ],
        [
            "t.ladder:7:1: the label 'x' stands twice. It is at line 3 already.",
            "    7 | x:",
            "      | ^",
        ],
    ),
    "a statement between rungs": (
        False,
        [
            "|  a   b",
            "+--| |-( )--+",
            "b := TRUE;",
        ],
        [
            "t.ladder:5:1: text stands between rungs. A rung's rows begin with |, its label ends with "
            "a colon. Write a comment (* *).",
            "    5 | b := TRUE;",
            "      | ^^^^^^^^^^",
        ],
    ),
    "a name above nothing": (
        False,
        [
            "|  a   b      c",
            "+--| |-( )----------+",
        ],
        [
            "t.ladder:3:15: 'c' belongs to nothing. Names stand right above contacts, coils and boxes.",
            "    3 | |  a   b      c",
            "      |               ^",
        ],
    ),
    "a wire joined to nothing": (
        False,
        [
            "|  a          b",
            "+--| |-------( )----+",
            "|     ---           |",
        ],
        [
            "t.ladder:5:7: '---' is joined to nothing. Join it to the left rail, or take it away.",
            "    5 | |     ---           |",
            "      |       ^^^",
        ],
    ),
    "a name in the line": (
        False,
        [
            "|  a          b",
            "+--| |--c----( )----+",
        ],
        [
            "t.ladder:4:9: 'c' stands in the line. It is no contact, coil, jump or box. Write | | or ( ), and names in "
            "the row above.",
            "    4 | +--| |--c----( )----+",
            "      |         ^",
        ],
    ),
    "lines that cross": (
        False,
        [
            "|  a          b",
            "+--| |---|---( )----+",
        ],
        [
            "t.ladder:4:10: a line goes up or down across this one. Write + where lines meet.",
            "    4 | +--| |---|---( )----+",
            "      |          ^",
        ],
    ),
    "a word as a contact": (
        False,
        [
            "|  w         b",
            "+--| |-------( )----+",
        ],
        [
            "t.ladder:3:4: b is BOOL, the value is WORD. Write WORD_TO_BOOL(...).",
            "    3 | |  w         b",
            "      |    ^",
        ],
    ),
    "a number as a coil": (
        False,
        [
            "|  a         n",
            "+--| |-------( )----+",
        ],
        [
            "t.ladder:3:4: n is INT, the value is BOOL. Write BOOL_TO_INT(...).",
            "    3 | |  a         n",
            "      |    ^",
        ],
    ),
    "a line without a coil": (
        False,
        [
            "|  a",
            "+--| |----- ",
        ],
        [
            "t.ladder:4:11: the line ends here. It leads to no coil and no rail. Draw on to a coil.",
            "    4 | +--| |----- ",
            "      |           ^",
        ],
    ),
    "an edge in a function": (
        True,
        [
            "FUNCTION f : BOOL",
            "VAR_INPUT a : BOOL; END_VAR",
            "|  a    f",
            "+--|P|--( )--+",
            "END_FUNCTION",
            "",
        ],
        [
            "t.ladder:4:4: an edge is looked for in a FUNCTION. It remembers nothing from call to "
            "call. Write a FUNCTION_BLOCK.",
            "    4 | +--|P|--( )--+",
            "      |    ^^^",
        ],
    ),
    "a drawing without rails": (
        False,
        [
            "   a            b",
            "---| |---------( )---",
        ],
        [
            "t.ladder:4:1: this is not read as part of a drawing. It begins with no rail. Begin each row of a rung "
            "with |, and draw with | - +.",
            "    4 | ---| |---------( )---",
            "      | ^^^^^^^^^^^^^^^^^^^^^",
        ],
    ),
    "letters that look like lines": (
        False,
        [
            "│  a            b   │",
            "├──┤ ├─────────( )──┤",
        ],
        [
            "t.ladder:3:1: this is not read as part of a drawing. It has letters that only look like | - +. Begin each "
            "row of a rung with |, and draw with | - +.",
            "    3 | │  a            b   │",
            "      | ^^^^^^^^^^^^^^^^^^^^^",
        ],
    ),
    "a name in a contact": (
        False,
        [
            "|               b",
            "|--| a |-------( )--|",
        ],
        [
            "t.ladder:4:4: 'a' stands in a contact. Write | | and the name above it.",
            "    4 | |--| a |-------( )--|",
            "      |    ^^^^^",
        ],
    ),
    "power negated at a pin": (
        False,
        [
            "|          late",
            "|          +-----+",
            "|  a       | TON |    b",
            "+--| |----O|IN  Q|---( )--+",
            "|    T#1s--|PT   |",
            "|          +-----+",
        ],
        [
            "t.ladder:6:11: the power is inverted at IN. A drawing in text has inverted values only. Let a rung of its "
            "own make the inverse.",
            "    6 | +--| |----O|IN  Q|---( )--+",
            "      |           ^",
        ],
    ),
    "a line that goes on behind an empty row": (
        False,
        [
            "|  a",
            "+--| |---->more>",
            "",
            "|             b",
            "|  >more>----( )--+",
        ],
        [
            "t.ladder:4:11: nothing goes on from here. Go on in a row right below, without an empty one.",
            "    4 | +--| |---->more>",
            "      |           ^",
            "t.ladder:7:4: no power comes here. Join it to the left rail or to a line; lines up and down need + at "
            "both ends.",
            "    7 | |  >more>----( )--+",
            "      |    ^",
        ],
    ),
    "a rung without a program": (
        True,
        [
            "|  a    f",
            "+--|P|--( )--+",
            "",
        ],
        [
            "t.ladder:1:1: a rung stands outside a program unit. Write PROGRAM name, VAR ... END_VAR "
            "before it and END_PROGRAM behind it.",
            "    1 | |  a    f",
            "      | ^",
        ],
    ),
}


def told(text):
    report = Project(text, "t.ladder", read=read_ladder).report
    found = sorted(report.mistakes, key=lambda m: (m.place.line, m.place.column))
    return "\n".join(report.told(mistake) for mistake in found).split("\n")


@pytest.mark.parametrize("name", MISTAKES)
def test_every_mistake_is_told_at_its_place(name):
    """The smallest drawing with the mistake, and all that is said about it."""
    whole, rows, expected = MISTAKES[name]
    drawing = "\n".join(rows)
    assert told(drawing if whole else f"{HEAD}{drawing}\nEND_PROGRAM\n") == expected


def test_several_mistakes_in_one_pass():
    """Each rung is read, whatever is wrong with the others."""
    rungs = [
        "|  a            b\n+--| |---  ----( )--+",
        "|               b\n+--| |---------( )--+",
        "|  a            b\n+--|X|---------(Q)--+",
        "|  a            zz\n+--| |---------( )--+",
    ]
    found = told(HEAD + "\n\n".join(rungs) + "\nEND_PROGRAM\n")
    assert [row.split(": ")[0] for row in found if row.startswith("t.ladder")] == [
        "t.ladder:4:9",
        "t.ladder:7:4",
        "t.ladder:10:4",
        "t.ladder:12:17",
    ]
