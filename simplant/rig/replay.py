"""A scenario file run again: its machine found, judged, and compared with its stored trace.

The command is cli/replay.py, the test item pytest_plugin.py; both tell a failure with `told`.
Rule: a golden trace stands beside its scenario (`calls.toml`, `calls.trace`), and nothing is written here.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from simplant.errors import ScenarioError, nearest
from simplant.files import shown
from simplant.rig.breaches import told_with_timeline
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rules import Outcome
from simplant.scenario.compare import Difference, first_difference
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario
from simplant.scenario.trace import Trace


@dataclass(frozen=True, slots=True)
class Replayed:
    """One scenario rerun: its run, its golden trace if there is one, and where they part."""

    path: Path
    result: Run
    golden: Path
    difference: Difference | None

    @property
    def stored(self) -> bool:
        """Whether there is a golden trace."""
        return self.golden.is_file()

    @property
    def good(self) -> bool:
        """Whether all expectations are met and the trace is the stored one."""
        return not self.result.findings and self.difference is None

    def told(self) -> str:
        """Tell the findings, each broken rule with its timeline, and how to run it again."""
        lines = [*self.result.findings]
        lines += [told_with_timeline(verdict, self.result.trace) for verdict in self.result.broken]
        return "\n".join(lines)


def never_shown(done: Iterable[Replayed]) -> tuple[str, ...]:
    """Say what no scenario of these shows: for each machine its rules in one line, and a line for each hazard.

    These are rules that none puts to the test, which prove nothing then, and entries of the hazard list that occur in
    none. Tell it of whole folders only: a single run need not show everything; and a variant need not show again what
    stands in the folder that it is based on.
    """
    runs: dict[Path, list[Run]] = {}
    for replayed in done:
        runs.setdefault(replayed.result.machine.folder, []).append(replayed.result)
    return tuple(line for each in runs.values() for line in _never_shown(each))


def _never_shown(runs: Sequence[Run]) -> Iterator[str]:
    machine = runs[0].machine
    exercised = {v.rule for run in runs for v in run.verdicts if v.outcome is not Outcome.NOT_EXERCISED}
    occurred = {hazard.place for run in runs for hazard in run.accepted.values()}
    idle = [rule for rule in machine.rules.names if rule not in exercised]
    if idle and not machine.file.machine.base:
        yield f"{machine.name}: rules not exercised by any scenario: {', '.join(idle)}"
    for hazard in machine.hazards:
        if hazard.place not in occurred and hazard.place.file.startswith(f"{shown(machine.folder)}/"):
            yield f"{machine.name}: accepted hazard that occurs in no scenario: {hazard}"


def replay_file(
    path: Path,
    machines: dict[Path, Machine],
    *,
    every_scan: bool = False,
    load: Callable[[Path], Machine] = Machine.load,
) -> Replayed:
    """Rerun one scenario file.

    Args:
        path: the scenario.
        machines: machines read so far, by folder; added to.
        every_scan: never sleep.
        load: reads a machine that is not there yet.

    Raises:
        SimplantError: the scenario, its machine or its trace cannot be read.
    """
    scenario = read_scenario(path)
    folder = machine_of(path, scenario)
    if folder not in machines:
        machines[folder] = load(folder)
    result = run_scenario(machines[folder], scenario, every_scan=every_scan)
    golden = path.with_suffix(".trace")
    difference = first_difference(Trace.read(golden), result.trace) if golden.is_file() else None
    return Replayed(path, result, golden, difference)


def machine_of(path: Path, scenario: Scenario) -> Path:
    """Give the folder of a scenario's machine: `programs/NAME` in a folder above the scenario.

    Raises:
        ScenarioError: there is none.
    """
    for folder in path.resolve().parents:
        wanted = folder / "programs" / scenario.machine
        if (wanted / "machine.toml").is_file():
            return wanted
    near = [p.parent.name for folder in path.resolve().parents for p in folder.glob("programs/*/machine.toml")]
    raise ScenarioError(f"{path}: no folder programs/{scenario.machine} above it", mend=nearest(scenario.machine, near))
