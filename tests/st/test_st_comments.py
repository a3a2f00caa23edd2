"""Comments beside declarations, which are the texts of alarms and what a converted program keeps."""

from simplant.logic.st.comments import beside, head_of
from simplant.logic.st.prepared import prepared
from tests.st.running import project

TEXT = """\
(* What it is.

   What it does. *)
TYPE AlarmName : (none, hot, cold, wet); END_TYPE
PROGRAM p
VAR
  (* a heading *)
  hot : BOOL; (* too hot; let it cool *)
  (* too cold:
     nobody is there *)
  cold : BOOL; wet : BOOL; // no '(* comment *)' here
  told : STRING := '(* none *)';
  alarm_first_out : AlarmName;
END_VAR
hot := FALSE; (* not beside a declaration *)
END_PROGRAM
"""


def test_what_is_said_beside_variables():
    """In the row, or alone in rows below another declaration; a heading and a text in quotes say nothing."""
    (unit,) = project(TEXT).file.units
    notes = beside(TEXT, unit.variables)
    assert {v.name: notes[v.place] for v in unit.variables if v.place in notes} == {
        "hot": "too hot; let it cool", "cold": "no '(* comment *)' here", "wet": "no '(* comment *)' here",
    }  # fmt: skip
    assert head_of(TEXT) == "What it is.\n\nWhat it does."


def test_the_texts_of_alarms():
    """What happened, and what to do; without a comment the name."""
    (table,) = prepared(TEXT.replace("cold : BOOL; wet", "cold : BOOL;\n  wet"), "p.st", []).alarm_tables
    assert [(a.name, a.text, a.action) for a in table.alarms] == [
        ("hot", "too hot", "let it cool"),
        ("cold", "too cold: nobody is there", ""),
        ("wet", "no '(* comment *)' here", ""),
    ]
