"""A wire written as `"not part.terminal"`: inverted on its way, unseen in the trace, refused where it is nonsense."""

import shutil
from pathlib import Path

import pytest

from simplant import Machine, PlantError, Rig, Scenario, seconds
from simplant.faults import Fault

ROOT = Path(__file__).parents[2]
WIRE, NEXT = 'enable = "not pump_1.tripped"', 'coil_volts = "supply24.volts"'
TABLE = (ROOT / "programs" / "sump_pumps" / "machine.toml").read_text(encoding="utf-8")
LINE = TABLE.partition(WIRE)[0].count("\n") + 1


@pytest.fixture
def spoilt(tmp_path, monkeypatch):
    """Give a function that reads a copy of sump_pumps with another wire for its first one."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(ROOT / "programs" / "sump_pumps", tmp_path / "sump_pumps")
    path = tmp_path / "sump_pumps" / "machine.toml"
    text = path.read_text(encoding="utf-8")

    def read(wire, after=NEXT):
        path.write_text(text.replace(f"{WIRE}\n{NEXT}", f"{wire}\n{after}", 1), encoding="utf-8")
        return Machine.load(path.parent)

    return read


def test_it_carries_the_opposite_and_leaves_no_trace_of_its_own(spoilt):
    """The contactor is enabled until its pump trips, and lets go in that same instant; no signal is added."""
    faults = (Fault("pump_1", "overload", seconds(60)),)
    inverted, plain = (
        Rig(spoilt(wire), Scenario("sump_pumps", length=seconds(61), faults=faults)).run() for wire in (WIRE, "")
    )
    contactor = inverted.world.parts["contactor_1"]
    assert (contactor.inputs["enable"], inverted.value("pump_1.tripped")) == (False, True)
    names = [{name for _, name, _ in rig.trace} for rig in (inverted, plain)]
    assert names[0] == names[1]
    off = [rig.since("contactor_1.closed") for rig in (inverted, plain)]
    assert seconds(60) < off[0] < off[1]
    assert spoilt(WIRE).build({})["contactor_1_enable_not"].outputs == {"inverse": True}


# (wire, the line after it, how many lines below the wire and what is said)
CASES = [
    (
        'enable = "not pump_1.triped"', NEXT,
        "0: part 'pump_1' has no output 'triped'. Close in spelling: tripped.",
    ),
    (
        'enable = "not pmup_1.tripped"', NEXT,
        "0: contactor_1.enable is wired to 'pmup_1.tripped', but there is no part 'pmup_1'."
        " Close in spelling: pump_1, pump_2, lamp_1.",
    ),
    (
        'enable = "not supply24.volts"', NEXT,
        "0: contactor_1.enable inverts what is not true or false. supply24.volts is a number, a word or a curve."
        " Leave out `not`.",
    ),
    (
        "", 'coil_volts = "not pump_1.tripped"',
        "1: contactor_1.coil_volts inverts what is not true or false."
        " contactor_1.coil_volts is a number, a word or a curve. Leave out `not`.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("wire", "after", "message"), CASES)
def test_a_wrong_inverted_wire_is_refused_at_its_line(spoilt, wire, after, message):
    """Names, and that both ends are true or false; it is the terminal that is named, not what was put in between."""
    with pytest.raises(PlantError) as caught:
        spoilt(wire, after)
    below, told = message.split(": ", 1)
    assert str(caught.value) == f"sump_pumps/machine.toml:{LINE + int(below)}: {told}"
