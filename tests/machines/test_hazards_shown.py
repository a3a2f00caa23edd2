"""Every hazard that a demo machine accepts is shown to occur, in a scenario of its own."""

from pathlib import Path

import pytest

from simplant import Machine
from simplant.rig.replay import never_shown, replay_file

MACHINES = ("comet_toss", "stamp_station", "sump_pumps")


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
def test_every_accepted_hazard_occurs_in_a_scenario(name: str) -> None:
    """An entry that nothing shows would be a claim without proof, or one that no longer holds."""
    machines: dict[Path, Machine] = {}
    done = [replay_file(path, machines) for path in sorted(Path("scenarios", name).glob("*.toml"))]
    assert [line for line in never_shown(done) if "accepted hazard" in line] == []
    assert {hazard for replayed in done for hazard in replayed.result.accepted.values()}
