"""`simplant rungs`: the drawing, its power at an instant, JSON, SVG, and what it says of wrong wishes."""

import json
import shutil
from pathlib import Path
from xml.etree import ElementTree

import pytest

from simplant.cli.main import main

LADDER = "programs/sump_pumps/logic.ladder"


@pytest.fixture(scope="module")
def machine(tmp_path_factory):
    """sump_pumps with its program in ladder."""
    root = tmp_path_factory.mktemp("ladder")
    folder = root / "programs" / "sump_pumps"
    shutil.copytree("programs/sump_pumps", folder)
    shutil.copytree("scenarios/sump_pumps", root / "scenarios" / "sump_pumps")
    return folder


def shown(capsys, *words):
    code = main(["rungs", *map(str, words)])
    told = capsys.readouterr()
    return code, told.out, told.err


def test_a_file_is_shown_as_it_is_drawn(capsys):
    """Every row of the drawings stands in the file; a rung is numbered, its comment and label are there."""
    code, out, _ = shown(capsys, LADDER)
    written = Path(LADDER).read_text(encoding="utf-8").splitlines()
    drawn = [row for row in out.splitlines() if row.startswith(("|", "+"))]
    assert code == 0
    assert drawn == [row for row in written if row.startswith(("|", "+"))]
    assert "rung 6\n" in out
    assert " named:\n" in out


def test_power_is_that_of_the_scan(machine, capsys):
    """At 400 s pump 2 lifts the water out: what conducts is heavy, and the timer of the pump-down runs."""
    code, out, _ = shown(capsys, machine, "--at", "400s", "--rung", "9")
    assert code == 0
    assert out.splitlines()[-10:-1] == [
        "rung 9",
        "┃                                 tail                                        |",
        "┃                                 +-----+                                     |",
        "┃  pumping            call        | TON |                                     |",
        "╋━━┃ ┃━━━━━━━━━━━━━╋━━┃/┃━━━━━━━━━|IN   |                                     |",
        "┃  pump_1_run_cmd  ┃        T#5m--|PT   |                                     |",
        "╋━━| |-------------╋              +-----+                                     |",
        "┃  pump_2_run_cmd  ┃                                                          |",
        "╋━━┃ ┃━━━━━━━━━━━━━╋                                                          |",
    ]
    assert out.splitlines()[-1].startswith("  tail: IN TRUE, PT T#5m, Q FALSE, ET T#1m15s")


def test_power_in_the_middle_of_a_scan(tmp_path, capsys):
    """A rung saw what a variable was when the rung was done, not what a later one made of it."""
    folder = tmp_path / "programs" / "sump_pumps"
    shutil.copytree("programs/sump_pumps", folder)
    file = folder / "machine.toml"
    text = file.read_text(encoding="utf-8").replace("logic.ladder", "own.ladder", 1)
    file.write_text(text.replace('rules = "rules.toml"', ""), encoding="utf-8")
    (folder / "own.ladder").write_text(
        """PROGRAM own
VAR pulse : BOOL; END_VAR
|  pulse              horn      |
+--|/|----------------( )-------+

|                     pulse     |
+---------------------(S)-------+

|  pulse              all_well  |
+--| |----------------( )-------+

|                     pulse     |
+---------------------(R)-------+
END_PROGRAM
""",
        encoding="utf-8",
    )
    scenario = tmp_path / "still.toml"
    scenario.write_text('machine = "sump_pumps"\nlength = "10s"\n', encoding="utf-8")
    code, out, _ = shown(capsys, folder, "--at", "5s", "--json", "--scenario", scenario)
    rungs = json.loads(out)["rungs"]
    assert code == 0
    assert [contact["conducts"] for rung in rungs for contact in rung["contacts"]] == [True, True]


def test_json_tells_contacts_and_pins(machine, capsys):
    """What is heavy in the drawing stands in words too."""
    code, out, _ = shown(capsys, machine, "--at", "400s", "--rung", "9", "--json")
    (rung,) = json.loads(out)["rungs"]
    conducting = {c["name"]: (c["conducts"], c["power"]) for c in rung["contacts"]}
    assert code == 0
    assert conducting == {
        "pumping": (True, True),
        "pump_1_run_cmd": (False, False),
        "pump_2_run_cmd": (True, True),
        "call": (True, True),
    }
    (block,) = rung["blocks"]
    assert (block["instance"], block["pins"]["IN"], block["pins"]["Q"]) == ("tail", "TRUE", "FALSE")
    assert rung["done"] is True
    assert len(rung["with_power"]) == len(rung["drawing"])


def test_svg_has_heavy_lines_where_there_is_power(machine, tmp_path, capsys):
    """The picture is well-formed; only with an instant are lines heavy."""
    heavy = []
    for extra in ((), ("--at", "400s")):
        file = tmp_path / f"{len(extra)}.svg"
        assert shown(capsys, machine, "--rung", "9", "--svg", file, *extra)[0] == 0
        root = ElementTree.fromstring(file.read_text(encoding="utf-8"))
        heavy.append(sum("on" in (e.get("class") or "").split() for e in root.iter()))
    assert heavy[0] == 0
    assert heavy[1] > 20


WRONG = {
    ("{ladder}", "--rung", "nmaed"): "there is no rung 'nmaed'. They are numbered from 1 to",
    ("{ladder}", "--at", "1s"): "--at looks at a scan of a machine.",
    ("{ladder}", "--unit", "sump"): "there is no ladder 'sump'.",
    ("programs/sump_pumps/logic.st",): "programs/sump_pumps/logic.st has no rungs.",
    ("programs/comet_toss",): "the program of comet_toss is written in Python.",
    ("{machine}", "--at", "1ms"): "no scan was run by 1",
    ("{machine}", "--at", "99h"): "is not in the scenario.",
}


@pytest.mark.parametrize("words", WRONG, ids=" ".join)
def test_wrong_wishes_are_told(words, machine, capsys):
    """Exit code 2, and what is wrong."""
    given = [str(machine) if w == "{machine}" else LADDER if w == "{ladder}" else w for w in words]
    code, _, err = shown(capsys, *given)
    assert code == 2
    assert WRONG[words] in err.replace("\n", " ")
