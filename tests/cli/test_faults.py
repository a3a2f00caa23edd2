"""`simplant faults`: the catalogue of a machine, and what each fault of a point does to its level."""

import json
from pathlib import Path

import pytest

from simplant import Machine
from simplant.cli import main
from simplant.rig.reach import reaches

ROOT = Path(__file__).parents[2]
TOSS = str(ROOT / "programs/comet_toss")

# what the program reads with the device at rest and actuated, reasoned from the circuit: a dry contact feeds + into the
# input, NPN draws current out of the input, which counts it as 1
LEVELS = {
    ("start_pressed", "NO dry"): {
        "open_wire": ("0", "when actuated"),
        "short_to_supply": ("1", "at rest"),
        "short_to_0v": ("0", "when actuated"),
        "stuck_on": ("1", "at rest"),
        "stuck_off": ("0", "when actuated"),
        "leaking": ("1", "at rest"),
        "intermittent": ("in time only", "at changes"),
        "late": ("in time only", "at changes"),
        "chattering": ("in time only", "at changes"),
    },
    ("stop_released", "NC dry"): {
        "open_wire": ("0", "at rest"),
        "short_to_supply": ("1", "when actuated"),
        "short_to_0v": ("0", "at rest"),
        "stuck_on": ("1", "when actuated"),
        "stuck_off": ("0", "at rest"),
        "leaking": ("1", "when actuated"),
        "intermittent": ("in time only", "at changes"),
        "late": ("in time only", "at changes"),
        "chattering": ("in time only", "at changes"),
    },
    ("table_at_left", "NO NPN"): {
        "open_wire": ("0", "when actuated"),
        "short_to_supply": ("0", "when actuated"),
        "short_to_0v": ("1", "at rest"),
        "stuck_on": ("1", "at rest"),
        "stuck_off": ("0", "when actuated"),
        "leaking": ("1", "at rest"),
        "intermittent": ("in time only", "at changes"),
        "late": ("in time only", "at changes"),
        "chattering": ("in time only", "at changes"),
    },
    ("wheel_run_cmd", "output"): {
        "open_wire": ("0", "when on"),
        "intermittent": ("in time only", "at changes"),
        "stuck_on": ("1", "when off"),
        "stuck_off": ("0", "when on"),
        "late": ("in time only", "at changes"),
    },
}


@pytest.mark.parametrize(("point", "levels"), LEVELS.items(), ids=[" ".join(key) for key in LEVELS])
def test_the_level_follows_from_contact_and_signal(capsys, point, levels) -> None:
    """Each fault of a point is told with the level it gives and the state in which that shows."""
    assert main(["faults", TOSS, point[0], "--json"]) == 0
    rows = [row for row in json.loads(capsys.readouterr().out) if not row["with"]]
    assert {row["kind"]: (row["level"], row["shows"]) for row in rows} == levels


def test_every_entry_of_the_catalogue_is_there_once(capsys) -> None:
    """The list is the machine's catalogue, no more and no less, in its order."""
    main(["faults", TOSS, "--json"])
    rows = json.loads(capsys.readouterr().out)
    entries = Machine.load(TOSS).catalogue
    assert [(r["target"], r["kind"], r["with"]) for r in rows] == [(e.target, e.mode.kind, e.other) for e in entries]


def test_usual_onset_and_duration(capsys) -> None:
    """Power-up for what is there by then, any time for the rest; what passes by itself has its time."""
    main(["faults", TOSS, "--json"])
    rows = {f"{row['target']}.{row['kind']}": row for row in json.loads(capsys.readouterr().out)}
    told = {name: (row["from"], row["lasts"]) for name, row in rows.items()}
    assert {name for name, (onset, _) in told.items() if onset == "power-up" and not name.endswith("swapped")} == {
        "gate.twitch", "supply48.slow_rise", "supply24.slow_rise", "supply12.slow_rise", "supply5.slow_rise",
    }  # fmt: skip
    assert {name: lasts for name, (_, lasts) in told.items() if lasts != "for good"} == {
        "table.stalled": "5.000 s",
        "limit_left.blinded": "300.000 s",
        "limit_right.blinded": "300.000 s",
        "gate.blinded": "300.000 s",
        "balls.beam_blinded": "300.000 s",
        "main.power_cut": "500 ms",
        "pulses.power_cut": "500 ms",
        "all optics.sunlight": "300.000 s",
    }


REACH = {
    "wheel_run_cmd": (("wheel",), ("wheel_contactor_dropped",)),
    "wheel_contactor": (("wheel",), ("wheel_contactor_dropped",)),
    "table_run_cmd": (("pulses",), ()),
    "table_enable_cmd": (("table",), ()),
    "limit_left": ((), ("table_at_left",)),
    "start_pressed": ((), ()),
}
FED_BY_5V = ("table_at_left", "table_at_right", "gate_seen", "return_beam", "pulses_busy")


def test_what_a_fault_moves_and_where_it_is_seen() -> None:
    """The reach follows the wires through relays and supplies, to what moves, computes or reads."""
    reach = reaches(Machine.load(TOSS))
    assert {name: (reach[name].moves, reach[name].seen_at) for name in REACH} == REACH
    assert reach["supply5"].seen_at == FED_BY_5V


def test_an_inverted_wire_is_told_by_its_terminal() -> None:
    """What was put in between is never shown; the reach goes on behind the terminal."""
    reach = reaches(Machine.load(ROOT / "programs/sump_pumps"))
    assert reach["pump_1"].moves == ("sump", "contactor_1.enable")
    assert reach["pump_1"].seen_at == ("pump_1_overload_ok", "pump_1_dropped")
    assert {name for each in reach.values() for name in each.moves if "_not" in name} == set()


def test_the_list_for_people(capsys) -> None:
    """A part: cause, effect, severity, what it moves; and the counts at the end."""
    assert main(["faults", TOSS, "wheel_contactor"]) == 0
    lines = [line.rstrip() for line in capsys.readouterr().out.splitlines()]
    assert lines[0] == "wheel_contactor (contactor)"
    assert lines[-4:-2] == ["  moves: wheel", "  seen at: wheel_contactor_dropped"]
    assert lines[-1] == "4 single faults of 1 part; 0 pairs of wires"


def test_a_name_that_cannot_fail(capsys) -> None:
    assert main(["faults", TOSS, "weel"]) == 2
    assert capsys.readouterr().err == "simplant: nothing named 'weel' can fail. Close in spelling: wheel.\n"


def test_one_fault_alone(capsys) -> None:
    """`part.kind` names a single entry."""
    assert main(["faults", TOSS, "wheel.weak", "gate.twitch", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [(row["target"], row["kind"]) for row in rows] == [("wheel", "weak"), ("gate", "twitch")]
    assert main(["faults", TOSS, "wheel.week"]) == 2
    assert "nothing named 'wheel.week' can fail. Close in spelling: wheel.weak" in capsys.readouterr().err
