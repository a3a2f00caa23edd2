"""Commands of an operator panel that are lost, repeated or held: what arrives, by a program that counts them."""

import json

import pytest

from simplant import Machine
from simplant.cli.main import main
from simplant.errors import PlantError, ScenarioError
from simplant.faults import Fault
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario, Write
from simplant.timebase import NEVER, Ns, ms, seconds

FILES = {
    "io.csv": "tag,type,direction,address,device\nlamp_cmd,BOOL,out,%QX0.0,lamp.on\n",
    "machine.toml": '[machine]\ntitle = "A lamp"\npanel = ["wanted"]\n\n[parts.lamp]\npart = "lamp"\n',
    "logic.py": """
from simplant import INT, Program

def build(tags):
    p = Program("counted", tags)
    wanted, other, came = p.memory("wanted"), p.memory("other"), p.memory("came", INT)
    p.move(came.becomes(came + 1), when=wanted | other)
    p.reset(wanted, wanted)
    p.reset(other, other)
    p.rung(p.tags.lamp_cmd, came > 0)
    return p
""",
}


@pytest.fixture
def folder(tmp_path):
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def came(machine, *faults, tag="wanted"):
    """Instants in ms at which a command arrived that was written once, at 1 s."""
    scenario = Scenario(machine.name, length=seconds(4), writes=(Write(seconds(1), tag, value=True),), faults=faults)
    run = run_scenario(machine, scenario)
    return [at // ms(1) for at, name, _ in run.trace if name == "came" and at > 0]


def fault(kind, onset=0, duration=NEVER, value=None):
    return Fault("operator panel", kind, Ns(onset), duration, value)


@pytest.mark.parametrize(
    ("faults", "arrives"),
    [
        ((), [1000]),
        ((fault("lost"),), []),
        ((fault("lost", seconds(2)),), [1000]),
        ((fault("repeated"),), [1000, 2000]),
        ((fault("repeated", value=0.25),), [1000, 1250]),
        ((fault("held", duration=ms(1350)),), [1000, 1100, 1200, 1300]),
        ((fault("held", duration=ms(1350), value=0.2),), [1000, 1200]),
        ((fault("held", seconds(2)),), [1000]),
        ((fault("held"), fault("lost", ms(1150), ms(100))), [*range(1000, 4001, 100)]),
    ],
    ids=str,
)
def test_what_arrives(folder, faults, arrives):
    """Lost: nothing. Repeated: once more, so much later. Held: again and again until the fault ends."""
    assert came(Machine.load(folder), *faults) == arrives


def test_only_what_the_panel_writes_goes_wrong(folder):
    """A tag that is not the panel's is written by the bench itself."""
    assert came(Machine.load(folder), fault("lost"), tag="other") == [1000]


def test_the_catalogue_has_a_panel_if_there_is_one(folder, capsys):
    """Three ways in which its commands go wrong, told by `simplant faults`; a machine without a panel has none."""
    assert main(["faults", str(folder), "operator panel", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [(row["kind"], row["severity"], row["moves"]) for row in rows] == [
        ("lost", None, ["main"]), ("repeated", 1.0, ["main"]), ("held", 0.1, ["main"]),
    ]  # fmt: skip
    assert main(["faults", str(folder)]) == 0
    assert "operator panel (panel)" in capsys.readouterr().out
    (folder / "machine.toml").write_text(FILES["machine.toml"].replace('panel = ["wanted"]\n', ""), encoding="utf-8")
    machine = Machine.load(folder)
    assert "operator panel" not in [entry.target for entry in machine.catalogue]
    with pytest.raises(ScenarioError, match="no failure mode of operator panel 'lost'"):
        came(machine, fault("lost"))


def test_a_tag_that_is_not_there(folder):
    """Every tag of the panel is a memory tag of the program."""
    text = FILES["machine.toml"].replace('"wanted"', '"wantd"')
    (folder / "machine.toml").write_text(text, encoding="utf-8")
    with pytest.raises(PlantError) as caught:
        Machine.load(folder)
    error = caught.value
    assert (error.what, error.mend) == ("there is no memory tag 'wantd'", "close in spelling: wanted")
    assert error.place is not None
    assert error.place.line == 3
