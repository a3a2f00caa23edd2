"""What `simplant check` says of charts that are right by the letter and yet look wrong.

Errors that keep a chart from running are test_sfc_text.py. Rule: all that is said of a chart, exactly.
"""

import pytest

from simplant.logic.sfc.checks import parts_of
from simplant.logic.sfc.situations import search
from simplant.logic.st.lints import lints
from simplant.logic.st.project import Project


def chart(steps, *ways, actions=""):
    """Write a chart: steps of one letter (capital: initial), ways as `A>BC` (several steps at once)."""
    rows = [f"{'INITIAL_STEP' if s.isupper() else 'STEP'} {s.upper()}: END_STEP" for s in steps]
    for way in ways:
        ends = [e if len(e) == 1 else f"({', '.join(e)})" for e in way.split(">")]
        rows.append(f"TRANSITION FROM {ends[0]} TO {ends[1]} := go; END_TRANSITION")
    return "\n".join(["PROGRAM p VAR_INPUT go : BOOL; END_VAR", *rows, actions, "END_PROGRAM"])


def told(text):
    project = Project(text, "t.st")
    assert project.report.mistakes == []
    return [str(m.text("")).removeprefix("t.st:") for m in lints(project)]


def body(text):
    return Project(text, "t.st").written.units[0].body


RIGHT = {
    "one step": chart("A", "A>A"),
    "a round": chart("Abc", "A>B", "B>C", "C>A"),
    "alternatives": chart("Abcd", "A>B", "A>C", "B>D", "C>D", "D>A"),
    "branches that come together": chart("Abcd", "A>BC", "BC>D", "D>A"),
    "branches in branches": chart("Abcdefg", "A>BC", "B>DE", "DE>F", "FC>G", "G>A"),
    "a last step": chart("Ab", "A>B"),
    "two networks": chart("AbCd", "A>B", "B>A", "C>D", "D>C"),
    "a branch that repeats": chart("Abcd", "A>BC", "B>D", "D>B", "DC>A"),
}


@pytest.mark.parametrize("name", RIGHT)
def test_nothing_is_said_of_a_right_chart(name):
    """Rounds, alternatives, simultaneous branches, a last step, several networks."""
    assert told(RIGHT[name]) == []


def test_a_step_that_nothing_reaches():
    """No transition leads to C; D is behind it only."""
    assert told(chart("Abcd", "A>B", "B>A", "C>D")) == [
        "4:6: warning: no transition ever leads to the step C. It is never active.",
        "5:6: warning: no transition ever leads to the step D. It is never active.",
    ]


def test_a_convergence_of_alternatives():
    """B and C are alternatives, so a transition that waits for both never fires, and D is never reached."""
    assert told(chart("Abcd", "A>B", "A>C", "BC>D", "D>A")) == [
        "5:6: warning: no transition ever leads to the step D. It is never active.",
        "8:1: warning: this transition can never fire: B and C are never active at once. "
        "Its steps are alternatives, and it waits for all of them.",
    ]


def test_a_branch_left_without_the_others():
    """From B back to A while C goes on: with every round more steps are active."""
    assert told(chart("Abc", "A>BC", "B>A")) == [
        "6:1: warning: this transition leaves a simultaneous branch while the others go on: A, C are active then. "
        "More steps become active with every round. Let the branches come together: FROM (a, b) TO c."
    ]


def test_branches_that_meet_without_convergence():
    """Both branches lead to D by transitions of their own: two go in, one comes out."""
    assert told(chart("Abcd", "A>BC", "B>D", "C>D", "D>A")) == [
        "7:1: warning: this transition can enter the step D while it is active. Two branches then go on as one.",
        "8:1: warning: this transition can enter the step D while it is active. Two branches then go on as one.",
        "9:1: warning: this transition leaves a simultaneous branch while the others go on: A, C are active then. "
        "More steps become active with every round. Let the branches come together: FROM (a, b) TO c.",
    ]


def test_several_initial_steps_in_one_network():
    """IEC 61131-3 has one; IEC 60848 allows more, so it runs, with a warning."""
    (said,) = told(chart("ABc", "AB>C"))
    assert said == (
        "3:14: warning: one network begins in several steps: A, B. "
        "IEC 61131-3 has one initial step in a network, IEC 60848 several."
    )


def test_actions_that_never_run_or_never_end():
    """An action that no step has; a stored one without a reset; a transition behind one that is always true."""
    text = """PROGRAM p
VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; n : INT; END_VAR
INITIAL_STEP A: q(S); END_STEP
STEP B: END_STEP
TRANSITION FROM A TO B := TRUE; END_TRANSITION
TRANSITION FROM A TO A := go; END_TRANSITION
ACTION spare: n := n + 1; END_ACTION
END_PROGRAM"""
    assert told(text) == [
        "2:51: warning: the output n is never used. Take it away.",
        "3:17: warning: the action q is stored by S and never reset. It stays active for good. "
        "Reset it in a later step: q(R);.",
        "6:1: warning: this transition never fires. The one of line 5 from the same step is always there first.",
        "7:8: warning: no step has the action spare. It never runs. Take it away.",
    ]


def written(qualifiers, *, together):
    """A chart in which B and C, alternatives or simultaneous branches, have actions that write one output."""
    ways = ["A>BC", "BC>A"] if together else ["A>B", "A>C", "B>A", "C>A"]
    rows = ["PROGRAM p VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT n : INT; q : BOOL; END_VAR", "INITIAL_STEP A: END_STEP"]
    rows += [f"STEP {s}: {a}({q}); END_STEP" for s, a, q in zip("BC", ("one", "other"), qualifiers, strict=True)]
    for way in ways:
        ends = [e if len(e) == 1 else f"({', '.join(e)})" for e in way.split(">")]
        rows.append(f"TRANSITION FROM {ends[0]} TO {ends[1]} := go; END_TRANSITION")
    rows += ["ACTION one: n := 1; q := go; END_ACTION ACTION other: n := 2; END_ACTION END_PROGRAM"]
    return "\n".join(rows)


def test_two_actions_that_write_one_output():
    """Of branches that run at once it is told; of alternatives, and of what runs for one scan, it is not."""
    (said,) = told(written("NN", together=True))
    assert said.endswith(
        "warning: the output n is written by one and by other. Both run in one scan, and the last one wins. "
        "Write it once."
    )
    assert told(written("NN", together=False)) == []
    assert told(written(["P0", "P1"], together=True)) == []


def test_an_action_that_writes_another_action():
    """A Boolean action is written in every scan, so what a body writes into it is lost."""
    text = written("NN", together=False).replace("one(N)", "one(N); q(N)")
    (said,) = told(text)
    assert said.endswith(
        "warning: the action one writes q, which is itself an action. That is written in every scan, after all bodies. "
        "Write it in one way."
    )


def test_the_search_ends():
    """Thirty branches of two steps have a milliard of situations; the search stops at its bound."""
    branches = [(f"a{n}", f"b{n}") for n in range(30)]
    rows = ["PROGRAM p VAR_INPUT go : BOOL; END_VAR INITIAL_STEP first: END_STEP STEP lost: END_STEP"]
    rows += [f"STEP {name}: END_STEP" for pair in branches for name in pair]
    rows += [f"TRANSITION FROM {a} TO {b} := go; END_TRANSITION" for a, b in branches]
    rows.append(f"TRANSITION FROM first TO ({', '.join(a for a, _ in branches)}) := go; END_TRANSITION END_PROGRAM")
    wide = body("\n".join(rows))
    assert not search(wide, 200).whole
    assert search(wide, 200).grown == {}


def test_networks_are_told_apart():
    """What transitions connect is one network, in the order of its first step."""
    assert parts_of(body(chart("AbCdE", "A>B", "C>D"))) == [{"A", "B"}, {"C", "D"}, {"E"}]
