"""A variant: another machine's tables and files, and its own word on top; comet_toss with a wheel that is watched."""

from pathlib import Path

import pytest

from simplant import Machine, PlantError, WiringError
from simplant.campaign.failures import ask, cases_of, ways_of
from simplant.scenario.read import read_scenario

WATCHED = "programs/comet_toss_watched"
BASE = """\
[machine]
title = "base"
logic = "logic.st"
[parts]
button = { part = "push_button" }
valve = { part = "valve", switch_on = 0.02 }
"""
OWN = """\
[machine]
base = "../one"
title = "own"
[parts.valve]
switch_off = 0.05
[parts.bell]
part = "lamp"
"""
LOGIC = "PROGRAM p\nvalve_cmd := pressed;\nEND_PROGRAM\n"
IO = """\
tag,type,direction,address,device,contact
pressed,BOOL,in,%IX0.0,button.contact,NO
valve_cmd,BOOL,out,%QX0.0,valve.coil,
"""


@pytest.fixture
def folders(tmp_path: Path) -> Path:
    """A machine and a variant of it."""
    for name, text in (("one", BASE), ("other", OWN)):
        (tmp_path / "programs" / name).mkdir(parents=True)
        (tmp_path / "programs" / name / "machine.toml").write_text(text, encoding="utf-8")
    (tmp_path / "programs/one/logic.st").write_text(LOGIC, encoding="utf-8")
    (tmp_path / "programs/one/io.csv").write_text(IO, encoding="utf-8")
    return tmp_path / "programs"


def test_tables_are_joined_and_the_variants_word_counts(folders: Path) -> None:
    """Keys of both, a file from the base, rows in the base's order; the digest is of both."""
    (folders / "other/io.csv").write_text(
        "tag,type,direction,address,device,contact\npressed,BOOL,in,%IX0.0,button.contact,NC\n"
        "bell,BOOL,out,%QX0.1,bell.on,\n".replace("bell,", "ring,", 1),
        encoding="utf-8",
    )
    one, other = Machine.load(folders / "one"), Machine.load(folders / "other")
    assert (other.title, other.name) == ("own", "other")
    assert dict(other.plans["valve"].parameters) == {"switch_on": 0.02, "switch_off": 0.05}
    assert [f"{p.name} {p.contact.value}" for p in other.io] == ["pressed NC", "valve_cmd NO", "ring NO"]
    assert [p.name for p in one.io] == ["pressed", "valve_cmd"]
    before = other.digest
    (folders / "one/logic.st").write_text(LOGIC.replace(":= pressed", ":= NOT pressed"), encoding="utf-8")
    assert Machine.load(folders / "other").digest != before


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("other", "../one", "../on", "other/machine.toml:2: machine.base cannot be that. There is no machine at"),
        ("other", "../one", "../other", "other/machine.toml:2: machine.base cannot be that. It is based on itself."),
        ("other", "switch_off", "switch_of", "other/machine.toml:5: part 'valve' (valve) has no 'switch_of'."),
        ("one", "switch_on =", "switch_no =", "one/machine.toml:6: part 'valve' (valve) has no 'switch_no'."),
        ("one", '"push_button"', '"push_buton"', "one/machine.toml:5: there is no stock part 'push_buton'."),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_the_file_it_stands_in(folders: Path, file: str, old: str, new: str, told: str) -> None:
    """Also in a table written in one row."""
    path = folders / file / "machine.toml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(PlantError) as caught:
        Machine.load(folders / "other")
    assert told in str(caught.value)


def test_an_address_of_the_base_is_taken(folders: Path) -> None:
    head = "tag,type,direction,address,device,contact\n"
    (folders / "other/io.csv").write_text(head + "ring,BOOL,out,%QX0.0,bell.on,\n", encoding="utf-8")
    with pytest.raises(WiringError, match=r"address %QX0\.0 of 'ring' is that of 'valve_cmd' too"):
        Machine.load(folders / "other")


@pytest.mark.slow
def test_a_wheel_that_is_watched() -> None:
    """The row that nobody notices clears: begun in any step, a weak motor breaks no rule, and has its alarm."""
    machine = Machine.load(WATCHED)
    story = read_scenario("scenarios/comet_toss_watched/good_call.toml")
    (way,) = ways_of(machine, [("good_call", story)])
    weak = [entry for entry in machine.catalogue if str(entry) == "wheel.weak"]
    late = [c for c in cases_of([way], weak) if c.faults[0][1].step in ("from the start", "aim", "load", "warn")]
    found = {case.faults[0][1].step: ask(machine, case) for case in late}
    assert {step: ([name for _, name in facts.alarms], facts.broken) for step, facts in found.items()} == {
        step: (["wheel_slow"], ()) for step in ("from the start", "aim", "load", "warn")
    }
