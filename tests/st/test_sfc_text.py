"""Sequential function charts in the standard's text: read as written, printed in one way, mistakes told at their place.

What they do is tests/external/test_sfc_*.py. Rule: whole trees, whole messages.
"""

import pytest

from simplant.logic.sfc.tree import Chart
from simplant.logic.st.parse import parse
from simplant.logic.st.printed import printed
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report

LIFT = """\
FUNCTION_BLOCK lift_cycle
VAR_INPUT
  call    : BOOL;
  closed  : BOOL;
  arrived : BOOL;
  dwell   : TIME := T#3s;
END_VAR
VAR_OUTPUT
  motor : BOOL;
  lamp  : BOOL;
  trips : INT;
END_VAR

INITIAL_STEP Wait:
END_STEP

STEP Shut:
  lamp(S);
END_STEP

STEP Ride:
  motor(D, T#200ms, arrived);
  count(P1);
END_STEP

STEP Chime:
END_STEP

STEP Rest:
  lamp(R);
END_STEP

TRANSITION wanted (PRIORITY := 2) FROM Wait TO Shut
  := call AND NOT arrived;
END_TRANSITION

TRANSITION (PRIORITY := 1) FROM Wait TO Rest
  := call AND arrived;
END_TRANSITION

TRANSITION FROM Shut TO (Ride, Chime)
  := closed;
END_TRANSITION

TRANSITION FROM (Ride, Chime) TO Rest
  := arrived OR Ride.T >= T#20s;
END_TRANSITION

TRANSITION FROM Rest TO Wait
  := Rest.T >= dwell;
END_TRANSITION

ACTION count:
  trips := trips + 1;
END_ACTION
END_FUNCTION_BLOCK
"""


def read(text):
    report = Report("lift.st", text)
    return parse(report), report


def test_a_chart_is_read_as_written():
    """Steps with their action blocks, transitions with ends, names and priorities, actions with bodies."""
    file, report = read(LIFT)
    chart = file.units[0].body
    assert report.mistakes == []
    assert isinstance(chart, Chart)
    assert [(s.name, s.initial) for s in chart.steps] == [
        ("Wait", True), ("Shut", False), ("Ride", False), ("Chime", False), ("Rest", False),
    ]  # fmt: skip
    blocks = [(s.name, b.action.name, b.qualifier, b.indicators) for s in chart.steps for b in s.actions]
    assert blocks == [
        ("Shut", "lamp", "S", ()), ("Ride", "motor", "D", ("arrived",)), ("Ride", "count", "P1", ()),
        ("Rest", "lamp", "R", ()),
    ]  # fmt: skip
    assert [(t.name, t.priority, t.sources, t.targets) for t in chart.transitions] == [
        ("wanted", 2, ("Wait",), ("Shut",)),
        ("", 1, ("Wait",), ("Rest",)),
        ("", None, ("Shut",), ("Ride", "Chime")),
        ("", None, ("Ride", "Chime"), ("Rest",)),
        ("", None, ("Rest",), ("Wait",)),
    ]
    assert [a.name for a in chart.actions] == ["count"]
    assert str(chart.transitions[2].place) == "lift.st:41:1"


def test_it_prints_as_it_stands():
    """The text above is the canonical one."""
    assert printed(read(LIFT)[0]) == LIFT


HEAD = "PROGRAM p\nVAR a, b, q : BOOL; n : INT; END_VAR\nINITIAL_STEP S: END_STEP\n"
MESSAGES = {
    "STEP T1 q(N); END_STEP": "4:8: ':' is missing after 'T1'. Write ':' behind the name of a step.",
    "STEP T1: q(M); END_STEP": "4:12: 'M' is no qualifier of an action. "
    "Write one of: N, R, S, P, P0, P1, L, D, SD, DS, SL.",
    "STEP T1: q(D); END_STEP": "4:12: the qualifier D has no time. Write for instance (D, T#5s).",
    "STEP T1: q(D, 5); END_STEP": "4:15: input PT of q.action.timer1 is a time, 5 has no unit. Write T#5ms or T#5s.",
    "STEP T1: n(N); END_STEP": "4:10: n is INT, the value is BOOL. Write BOOL_TO_INT(...).",
    "STEP T1: qq(N); END_STEP": "4:10: 'qq' is not declared. Declared and close in spelling: q.",
    "STEP a: END_STEP": "4:6: the step a is declared twice. First at line 2.",
    "STEP s: END_STEP": "4:6: the step s is declared twice. First at line 3.",
    "ACTION q: n := 1; END_ACTION": "4:8: the action q is declared twice. First at line 2.",
    "TRANSITION FROM S TO Two := a; END_TRANSITION": "4:1: a transition leads to 'Two', and there is no such step. "
    "Known: S.",
    "TRANSITION t FROM (S, S) TO S := a; END_TRANSITION": "4:12: a transition leads from S twice.",
    "TRANSITION FROM S TO S := n; END_TRANSITION": "4:27: condition.1 is BOOL, the value is INT. "
    "Write INT_TO_BOOL(...).",
    "TRANSITION FROM S TO S : a; END_TRANSITION": "4:24: a condition begins with ':'. "
    "Only conditions in Structured Text are read in text. Write := and an expression.",
    "TRANSITION FROM S := a; END_TRANSITION": "4:19: ':=' stands where 'TO' is wanted.",
    "TRANSITION (PRIORITY := a) FROM S TO S := a; END_TRANSITION": "4:25: a priority is a whole number. "
    "Write for instance (PRIORITY := 1).",
    "TRANSITION FROM S TO S := S.Y; END_TRANSITION": "4:29: S (STEP) has no 'Y'. It has X, T.",
    "TRANSITION FROM S TO S := a; END_TRANSITION ACTION act: S.X := TRUE; END_ACTION STEP V: act(N); END_STEP":
    "4:57: S.X is an output of S. Only the block itself writes it.",
    "STEP V: act(N); END_STEP ACTION act: IF a THEN RETURN; END_IF; END_ACTION": "4:48: RETURN stands in the action "
    "act. It would end the whole chart. Put what follows it into an IF.",
    "n := 3;": "4:1: 'n' stands where a statement or END_PROGRAM is wanted.",
}  # fmt: skip


def errors(text):
    return [str(m.text("")).removeprefix("t.st:") for m in Project(text, "t.st").report.errors]


@pytest.mark.parametrize("part", MESSAGES)
def test_one_mistake(part):
    """Place, what, why and mend, exactly; and nothing else is said."""
    assert errors(f"{HEAD}{part}\nEND_PROGRAM\n") == [MESSAGES[part]]


def test_several_mistakes_are_told_at_once():
    """A mistake costs one part; what stands after it is read all the same."""
    text = HEAD + (
        "STEP : END_STEP\nSTEP V: q(D); q(X); END_STEP\nTRANSITION FROM S TO := a; END_TRANSITION\n"
        "ACTION : n := 1; n := 2; END_ACTION\nTRANSITION FROM S TO W := a; END_TRANSITION\nEND_PROGRAM\n"
    )
    assert [message.split(":")[0] for message in errors(text)] == ["4", "5", "5", "6", "7", "8"]


def test_a_chart_needs_an_initial_step():
    """Without one nothing would ever be active; the place is that of the chart."""
    text = (
        "PROGRAM p\nVAR a : BOOL; END_VAR\nSTEP S: END_STEP\nTRANSITION FROM S TO S := a; END_TRANSITION\nEND_PROGRAM"
    )
    assert errors(text) == [
        "3:1: the chart has no initial step. Nothing would ever be active. "
        'Say in which step it begins: INITIAL_STEP in text, initialStep="true" in XML.'
    ]


def test_a_function_is_no_chart():
    """A function remembers nothing."""
    text = "FUNCTION f : INT\nVAR_INPUT a : BOOL; END_VAR\nINITIAL_STEP S: END_STEP\nEND_FUNCTION\n"
    assert errors(text) == [
        "1:10: the body of the FUNCTION f is a chart. A function remembers nothing, and a chart must. "
        "Write a FUNCTION_BLOCK."
    ]


def test_words_of_charts_are_names_elsewhere():
    """STEP, ACTION and TRANSITION are names in files without charts."""
    text = "PROGRAM p VAR step, action, transition : INT; END_VAR "
    text += "step := 1; action := step; transition := action; END_PROGRAM"
    assert errors(text) == []


def test_an_action_without_a_qualifier_is_read():
    """The standard wants parentheses; real files leave them out."""
    report = Project(HEAD + "STEP V: q; END_STEP\nEND_PROGRAM", "t.st").report
    assert [m.text("") for m in report.mistakes] == [
        "t.st:4:9: warning: q has no qualifier. Not in IEC 61131-3. Write q(N);."
    ]
