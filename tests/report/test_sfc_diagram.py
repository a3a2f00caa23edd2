"""Sequential function charts as pictures: where things stand, the standard's signs, and the same as Mermaid text.

Charts of Python programs are test_state_diagram.py. Rule: whole placements and whole Mermaid texts.
"""

from xml.etree import ElementTree

import pytest

from simplant.cli import main
from simplant.logic.st.project import Project
from simplant.report.sfc_diagram import SfcPicture
from simplant.report.sfc_layout import places_of, row_of

PRESS = """\
PROGRAM press
VAR_INPUT go, out, drilled, fault, ack : BOOL; END_VAR
VAR_OUTPUT clamp_cmd, drill_cmd, blow_cmd : BOOL; END_VAR
INITIAL_STEP Idle: END_STEP
STEP Clamp: clamp_cmd(S); END_STEP
STEP Drill: drill_cmd(N); END_STEP
STEP Blow: blow_cmd(D, T#500ms); drill_cmd(N); END_STEP
STEP Blown: END_STEP
STEP Leave: clamp_cmd(R); END_STEP
STEP Halt: END_STEP
TRANSITION FROM Idle TO Clamp := go; END_TRANSITION
TRANSITION broken FROM Idle TO Halt := fault; END_TRANSITION
TRANSITION FROM Clamp TO (Drill, Blow) := out; END_TRANSITION
TRANSITION FROM Blow TO Blown := Blow.T >= T#2s; END_TRANSITION
TRANSITION FROM (Drill, Blown) TO Leave := drilled; END_TRANSITION
TRANSITION FROM Leave TO Idle := NOT out; END_TRANSITION
TRANSITION FROM Halt TO Idle := ack; END_TRANSITION
END_PROGRAM
"""
NAMES = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def chart():
    return Project(PRESS, "press.st").written.units[0].body


def test_steps_hang_below_what_leads_to_them(chart):
    """Alternatives and branches side by side; Leave stands below the lower of the two that it waits for."""
    places = places_of(chart)
    assert places.steps == {
        "IDLE": (0, 0), "CLAMP": (0, 1), "DRILL": (0, 2), "BLOW": (1, 2), "BLOWN": (1, 3), "LEAVE": (0, 4),
        "HALT": (2, 1),
    }  # fmt: skip
    assert places.ways == {0: 0, 1: 2, 2: 0, 3: 1, 4: 0, 5: 0, 6: 2}
    assert [row_of(t, places) for t in chart.transitions] == [0, 0, 1, 2, 3, 4, 1]
    assert (places.columns, places.rows) == (3, 5)
    assert {n for n, hung in places.hung.items() if not hung} == {5, 6}


def test_jumps_before_the_main_way_stand_left_of_it():
    """Written order is kept from left to right, and the main way goes straight down; nothing overlaps."""
    text = "PROGRAM p VAR_INPUT a, b : BOOL; END_VAR INITIAL_STEP S: END_STEP STEP T: END_STEP STEP U: END_STEP "
    for source, dest in ("ST", "TS", "TS", "TU", "TS", "US"):
        text += f"TRANSITION FROM {source} TO {dest} := a; END_TRANSITION "
    places = places_of(Project(text + "END_PROGRAM", "p.st").written.units[0].body)
    assert places.steps == {"S": (2, 0), "T": (2, 1), "U": (2, 2)}
    assert places.ways == {0: 2, 1: 0, 2: 1, 3: 2, 4: 3, 5: 2}
    assert places.columns == 4


def test_a_loop_of_convergences_is_placed_too():
    """Branches that wait for what hangs below them have no lowest row; the picture is bounded all the same."""
    text = "PROGRAM p INITIAL_STEP A: END_STEP STEP B: END_STEP STEP C: END_STEP "
    text += (
        "TRANSITION FROM A TO B := TRUE; END_TRANSITION TRANSITION FROM (B, C) TO C := TRUE; END_TRANSITION END_PROGRAM"
    )
    places = places_of(Project(text, "p.st").written.units[0].body)
    assert set(places.steps) == {"A", "B", "C"}
    assert places.rows <= 4


def test_the_picture_has_the_standards_signs(chart):
    """A double frame, double lines, bars, blocks with qualifier and action, a jump with its name; whole conditions."""
    picture = SfcPicture("press", chart)
    tree = ElementTree.fromstring(picture.svg())
    shown = [each.text or "".join(each.itertext()) for each in tree.iter(f"{NAMES}text")]
    titles = {each.text for each in tree.iter(f"{NAMES}title")}
    assert {"Idle", "Blow.T >= T#2s", "broken: fault", "D, T#500ms", "NOT out"} <= titles
    assert shown.count("Idle") == 2  # the ends of two jumps; a step's own name carries a title
    classes = [each.get("class") for each in tree.iter()]
    assert classes.count("inner plain") == 1
    assert classes.count("way bar") == 7
    assert picture.about() == "Sequential function chart press: 7 steps, 7 transitions, begins in Idle"


def test_mermaid_says_every_way(chart):
    """Branches leave a fork and meet in a join; signs of Mermaid are written as codes."""
    assert SfcPicture("press", chart).mermaid() == (
        "stateDiagram-v2\n"
        "    [*] --> Idle\n"
        "    Clamp: Clamp<br>S clamp_cmd\n"
        "    Drill: Drill<br>N drill_cmd\n"
        "    Blow: Blow<br>D, T#35;500ms blow_cmd<br>N drill_cmd\n"
        "    Leave: Leave<br>R clamp_cmd\n"
        "    Idle --> Clamp: go\n"
        "    Idle --> Halt: fault\n"
        "    state t3 <<fork>>\n"
        "    Clamp --> t3: out\n"
        "    t3 --> Drill\n"
        "    t3 --> Blow\n"
        "    Blow --> Blown: Blow.T #gt;= T#35;2s\n"
        "    state t5 <<join>>\n"
        "    Drill --> t5\n"
        "    Blown --> t5\n"
        "    t5 --> Leave: drilled\n"
        "    Leave --> Idle: NOT out\n"
        "    Halt --> Idle: ack\n"
    )


def test_the_command_draws_files(tmp_path, monkeypatch, capsys):
    """`simplant diagram FILE`: Mermaid on the screen, SVG into a file; a file without charts is told."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "press.st").write_text(PRESS, encoding="utf-8")
    assert main(["diagram", "press.st"]) == 0
    assert capsys.readouterr().out.startswith("stateDiagram-v2\n    [*] --> Idle\n")
    assert main(["diagram", "press.st", "--svg", "press.svg"]) == 0
    assert (tmp_path / "press.svg").read_text(encoding="utf-8").startswith("<svg")
    (tmp_path / "plain.st").write_text("PROGRAM p VAR a : BOOL; END_VAR a := NOT a; END_PROGRAM", encoding="utf-8")
    assert main(["diagram", "plain.st"]) == 2
    assert (
        "plain.st has no chart to draw. None of its bodies is a sequential function chart." in capsys.readouterr().err
    )
