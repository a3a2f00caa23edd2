"""Contacts and coils of ladder diagrams, row by row of the standard's tables.

Source: IEC 61131-3:2003 Tables 61 and 62 (contacts, coils), from memory. What the standard leaves open, here: before
the first evaluation an edge has seen FALSE. Rule: whole traces, one letter a scan, `#` TRUE.
"""

import pytest

from simplant.logic.ladder.read import read_ladder
from tests.st.running import scans

POWER = "###..####"
"""The left link, scan by scan."""

VALUE = "..#.##.#."
"""The variable of a contact."""

CONTACTS = {
    "| |": "..#..#.#.",  # left and variable
    "|/|": "##....#.#",  # left and not variable
    "|P|": "..#....#.",  # left, while the variable rises; it rises at 2, 4 and 7, and there is no power at 4
    "|N|": "......#.#",  # left, while the variable falls; it falls at 3, 6 and 8, and there is no power at 3
}
COILS = {
    "( )": "###..####",  # the left link
    "(/)": "...##....",  # its inverse
    "(S)": "#########",  # TRUE from the first power on, until reset
    "(P)": "#....#...",  # the scan in which the power rises; before the first one it was FALSE
    "(N)": "...#.....",  # the scan in which the power falls
}


def levels(letters):
    return [letter == "#" for letter in letters]


def trace(rows, name):
    return "".join("#" if row[name] else "." for row in rows)


def given(**traces):
    columns = {name: levels(letters) for name, letters in traces.items()}
    return {n: {name: column[n] for name, column in columns.items()} for n in range(len(POWER))}


@pytest.mark.parametrize("mark", CONTACTS)
def test_contacts(mark):
    """What a contact lets through, of the power on its left and its variable."""
    text = f"""PROGRAM p
VAR_INPUT left, x : BOOL; END_VAR
VAR_OUTPUT right : BOOL; END_VAR
|  left     x        right  |
+--| |------{mark}------( )----+
END_PROGRAM
"""
    rows = scans(text, given(left=POWER, x=VALUE), count=len(POWER), read=read_ladder)
    assert trace(rows, "right") == CONTACTS[mark]


@pytest.mark.parametrize("mark", COILS)
def test_coils(mark):
    """What a coil makes of its power; the power goes on to the right as it came."""
    text = f"""PROGRAM p
VAR_INPUT left : BOOL; END_VAR
VAR_OUTPUT x, right : BOOL; END_VAR
|  left     x        right  |
+--| |------{mark}------( )----+
END_PROGRAM
"""
    rows = scans(text, given(left=POWER), count=len(POWER), read=read_ladder)
    assert (trace(rows, "x"), trace(rows, "right")) == (COILS[mark], POWER)


def test_reset_coil():
    """(R) makes FALSE where it has power and else leaves the variable alone."""
    text = """PROGRAM p
VAR_INPUT left, on : BOOL; END_VAR
VAR_OUTPUT x : BOOL; END_VAR
|  on                 x    |
+--| |----------------(S)--+

|  left               x    |
+--| |----------------(R)--+
END_PROGRAM
"""
    rows = scans(text, given(left="..#..#...", on="##..#.#.."), count=9, read=read_ladder)
    assert trace(rows, "x") == "##..#.###"


def test_branches_are_or_and_series_is_and():
    """A parallel has power where one branch has; a series where all of it has. Every combination of four contacts."""
    text = """PROGRAM p
VAR_INPUT a, b, c, d : BOOL; END_VAR
VAR_OUTPUT x : BOOL; END_VAR
|  a       b            x    |
+--| |--+--| |--+-------( )--+
|  c    |  d    |            |
+--|/|--+--| |--+            |
END_PROGRAM
"""
    for number in range(16):
        a, b, c, d = (bool(number & bit) for bit in (1, 2, 4, 8))
        row = scans(text, {0: {"a": a, "b": b, "c": c, "d": d}}, read=read_ladder)[0]
        assert row["x"] is ((a or not c) and (b or d))
