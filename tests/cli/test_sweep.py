"""`simplant sweep`: the table, the JSON, the exit codes."""

import json
import re

import pytest

from simplant.cli.main import main

GOOD = "scenarios/comet_toss/good_calls.toml"


def test_a_shift_through_the_scan_changes_nothing(capsys, monkeypatch):
    """The good round of calls does not depend on where in a scan a button is pressed."""
    monkeypatch.setenv("COLUMNS", "100")
    assert main(["sweep", GOOD, "--phase", "--steps", "5"]) == 0
    lines = [line.rstrip() for line in capsys.readouterr().out.splitlines() if line.strip()]
    assert lines == [
        "all from outside comes later, through a scan of 10 ms (4 runs)",
        "  nothing changes",
        "no demanded rule breaks that the base run holds",
    ]


@pytest.mark.slow
def test_ranges_steps_and_changes(capsys, monkeypatch):
    """Each row: from, to, how many runs, the steps of the story then, what is not as in the base run."""
    monkeypatch.setenv("COLUMNS", "120")
    assert main(["sweep", GOOD, "--cut-power", "--processes", "1"]) == 0
    rows = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]
    scans = re.fullmatch(
        r"the power of main is cut for 300 ms, warm restart: at (\d+) scans that are not asleep \((\d+) runs\)", rows[0]
    )
    assert scans is not None
    assert scans[1] == scans[2]
    assert rows[1] == "cut at to runs step then what changes"
    [everywhere] = [row for row in rows if row.endswith("off to air at the end cycle is 'off'")]
    assert everywhere.split()[2] == scans[1]
    assert rows[-1] == "no demanded rule breaks that the base run holds"


@pytest.mark.parametrize(
    ("options", "text"),
    [
        ([], "nothing is varied. Add --cut-power, --phase or --period 5ms..50ms"),
        (["--period", "5ms"], "'5ms' is no range of periods. Write for instance --period 5ms..50ms"),
        (["--cut-power", "--controller", "puls"], "comet_toss has no controller 'puls'. Close in spelling: pulses"),
    ],
)
def test_wrong_usage(capsys, options, text):
    assert main(["sweep", GOOD, *options]) == 2
    assert " ".join(capsys.readouterr().err.split()).startswith(f"simplant: {text}")


def test_json(capsys):
    """Whatever the table tells, in nanoseconds."""
    assert main(["sweep", GOOD, "--period", "10ms..20ms", "--steps", "2", "--json"]) == 0
    [told] = json.loads(capsys.readouterr().out)["sweeps"]
    assert (told["axis"], told["at"], told["runs"]) == ("main scans every 10 ms to 20 ms", "period", 2)
    tosses = [change for change in told["changes"] if change["what"] == "at the end tosses is 2"]
    at = 20_000_000
    assert tosses == [
        {"kind": "unmet", "what": "at the end tosses is 2", "from_ns": at, "to_ns": at, "runs": 1, "steps": []}
    ]
