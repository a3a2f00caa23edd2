"""Every message names a file in one form: from the current folder on if it lies in it, else as it was given."""

import shutil
from pathlib import Path

import pytest

from simplant import Machine, SimplantError, go
from simplant.files import shown
from simplant.logic.check import check_program

ROOT = Path(__file__).parents[2]
SPOILT = {
    "machine.toml": ("[parts.sump]\n", "[parts.sump]\ndeep = 1\n"),
    "io.csv": ("duty_float.wet", "duty_float.wett"),
    "logic.ladder": ("|  water ", "|  watre "),
    "rules.toml": ('after = "sump.overflowing"', 'after = "sump.overflowin"'),
    "hazards.csv": ("pump 1 off is off,", "pump 1 is off,"),
}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    there = tmp_path / "programs" / "sump_pumps"
    shutil.copytree(ROOT / "programs" / "sump_pumps", there, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.chdir(tmp_path)
    return there


def told(folder):
    with pytest.raises(SimplantError) as caught:
        _ = Machine.load(folder).hazards
    return str(caught.value)


@pytest.mark.parametrize("file", SPOILT)
def test_one_form_for_every_file_of_a_machine(file, folder, tmp_path, monkeypatch):
    """However its folder is given, from within its project; from elsewhere as it was given."""
    text = (folder / file).read_text(encoding="utf-8")
    old, new = SPOILT[file]
    assert old in text, "mend the case"
    (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    inside = [told(given) for given in ("programs/sump_pumps", Path("programs/sump_pumps"), folder)]
    assert len(set(inside)) == 1
    assert inside[0].startswith(f"programs/sump_pumps/{file}:")
    monkeypatch.chdir(tmp_path / "programs")
    assert told("sump_pumps").startswith(f"sump_pumps/{file}:")
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    assert told(folder).startswith(f"{folder.as_posix()}/{file}:")
    assert told("../programs/sump_pumps").startswith(f"../programs/sump_pumps/{file}:")


def test_a_row_an_assignment_and_a_rule_bear_their_own_line(folder):
    """Not the line of the table or list that they stand in."""
    lines = (folder / "rules.toml").read_text(encoding="utf-8").splitlines()
    machine = Machine.load("programs/sump_pumps")
    named = {claim.name: claim.place for claim in machine.rules}
    place = named["pump 1 off is off"]
    assert place is not None
    assert place.file == "programs/sump_pumps/rules.toml"
    assert lines[place.line - 1 : place.line + 1] == ["[[rule]]", 'name = "pump 1 off is off"']


PROGRAM = """from simplant import BOOL, INT, Program, Step, go


def build(tags):
    p = Program("rows", tags)
    n = p.memory("n", INT)
    cycle = p.sequence("cycle", [Step("rest"), Step("run")])
    cycle.transitions([
        go("rest", "run", p.tags.reset_pressed,
           n.becomes(n + 1)),
        go("rest", "run", p.tags.reset_pressed),
        go("run", "rest", ~p.tags.reset_pressed),
    ])
    return p
"""


def test_checks_point_at_the_row(folder):
    """A row that can never fire, and an assignment that can run over, at their lines and not at the table's."""
    (folder / "logic.py").write_text(PROGRAM, encoding="utf-8")
    table = folder / "machine.toml"
    table.write_text(table.read_text(encoding="utf-8").replace("logic.ladder", "logic.py"), encoding="utf-8")
    program = Machine.load("programs/sump_pumps").program
    found = {f.kind: str(f.place) for f in check_program(program) if "cycle" in f.what or "n :=" in f.what}
    assert found["shadowed transition"] == "programs/sump_pumps/logic.py:11"
    assert found["counter wraps"] == "programs/sump_pumps/logic.py:10"


def test_a_row_stays_a_plain_row():
    """It is a dict like those that the library takes, equal to one written by hand."""
    assert go("a", "b", True) == {"trigger": "scan", "source": "a", "dest": "b", "conditions": [True], "before": []}  # type: ignore[arg-type]


def test_naming_a_file(tmp_path, monkeypatch):
    """Seen from the current folder, with `/` on every system."""
    monkeypatch.chdir(tmp_path)
    assert [shown(given) for given in ("a/b.py", tmp_path / "a" / "b.py", "../c.py", "/d.py")] == [
        "a/b.py", "a/b.py", "../c.py", "/d.py",
    ]  # fmt: skip
