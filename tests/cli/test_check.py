"""`simplant check`: errors are findings, warnings and notes are not; the JSON says the same."""

import json
import shutil
from pathlib import Path

import pytest

from simplant.cli import main

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("machine", ["comet_toss", "sump_pumps"])
def test_the_demo_machines_have_no_errors_and_no_warnings(machine, capsys):
    """The programs in this repository pass their own check."""
    assert main(["check", str(ROOT / "programs" / machine), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [f for c in told for f in c["findings"] if f["severity"] != "note"] == []


def test_the_beam_pulse_is_sure_to_be_seen(capsys):
    """A ball breaks the return beam for 15 ms at least; the program is sure to see 11 ms."""
    main(["check", str(ROOT / "programs" / "comet_toss"), "--json"])
    pulses = {p["tag"]: p["shortest_ns"] for c in json.loads(capsys.readouterr().out) for p in c["shortest_pulses"]}
    assert pulses["return_beam"] == 11_000_000


def test_a_double_coil_is_an_error(tmp_path, capsys):
    """Two rungs on one output: exit code 1, both writers named."""
    shutil.copytree(
        ROOT / "programs" / "comet_toss", tmp_path / "comet_toss", ignore=shutil.ignore_patterns("__pycache__")
    )
    logic = tmp_path / "comet_toss" / "logic.py"
    text = logic.read_text(encoding="utf-8")
    logic.write_text(
        text.replace("    return p\n", "    p.rung(t.horn, t.start_pressed)\n    return p\n"), encoding="utf-8"
    )
    assert main(["check", str(tmp_path / "comet_toss")]) == 1
    told = " ".join(capsys.readouterr().out.split())
    assert "error: horn is written by coil at" in told
    assert "Each writes in every scan, so only the last counts." in told
