"""`simplant panel` up to the screen: what a session begins with, and that kept figures outlive a power loss."""

import pytest

from simplant import seconds
from simplant.cli.main import parser
from simplant.cli.panel import memory_file, session_of
from simplant.panel.view import View
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.memory_file import read_memory, write_memory
from simplant.scenario.read import read_scenario
from simplant.scenario.trace import Trace
from tests.panel.fountain import lay_out


@pytest.fixture
def begun(tmp_path, monkeypatch):
    """Begin a session as the command line says."""
    monkeypatch.chdir(tmp_path)
    machine = Machine.load(lay_out(tmp_path))

    def begin(*words):
        options = parser().parse_args(["panel", "fountain", *words])
        return session_of(machine, options, memory_file(machine))

    return begin


def plays(session):
    """Let the controller boot, and look at the desk."""
    session.advance(seconds(1))
    line = next(line.text for line in View(session).panes[0].lines(36) if "plays" in line.text)
    return int(line.split()[-1])


def test_memory_of_the_last_session(begun, tmp_path):
    """What was kept is there again, a warm start says so; `--cold` and another file begin otherwise."""
    write_memory(tmp_path / "programs/fountain.memory.toml", "fountain", {"plays": 12})
    write_memory(tmp_path / "other.toml", "fountain", {"plays": 3})
    assert (plays(begun()), plays(begun("--cold"))) == (12, 0)
    rows = [text for _, name, text in begun().rig.run(seconds(1)).trace if name == "!"]
    assert rows[-1] == "main: restart: warm: retained values kept"


def test_kept_figures_survive_a_power_loss(begun):
    """Power cut and given back warm: the count is there; cold: it is not. The file holds what the controller holds."""
    session = begun("--scenario", "play")
    session.advance(seconds(3))
    session.power()
    session.advance(seconds(4))
    session.power()
    session.advance(seconds(5))
    assert (session.kept(), session.rig.value("plays")) == ({"plays": 1}, 1)
    session.power()
    session.advance(seconds(6))
    session.power(cold=True)
    session.advance(seconds(7))
    assert session.kept() == {"plays": 0}


def test_times_are_kept_as_people_write_them(tmp_path):
    """A retained TIME stands in the file with its unit, and reads back the same."""
    write_memory(tmp_path / "m.toml", "fountain", {"quickest": "1.25s", "plays": 2})
    assert 'quickest = "1.25s"' in (tmp_path / "m.toml").read_text(encoding="utf-8")
    assert read_memory(tmp_path / "m.toml", "fountain") == {"quickest": "1.25s", "plays": 2}
    assert read_memory(tmp_path / "none.toml", "fountain") == {}


def test_a_saved_session_carries_what_was_kept(begun, tmp_path):
    """A session that began with memory from before is saved with it, and played again counts on from there."""
    write_memory(tmp_path / "programs/fountain.memory.toml", "fountain", {"plays": 12})
    session = begun("--scenario", "play")
    session.advance(seconds(3))
    session.save(tmp_path / "kept.toml")
    scenario = read_scenario(tmp_path / "kept.toml")
    run = run_scenario(session.machine, scenario)
    assert (scenario.retained, run.findings) == ({"plays": 12}, ())
    assert [value for _, name, value in run.trace if name == "plays"] == [12, 13]
    assert run.trace.rows == Trace.read(tmp_path / "kept.trace").rows
