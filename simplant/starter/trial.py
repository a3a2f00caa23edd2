"""Trying a new machine before it is put in its place: it loads, and each of its scenarios passes.

Rule: what does not pass is a bug of ours, never handed to the user as a start.
"""

from pathlib import Path

from simplant.errors import InternalError
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.scenario.read import read_scenario


def run_all(root: Path, name: str) -> dict[str, Run]:
    """Run every scenario of a machine; give what came of each by its name."""
    machine = Machine.load(root / "programs" / name)
    paths = sorted((root / "scenarios" / name).glob("*.toml"))
    return {path.stem: run_scenario(machine, read_scenario(path)) for path in paths}


def must_pass(root: Path, name: str) -> None:
    """Raise `InternalError` if a scenario has a finding or leaves a warning."""
    for scenario, run in run_all(root, name).items():
        if run.findings or run.warnings:
            told = "; ".join([*run.findings, *run.warnings])
            raise InternalError(f"the new machine does not pass its scenario {scenario!r}", told)
