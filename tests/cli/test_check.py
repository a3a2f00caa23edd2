"""`simplant check`: errors are findings, warnings and notes are not; the JSON says the same."""

import json
import shutil
from pathlib import Path

import pytest

from simplant import Machine
from simplant.cli import main

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("machine", ["comet_toss", "sump_pumps"])
def test_the_demo_machines_have_no_errors_and_no_warnings(machine, capsys):
    """The programs in this repository pass their own check."""
    assert main(["check", str(ROOT / "programs" / machine), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [f for c in told["controllers"] for f in c["findings"] if f["severity"] != "note"] == []


def test_the_beam_pulse_is_sure_to_be_seen(capsys):
    """A ball breaks the return beam for 15 ms at least; the program is sure to see 11 ms."""
    main(["check", str(ROOT / "programs" / "comet_toss"), "--json"])
    told = json.loads(capsys.readouterr().out)["controllers"]
    pulses = {p["tag"]: p["shortest_ns"] for c in told for p in c["shortest_pulses"]}
    assert pulses["return_beam"] == 11_000_000


@pytest.fixture
def copied(tmp_path, monkeypatch):
    skip = shutil.ignore_patterns("__pycache__")
    for folder in ("programs/comet_toss", "scenarios/comet_toss"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=skip)
    monkeypatch.chdir(tmp_path)
    return tmp_path / "programs" / "comet_toss"


def test_all_files_of_a_machine_are_read(copied, capsys):
    """Rules, hazards and scenarios are counted; the JSON form has the same counts."""
    assert main(["check", "comet_toss"]) == 0
    machine = Machine.load("programs/comet_toss")
    there = {
        "rules": len(machine.rules.names),
        "hazards": len(machine.hazards),
        "scenarios": len(list(Path("scenarios/comet_toss").rglob("*.toml"))),
    }
    last = capsys.readouterr().out.splitlines()[-1]
    assert last == "rules: {rules}, hazards: {hazards}, scenarios: {scenarios} read".format(**there)
    main(["check", "comet_toss", "--json"])
    assert json.loads(capsys.readouterr().out)["read"] == there


WRONG = {
    "programs/comet_toss/rules.py": (
        'truth("wheel.speed")', 'truth("wheel.sped")', "there is no truth 'wheel.sped'. Close in spelling: wheel.speed"
    ),
    "programs/comet_toss/hazards.csv": ("wheel.weak", "wheel.week", "there is no fault 'wheel.week'."),
    "scenarios/comet_toss/good_tour.toml": ('on = "mode"', 'on = "mod"', "there is no part 'mod'."),
    "scenarios/comet_toss/good_calls.toml": ('machine = "comet_toss"', 'machine = "sump_pumps"', "not of 'comet_toss'"),
    "scenarios/comet_toss/power_dip.toml": ("length =", "lenght =", "unknown key 'lenght'. Close in spelling: length."),
    "programs/comet_toss/machine.toml": (
        'scenario = "good_calls"', 'scenario = "good_cals"',
        "has no scenario 'good_cals'. Close in spelling: good_calls",
    ),
}  # fmt: skip


@pytest.mark.parametrize("file", WRONG)
def test_what_is_wrong_with_any_file_is_told_before_a_run(file, copied, capsys):
    """Exit code 2, with the file; nothing is printed as if all were well."""
    old, new, message = WRONG[file]
    text = Path(file).read_text(encoding="utf-8")
    assert old in text, "mend the case"
    Path(file).write_text(text.replace(old, new, 1), encoding="utf-8")
    assert main(["check", "comet_toss"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert message in told.err
    assert file in told.err or "has no scenario" in message


def test_a_double_coil_is_an_error(copied, capsys):
    """Two rungs on one output: exit code 1, both writers named."""
    logic = copied / "logic.py"
    text = logic.read_text(encoding="utf-8")
    logic.write_text(
        text.replace("    return p\n", "    p.rung(t.horn, t.start_pressed)\n    return p\n"), encoding="utf-8"
    )
    assert main(["check", "comet_toss"]) == 1
    told = " ".join(capsys.readouterr().out.split())
    assert "error: horn is written by coil at" in told
    assert "Each writes in every scan, so only the last counts." in told


@pytest.mark.parametrize("text", ["logic.st", "logic.ladder"])
def test_a_program_in_text_sees_the_pulses_that_its_twin_sees(text, copied, capsys):
    """Statements and rungs that read the same inputs in the same task are sure to see the same pulses."""
    main(["check", "comet_toss", "--json"])
    before = json.loads(capsys.readouterr().out)["controllers"][0]["shortest_pulses"]
    settings = copied / "machine.toml"
    told = settings.read_text(encoding="utf-8").replace('logic = "logic.py"', f'logic = "{text}"')
    settings.write_text(told, encoding="utf-8")
    main(["check", "comet_toss", "--json"])
    assert json.loads(capsys.readouterr().out)["controllers"][0]["shortest_pulses"] == before
    assert before


def test_points_that_a_program_in_text_leaves_out_are_told(tmp_path, monkeypatch, capsys):
    """An input that no statement reads, and an output that none writes, are warnings at their rows of the list."""
    monkeypatch.chdir(tmp_path)
    home = tmp_path / "programs" / "few"
    home.mkdir(parents=True)
    points = (
        "a,BOOL,in,%IX0.0,s.contact",
        "b,BOOL,in,%IX0.1,t.contact",
        "x,BOOL,out,%QX0.0,l.on",
        "y,BOOL,out,%QX0.1,m.on",
    )
    io = "\n".join(["tag,type,direction,address,device", *points])
    parts = {"s": "push_button", "t": "push_button", "l": "lamp", "m": "lamp"}
    head = '[machine]\ntitle = "few"\nlogic = "few.st"\n[controller]\nperiod = "10ms"\nexecution = "1ms"\n'
    plant = "".join(f'[parts.{name}]\npart = "{kind}"\n' for name, kind in parts.items())
    program = "PROGRAM few\nx := a;\nEND_PROGRAM\n"
    for name, text in {"io.csv": io, "machine.toml": head + plant, "few.st": program}.items():
        (home / name).write_text(text, encoding="utf-8")
    assert main(["check", "few", "--json"]) == 0
    (controller,) = json.loads(capsys.readouterr().out)["controllers"]
    told = [(f["severity"], f["kind"], f["what"], f["place"]) for f in controller["findings"]]
    assert told == [
        ("warning", "unused input", "input b is never read", "programs/few/io.csv:3"),
        ("warning", "unwritten output", "output y is never written", "programs/few/io.csv:5"),
    ]
