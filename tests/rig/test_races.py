"""The race check is always on: a program that does not rest while inputs and time are held is found in a run."""

from pathlib import Path

import pytest

from simplant import Machine, seconds
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario, Stimulus

IO = """tag,type,direction,address,device
start_pressed,BOOL,in,%IX0.0,start.contact
lamp_cmd,BOOL,out,%QX0.0,lamp.on
"""
TOML = """[machine]
title = "One lamp"

[parts.start]
part = "push_button"

[parts.lamp]
part = "lamp"
"""
PRESS = Stimulus(seconds(1), "start", "press")


def machine(folder: Path, body: str) -> Machine:
    (folder / "io.csv").write_text(IO, encoding="utf-8")
    (folder / "machine.toml").write_text(TOML, encoding="utf-8")
    head = "from simplant import INT, TIME, Program, ms\n\n\ndef build(tags):\n    p = Program('one_lamp', tags)\n"
    logic = f"{head}    t = p.tags\n{body}\n    return p\n"
    (folder / "logic.py").write_text(logic, encoding="utf-8")
    return Machine.load(folder)


def told(folder, body, **how):
    return run_scenario(machine(folder, body), Scenario(folder.name, length=seconds(3), stimuli=(PRESS,)), **how)


@pytest.mark.parametrize("every_scan", [False, True])
def test_a_race_is_a_finding_once(tmp_path, every_scan):
    """A lamp that turns itself round at each scan while the button is held: found, named, told once."""
    result = told(tmp_path, "    p.rung(t.lamp_cmd, t.start_pressed & ~t.lamp_cmd)", every_scan=every_scan)
    assert result.findings == ("main: race: with inputs and time held, lamp_cmd repeat every 2 scans",)
    assert [e.time for e in result.events if "race" in e.text] == [1_030_000_000]


def test_a_free_running_tag_is_excepted(tmp_path):
    """A heartbeat that is declared free-running may turn for ever."""
    body = (
        "    beat = p.memory('beat', free_running=True)\n    p.rung(beat, ~beat)\n"
        "    p.rung(t.lamp_cmd, t.start_pressed)"
    )
    assert told(tmp_path, body).findings == ()


def test_a_count_of_scans_is_not_decided(tmp_path):
    """A number that grows with every scan never repeats within a thousand: a warning, not a finding."""
    body = "    n = p.memory('n', INT)\n    p.move(n.becomes(n + 1))\n    p.rung(t.lamp_cmd, t.start_pressed)"
    result = told(tmp_path, body)
    assert result.findings == ()
    assert [w for w in result.warnings if "no rest" in w] == [
        "main: no rest: with inputs and time held, n still change after 1000 scans"
    ]


def test_a_program_that_shows_running_time_is_no_race(tmp_path):
    """Copying a running ET changes at every scan, but rests when time is held."""
    body = (
        "    w = p.ton('w', t.start_pressed, ms(900))\n    e = p.memory('e', TIME)\n"
        "    p.move(e.becomes(w.ET))\n    p.rung(t.lamp_cmd, w.Q)"
    )
    result = told(tmp_path, body)
    assert result.findings == ()
    assert [w for w in result.warnings if "no rest" in w] == []
