"""`--coverage` of dryrun, replay and pytest: what runs show of a program, in whatever form it is written.

Which pairs of evaluations show a condition is tests/logic/test_coverage_decisions.py. Rule: whole counts and gaps.
"""

import json

import pytest

from simplant.cli import main

IO = """\
tag,type,direction,address,device,safe
go_pressed,BOOL,in,%IX0.0,go.contact,
hold_pressed,BOOL,in,%IX0.1,hold.contact,
lamp_cmd,BOOL,out,%QX0.0,lamp.on,0
"""
MACHINE = """\
[machine]
title = "Two buttons and a lamp"
logic = "LOGIC"
[parts.go]
part = "push_button"
[parts.hold]
part = "push_button"
[parts.lamp]
part = "lamp"
"""
PRESS = """\
machine = "lamp"
length = "2s"
stimulus = [{ at = "500ms", on = "BUTTON", do = "press", for = "300ms" }]
"""
PYTHON = """\
from simplant import Program, ms

def build(tags):
    p = Program("lamp", tags)
    t = p.tags
    both = p.let("both", t.go_pressed & ~t.hold_pressed)
    held = p.ton("held", both, ms(100))
    p.rung(t.lamp_cmd, held.Q)
    return p
"""
TEXT = """\
PROGRAM lamp
VAR held : TON; spare : BOOL; END_VAR
held(IN := go_pressed AND NOT hold_pressed, PT := T#100ms);
lamp_cmd := held.Q;
IF hold_pressed THEN
  spare := go_pressed;
ELSIF go_pressed OR spare THEN
  spare := FALSE;
END_IF;
END_PROGRAM
"""
CHART = """\
PROGRAM lamp
INITIAL_STEP Dark:
END_STEP
STEP Lit:
  lamp_cmd(N);
END_STEP
STEP Held:
  lamp_cmd(N);
END_STEP
TRANSITION FROM Dark TO Lit := go_pressed AND NOT hold_pressed; END_TRANSITION
TRANSITION keep FROM Lit TO Held := hold_pressed; END_TRANSITION
TRANSITION FROM Lit TO Dark := Lit.T >= T#100ms; END_TRANSITION
TRANSITION FROM Held TO Dark := NOT hold_pressed; END_TRANSITION
END_PROGRAM
"""
LADDER = """\
PROGRAM lamp
|   go_pressed   hold_pressed              lamp_cmd |
+--+--| |------+----|/|--------------------( )------+
|  |  lamp_cmd |                                    |
|  +--| |------+                                    |
END_PROGRAM
"""


@pytest.fixture
def write(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")

    def laid(logic, text):
        for folder in ("programs/lamp", "scenarios/lamp"):
            (tmp_path / folder).mkdir(parents=True)
        files = {
            "programs/lamp/io.csv": IO,
            "programs/lamp/machine.toml": MACHINE.replace("LOGIC", logic),
            f"programs/lamp/{logic}": text,
            "scenarios/lamp/go.toml": PRESS.replace("BUTTON", "go"),
            "scenarios/lamp/hold.toml": PRESS.replace("BUTTON", "hold"),
        }
        for name, content in files.items():
            (tmp_path / name).write_text(content, encoding="utf-8")

    return laid


def covered(capsys, *arguments):
    assert main([*arguments, "--coverage"]) == 0
    out = capsys.readouterr().out
    start = out.index("coverage of")
    return [" ".join(line.split()) for line in out[start:].splitlines() if line.strip()]


def test_rungs_in_python(write, capsys):
    """One scenario shows `go_pressed`, the other nothing more: `hold_pressed` decides only while go is pressed."""
    write("logic.py", PYTHON)
    assert covered(capsys, "replay", "scenarios/lamp/hold.toml")[:8] == [
        "coverage of lamp",
        "seen of %",
        "rungs 0 3 0",
        "statements 3 3 100",
        "conditions 0 4 0",
        "programs/lamp/logic.py",
        '6 | both = p.let("both", t.go_pressed & ~t.hold_pressed)',
        "| rung both was always FALSE",
    ]
    assert covered(capsys, "replay", "scenarios/lamp")[2:8] == [
        "rungs 3 3 100",
        "statements 3 3 100",
        "conditions 3 4 75",
        "programs/lamp/logic.py",
        '6 | both = p.let("both", t.go_pressed & ~t.hold_pressed)',
        "| rung both was never decided alone by: hold_pressed",
    ]


def test_statements_in_text(write, capsys):
    """Branches of an IF, an input of a timer, an assignment; each line as it stands in the file."""
    write("logic.st", TEXT)
    assert covered(capsys, "replay", "scenarios/lamp/go.toml")[2:-1] == [
        "rungs 2 3 66",
        "branches 1 2 50",
        "statements 3 4 75",
        "conditions 3 7 42",
        "programs/lamp/logic.st",
        "3 | held(IN := go_pressed AND NOT hold_pressed, PT := T#100ms);",
        "| rung held.IN was never decided alone by: hold_pressed",
        "5 | IF hold_pressed THEN",
        "| branch 1 of 2 was always FALSE",
        "6 | spare := go_pressed;",
        "| rung spare was never looked at",
        "7 | ELSIF go_pressed OR spare THEN",
        "| branch 2 of 2 was never decided alone by: spare",
    ]


def test_lines_in_whatever_letters_the_file_was_saved(write, capsys, tmp_path):
    """A program in UTF-16 is shown as it is read; a form feed in a comment ends no line."""
    text = TEXT.replace("VAR held", "(* dünn \f dick *) VAR held")
    write("logic.st", text)
    as_usual = covered(capsys, "replay", "scenarios/lamp/go.toml")
    (tmp_path / "programs/lamp/logic.st").write_bytes(text.encode("utf-16"))
    assert covered(capsys, "replay", "scenarios/lamp/go.toml") == as_usual
    assert "6 | spare := go_pressed;" in as_usual


def test_units_of_the_standard_are_not_counted(write, capsys):
    """What a file calls of the standard is no part of its program, though it is written in Structured Text too."""
    text = """PROGRAM lamp
    VAR year, month, day : INT; keep : BOOL; END_VAR
    SPLIT_DATE(D#2026-01-31, YEAR => year, MONTH => month, DAY => day);
    lamp_cmd := year > 2000;
    END_PROGRAM"""
    write("logic.st", text)
    assert covered(capsys, "replay", "scenarios/lamp")[2:5] == ["rungs 0 1 0", "statements 2 2 100", "conditions 0 1 0"]


def test_steps_and_transitions_of_a_chart(write, capsys):
    """Steps that were active, transitions that fired, the conditions of each that decided it."""
    write("logic.st", CHART)
    assert covered(capsys, "replay", "scenarios/lamp/go.toml")[2:-1] == [
        "steps 2 3 66",
        "transitions 2 4 50",
        "conditions 2 5 40",
        "programs/lamp/logic.st",
        "7 | STEP Held:",
        "| step lamp.Held was never active",
        "10 | TRANSITION FROM Dark TO Lit := go_pressed AND NOT hold_pressed; END_TRANSITION",
        "| transition lamp: Dark -> Lit was never decided alone by: hold_pressed",
        "11 | TRANSITION keep FROM Lit TO Held := hold_pressed; END_TRANSITION",
        "| transition lamp: keep was always FALSE",
        "13 | TRANSITION FROM Held TO Dark := NOT hold_pressed; END_TRANSITION",
        "| transition lamp: Held -> Dark was never looked at",
    ]


def test_rungs_of_a_ladder(write, capsys):
    """Against the drawing: the line of the rung, and which contact never decided."""
    write("logic.ladder", LADDER)
    assert covered(capsys, "replay", "scenarios/lamp")[2:-1] == [
        "rungs 1 1 100",
        "statements 1 1 100",
        "conditions 2 3 66",
        "programs/lamp/logic.ladder",
        "2 | | go_pressed hold_pressed lamp_cmd |",
        "| rung lamp_cmd was never decided alone by: hold_pressed",
    ]


def test_as_json(write, capsys, tmp_path):
    """The file and `--json` hold the same: counts, every item and every decision with its conditions."""
    write("logic.py", PYTHON)
    assert main(["dryrun", "programs/lamp", "--for", "1s", "--coverage", "seen.json", "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)["coverage"]
    assert printed == json.loads((tmp_path / "seen.json").read_text(encoding="utf-8"))
    (sheet,) = printed
    assert {key: sheet[key] for key in ("machine", "controller", "program", "counts")} == {
        "machine": "programs/lamp",
        "controller": "main",
        "program": "lamp",
        "counts": {
            "rungs": {"seen": 0, "all": 3},
            "statements": {"seen": 3, "all": 3},
            "conditions": {"seen": 0, "all": 4},
        },
    }
    assert sheet["items"][0] == {
        "kind": "statement", "name": "both", "place": "programs/lamp/logic.py:6", "seen": True,
    }  # fmt: skip
    assert sheet["decisions"][0] == {
        "kind": "rung",
        "name": "both",
        "place": "programs/lamp/logic.py:6",
        "outcomes": [False],
        "conditions": [{"text": "go_pressed", "shown": False}, {"text": "hold_pressed", "shown": False}],
    }


@pytest.mark.parametrize("command", [["replay"], ["dryrun", "programs/lamp"]])
def test_a_scenario_is_not_taken_for_the_file(write, capsys, tmp_path, command):
    """The word behind `--coverage` is the file to write; anything but .json is refused before it is touched."""
    write("logic.py", PYTHON)
    go, hold = "scenarios/lamp/go.toml", "scenarios/lamp/hold.toml"
    given = [go] if command == ["replay"] else []
    assert main([*command, *given, "--coverage", hold]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert told == (
        "simplant: scenarios/lamp/hold.toml is no .json file. "
        "--coverage takes the word behind it as the file to write. Name one, or put --coverage last."
    )
    assert (tmp_path / hold).read_text(encoding="utf-8").startswith('machine = "lamp"')


def test_without_the_option_nothing_is_probed(write, capsys):
    """No table, no key in the JSON."""
    write("logic.py", PYTHON)
    assert main(["replay", "scenarios/lamp", "--json"]) == 0
    assert "coverage" not in json.loads(capsys.readouterr().out)
