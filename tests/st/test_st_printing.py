"""Printing Structured Text: what is printed reads back as the same tree, and prints as the same text."""

import ast
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simplant.errors import Place
from simplant.logic.st.parse import parse
from simplant.logic.st.printed import printed
from simplant.logic.st.printed_expressions import WIDTH, printed_expression
from simplant.logic.st.printed_statements import printed_comment, printed_statements
from simplant.logic.st.report import Report
from simplant.logic.st.tokens import split
from tests.st import trees


def read(text):
    report = Report("printed.st", text)
    return parse(report), report


def snippets():
    """Every text in the tests of Structured Text that reads without an error, and every file."""
    for path in sorted(Path("tests/st").glob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and "\n" in node.value:
                tree, report = read(node.value)
                if tree.units and not report.errors:
                    yield pytest.param(node.value, id=f"{path.stem}:{node.lineno}")
    for path in sorted(Path().glob("programs/**/*.st")):
        yield pytest.param(path.read_text(encoding="utf-8"), id=str(path))


def same_again(tree):
    text = printed(tree)
    again, report = read(text)
    assert report.errors == [], text
    assert trees.bare(again) == trees.bare(tree), text
    assert printed(again) == text


@pytest.mark.parametrize("text", list(snippets()))
def test_what_people_wrote(text):
    """Read, print, read: the same tree; print again: the same text."""
    same_again(read(text)[0])


@pytest.mark.slow
@given(trees.files)
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], max_examples=40)
def test_any_tree(tree):
    """Whatever can be read can be printed, and reads back the same."""
    same_again(tree)


@given(trees.sums)
def test_no_parenthesis_too_many(node):
    """Any pair of parentheses that is taken away makes another tree."""
    text = printed_expression(node)
    tokens = split(Report("", text))
    for number, token in enumerate(tokens):
        if token.text != "(":
            continue
        depth, end = 1, number
        while depth:
            end += 1
            depth += {"(": 1, ")": -1}.get(tokens[end].text, 0)
        less = " ".join(t.text for n, t in enumerate(tokens) if n not in (number, end))
        (unit,) = read(f"PROGRAM p x := {less}; END_PROGRAM")[0].units
        assert trees.bare(unit.statements[0].value) != trees.bare(node), (text, less)


LONG = "PROGRAM p all := " + " OR ".join(f"condition_{n} AND NOT locked_{n}" for n in range(9)) + "; END_PROGRAM"


def test_a_long_row_is_broken_before_its_weakest_operator():
    """Rows stay within the width, and go on below what they began with."""
    (unit,) = read(LONG)[0].units
    rows = printed_statements(unit.statements)
    assert rows == [
        "all := condition_0 AND NOT locked_0 OR condition_1 AND NOT locked_1 OR condition_2 AND NOT locked_2",
        "       OR condition_3 AND NOT locked_3 OR condition_4 AND NOT locked_4 OR condition_5 AND NOT locked_5",
        "       OR condition_6 AND NOT locked_6 OR condition_7 AND NOT locked_7 OR condition_8 AND NOT locked_8;",
    ]


PLAIN = """(* what it is *)

TYPE
  Colour : (red, green := 5);
END_TYPE

PROGRAM p
VAR
  start   AT %IX0.0 : BOOL; (* the button *)
  stopped AT %IX0.1 : BOOL := TRUE;
  seen : Colour;
END_VAR
VAR RETAIN
  count : INT;
END_VAR

(* starting *)
IF start AND NOT stopped THEN
  count := count + 1;
ELSIF stopped THEN
  ;
ELSE
  CASE count OF
    1, 3..5:
      seen := Colour#green;
    ELSE
      seen := red;
  END_CASE;
END_IF;
END_PROGRAM

CONFIGURATION c
  TASK fast (INTERVAL := T#10ms, PRIORITY := 1);
  PROGRAM one WITH fast : p;
END_CONFIGURATION
"""


def test_how_it_looks():
    """Columns, words, comments: one way to write each."""
    tree, report = read(PLAIN)
    (unit,) = tree.units
    notes = {unit.variables[0].place: "the button", unit.statements[0].place: "starting"}
    assert report.errors == []
    assert printed(tree, notes, "what it is") == PLAIN


@given(st.text(max_size=300), st.integers(0, 8))
def test_a_comment_holds_whatever_is_said(text, indent):
    """A comment ends where it ends, and stays within the width where it can."""
    rows = printed_comment(text, indent)
    tokens = split(report := Report("", "\n".join(rows)))
    assert (report.errors, [t.kind for t in tokens]) == ([], ["end"])
    assert all(len(row) <= WIDTH + 3 or len(row.split()) <= 3 for row in rows)


def test_places_are_of_no_account():
    """Where a tree came from does not change what is printed."""
    moved = Report("elsewhere.st", "\n\n" + PLAIN)
    assert printed(parse(moved)) == printed(read(PLAIN)[0])
    assert parse(moved).units[0].place != Place("printed.st", 7, 9)
