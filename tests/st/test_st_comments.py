"""Comments beside declarations, which are the texts of alarms and what a converted program keeps."""

from simplant.logic.convert.faces import of_project
from simplant.logic.st.comments import beside, head_of
from simplant.logic.st.prepared import prepared
from simplant.logic.st.project import Project
from simplant.logic.xml.read import read_xml
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


AMONG = """\
(* head *)
TYPE
  Way : (idle, run); (* steps *)
END_TYPE
(* what it does *)
PROGRAM main
VAR
  x : INT; (* counts *)
  s : Way;
  t : TON;
END_VAR
// count first
x := x + 1; (* one more *)
IF x > 3 THEN // too many
  x := 0; // back
  (* nothing follows *)
ELSIF x = 2 THEN
  (* before the call *)
  t(IN := TRUE, (* on *)
    PT := T#1s);
END_IF;
CASE s OF
  idle: (* wait *)
    s := run;
  run:
    (* go on *)
    s := idle;
END_CASE;
(* the end *)
END_PROGRAM
(* helps *)
FUNCTION f : INT
VAR_INPUT a : INT; END_VAR
f := a; // 'given' back
END_FUNCTION
"""
BACK = """\
TYPE
  (* steps *)
  Way : (idle, run);
END_TYPE

(* what it does *)
PROGRAM main
VAR
  x : INT; (* counts *)
  s : Way;
  t : TON;
END_VAR

(* count first *)
x := x + 1; (* one more *)
IF x > 3 THEN (* too many *)
  x := 0; (* back *)
  (* nothing follows *)
ELSIF x = 2 THEN
  (* before the call *)
  t(IN := TRUE, PT := T#1s); (* on *)
END_IF;
CASE s OF
  idle: (* wait *)
    s := run;
  run:
    (* go on *)
    s := idle;
END_CASE;
(* the end *)
END_PROGRAM

(* helps *)
FUNCTION f : INT
VAR_INPUT
  a : INT;
END_VAR

f := a; (* 'given' back *)
END_FUNCTION
"""


def test_comments_among_statements_come_back():
    """To XML, in both editions, and back to text: each comment stands before what it was said of."""
    for edition in ("tc6", "iec"):
        xml = of_project(Project(AMONG, "way.st"), "st", "xml", edition)
        back = of_project(Project(xml, "way.xml", read=read_xml), "xml", "st")
        assert back.startswith("(* head")
        assert back.endswith(BACK)
