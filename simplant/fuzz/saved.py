"""Where a find is kept: a scenario in `runs/`, named after what broke.

What a scenario file looks like is scenario/write.py. Rule: the file alone replays the find.
"""

from pathlib import Path
from re import sub

from simplant.scenario.model import Scenario
from simplant.scenario.write import write_scenario


def save(scenario: Scenario, what: str, to: Path | None = None, *, number: int = 1) -> Path:
    """Write a find; give its file.

    Args:
        scenario: the story.
        what: what is wrong with it, for the name of the file.
        to: the file; by default `runs/MACHINE-WHAT.toml`.
        number: of the find; from 2 on it is part of the name.

    Raises:
        UsageError: it cannot be written.
    """
    if to is None:
        Path("runs").mkdir(exist_ok=True)
        to = Path("runs") / f"{scenario.machine}-{sub(r'[^a-z0-9]+', '_', what.lower())}.toml"
    path = to.with_stem(f"{to.stem}_{number}") if number > 1 else to
    write_scenario(scenario, path)
    return path
