"""When an action is active, qualifier by qualifier: timing lines derived from the standard's control of actions.

Source: IEC 61131-3:2003 Table 45 and the body of ACTION_CONTROL in 2.6.4.5, from memory; the lines are derived from it
by hand. Rule: a scan is 10 ms; `~` is active, `_` is not; the step is active where the first line of the table says so.
"""

import pytest

from tests.st.running import scans

#        scan  0123456789
STEP_ACTIVE = "_~~~~~____"
RESET = "_______~__"
LINES = {
    "N": "_~~~~~____",
    "S": "_~~~~~~___",
    "L, T#30ms": "_~~~______",
    "L, T#90ms": "_~~~~~____",
    "D, T#30ms": "____~~____",
    "D, T#90ms": "__________",
    "P": "_~________",
    "P1": "_~________",
    "P0": "______~___",
    "SD, T#30ms": "____~~~___",
    "SD, T#60ms": "__________",
    "DS, T#30ms": "____~~~___",
    "DS, T#60ms": "__________",
    "SL, T#30ms": "_~~~______",
    "SL, T#90ms": "_~~~~~~___",
    "L, T#0s": "__________",
    "D, T#0s": "_~~~~~____",
    "SL, T#0s": "__________",
}


def line(qualifier, body=""):
    """Give when q is active: as a Boolean variable, or as what an action with a body does."""
    text = f"""
    PROGRAM p
    VAR enter, leave, reset, q, ran : BOOL; END_VAR
    INITIAL_STEP Rest: END_STEP
    STEP On: {"act" if body else "q"}({qualifier}); END_STEP
    STEP Clear: {"act" if body else "q"}(R); END_STEP
    TRANSITION FROM Rest TO On := enter; END_TRANSITION
    TRANSITION FROM On TO Rest := leave; END_TRANSITION
    TRANSITION FROM Rest TO Clear := reset; END_TRANSITION
    TRANSITION FROM Clear TO Rest := TRUE; END_TRANSITION
    {body}
    END_PROGRAM"""
    off = {"enter": False, "leave": False, "reset": False, "ran": False}
    given = {n: dict(off) for n in range(10)}
    given[1]["enter"] = given[6]["leave"] = given[7]["reset"] = True
    rows = scans(text, given, count=10)
    for flags, step in ((STEP_ACTIVE, "On"), (RESET, "Clear")):
        assert drawn(row[f"{step}.X"] for row in rows) == flags
    return drawn(row["ran" if body else "q"] for row in rows)


def drawn(values):
    return "".join("~" if value else "_" for value in values)


@pytest.mark.parametrize("qualifier", LINES)
def test_a_boolean_variable(qualifier):
    """The variable is TRUE where the action is active, and FALSE elsewhere."""
    assert line(qualifier) == LINES[qualifier]


@pytest.mark.parametrize("qualifier", LINES)
def test_an_action_with_a_body(qualifier):
    """Its body runs in the scans in which the action is active, and in no others: there is no final scan."""
    assert line(qualifier, "ACTION act: ran := TRUE; END_ACTION") == LINES[qualifier]


def played(steps, count, given=()):
    """Give q scan by scan for steps A, B, C that follow each other every 20 ms."""
    text = f"""
    PROGRAM p
    VAR q : BOOL; END_VAR
    INITIAL_STEP A: {steps[0]} END_STEP STEP B: {steps[1]} END_STEP STEP C: {steps[2]} END_STEP
    TRANSITION FROM A TO B := A.T >= T#20ms; END_TRANSITION
    TRANSITION FROM B TO C := B.T >= T#20ms; END_TRANSITION
    END_PROGRAM"""
    return drawn(row["q"] for row in scans(text, given, count=count))


def test_reset_is_stronger():
    """R in one branch beats whatever the others ask; what was stored is forgotten, what is not stored comes back.

    B resets for two scans; A set it, C asks for it with N.
    """
    assert played(("q(S);", "q(R);", "q(N);"), 6) == "~~__~~"
    assert played(("q(S);", "q(R);", ""), 6) == "~~____"
    assert played(("q(S);", "", ""), 6) == "~~~~~~"


def test_steps_that_follow_each_other_are_one_input():
    """The input of the control is the OR of the steps, so a pulse comes once, and the time of L does not begin anew."""
    assert played(("q(P);", "q(P);", ""), 6) == "~_____"
    assert played(("q(L, T#30ms);", "q(L, T#30ms);", ""), 6) == "~~~___"


def test_each_time_has_a_timer_of_its_own():
    """Our choice where the standard has one input for the time: the second step's limit counts from its own start."""
    assert played(("q(L, T#10ms);", "q(L, T#20ms);", ""), 6) == "~_~~__"


def test_the_order_of_a_scan():
    """Bodies run in the order in which the actions are written, Boolean variables follow: derived from lowered.py."""
    text = """
    PROGRAM p
    VAR q : BOOL; n, seen : INT; END_VAR
    INITIAL_STEP A: q(N); second(N); first(N); END_STEP
    ACTION first: n := 10; IF q THEN seen := seen + 1; END_IF; END_ACTION
    ACTION second: n := n * 2; END_ACTION
    END_PROGRAM"""
    rows = scans(text, count=3)
    assert [(row["q"], row["n"], row["seen"]) for row in rows] == [(True, 20, 0), (True, 20, 1), (True, 20, 2)]
