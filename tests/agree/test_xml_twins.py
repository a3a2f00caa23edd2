"""A machine whose program went out as XML and came back does the same in its scenarios.

Rule: every tag and every truth is compared; only the order of what is told at one instant may differ.
"""

import pytest

from simplant.cli.main import main
from tests.agree.twins import authored, lines, scenarios, with_logic

STRIDES = {"comet_toss": 8, "stamp_station": 4, "sump_pumps": 3}
"""Every how manieth scenario is run; that trees come back equal is held by tests/xml for all programs."""


def in_order(trace):
    """The lines of a trace, those of one instant sorted."""
    return sorted(trace, key=lambda line: (line.partition(" ")[0].zfill(24), line))


@pytest.mark.slow
@pytest.mark.parametrize("edition", ["tc6", "iec"])
@pytest.mark.parametrize("machine", STRIDES)
def test_scenarios(machine, edition, tmp_path, capsys):
    """Converted, taken as the machine's logic, run: charts of comet_toss, statements of the others."""
    made = tmp_path / "made.xml"
    assert main(["convert", machine, "--to", "xml", "--edition", edition, "--out", str(made)]) == 0
    assert "written as XML" in capsys.readouterr().out
    twin = with_logic(machine, tmp_path, str(made))
    for path in scenarios(machine)[:: STRIDES[machine] * (1 if edition == "tc6" else 3)]:
        assert in_order(lines(twin, path)) == in_order(lines(authored(machine), path)), path.stem
