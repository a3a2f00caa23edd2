"""What a picture or page is made of: a scenario that is run now, or a trace that was stored.

Running is rig/outcome.py. Rule: what only a run can tell (verdicts, the ledger, what moves between two lines of a
trace) is absent for a stored trace, and the page says so.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from simplant.curves import Curve
from simplant.errors import ScenarioError, SimplantError, UsageError, nearest
from simplant.report.courses import Course
from simplant.report.polyline import Piece, line_of
from simplant.rig.coverage import Coverage
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rig.replay import machine_of
from simplant.rig.rig import Rig
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario
from simplant.scenario.records import AlarmRecord, EventRecord, StepRecord, alarms_of, events_of, steps_of
from simplant.scenario.trace import Rows, TraceFile
from simplant.timebase import Ns, duration

MOST_LINES: Final = 6
"""Continuous truths that are drawn if the machine chooses none."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One run to show.

    Attributes:
        path: what was named.
        run: the judged run; None for a stored trace.
        lines: continuous truths, by name; none for a stored trace.
        scenario: the scenario's text, "" if it is not known.
        again: the command that runs it again, "" if it is not known.
        changed: the machine's files are no longer those of the trace.
    """

    path: Path
    machine: Machine
    rows: Rows
    ended: Ns
    steps: tuple[StepRecord, ...]
    alarms: tuple[AlarmRecord, ...]
    events: tuple[EventRecord, ...]
    run: Run | None = None
    lines: Mapping[str, Course] | None = None
    scenario: str = ""
    again: str = ""
    changed: bool = False

    @property
    def title(self) -> str:
        """The scenario's title, or the file's name."""
        return self.rows.header.get("scenario") or self.path.stem.replace("_", " ")


def show_file(
    path: Path,
    machines: dict[Path, Machine],
    *,
    lines: Sequence[str] | None = None,
    progress: Callable[[Ns], None] | None = None,
    coverage: Coverage | None = None,
) -> Shown:
    """Run a scenario, or read a stored trace.

    Args:
        path: a scenario file, or a trace (`.trace`).
        machines: machines read so far, by folder; added to.
        lines: names that are to be drawn, continuous truths among them; None leaves the choice to the machine.
        progress: told the instant reached now and then.
        coverage: counts what the run shows of the programs.

    Raises:
        SimplantError: it cannot be read, run, or its machine is not found.
    """
    if path.suffix == ".trace":
        return _stored(path, machines)
    scenario = read_scenario(path)
    machine = _machine(machine_of(path, scenario), machines, coverage)
    return _ran(path, machine, scenario, lines, progress)


def _machine(folder: Path, machines: dict[Path, Machine], coverage: Coverage | None = None) -> Machine:
    if folder not in machines:
        machine = Machine.load(folder)
        machines[folder] = machine if coverage is None else coverage.cover(machine)
    return machines[folder]


def _ran(
    path: Path,
    machine: Machine,
    scenario: Scenario,
    wanted: Sequence[str] | None,
    progress: Callable[[Ns], None] | None,
) -> Shown:
    names = continuous(machine, wanted)
    rigs: list[Rig] = []

    def go(rig: Rig, until: Ns) -> None:
        if not rigs:
            rigs.append(rig)
            rig.loop.signals.keep(names)
        rig.run_until(until, progress=progress)

    run = run_scenario(machine, scenario, pace=go)
    signals = rigs[0].loop.signals
    kept: Mapping[str, Sequence[Piece]] = {name: signals.kept[signals.list.index[name]] for name in names}
    drawn = {name: line_of(name, pieces, run.ended) for name, pieces in kept.items()}
    text = path.read_bytes().decode("utf-8-sig")
    command = f"simplant replay {path.as_posix()}"
    return Shown(path, machine, run.trace, run.ended, run.steps, run.alarms, run.events, run, drawn, text, command)


def continuous(machine: Machine, wanted: Sequence[str] | None) -> list[str]:
    """Give the truths that no trace shows and a chart may: those wanted, else the machine's, else the first that move.

    Raises:
        UsageError: something is wanted that is neither tag, chart nor truth.
    """
    quiet = {name: value for name, value in machine.truths.items() if isinstance(value, Curve | float)}
    if wanted is not None:
        known = [*machine.program.declared, *machine.program.charts, *machine.truths]
        _refuse_unknown(wanted, known)
        return [name for name in wanted if name in quiet]
    chosen = machine.file.machine.chart
    _refuse_unknown(chosen, [*machine.program.declared, *machine.program.charts, *machine.truths])
    if chosen:
        return [name for name in chosen if name in quiet]
    return [name for name, value in quiet.items() if isinstance(value, Curve)][:MOST_LINES]


def _refuse_unknown(names: Sequence[str], known: Sequence[str]) -> None:
    for name in names:
        if name not in known and "." not in name:
            raise UsageError(f"nothing is named {name!r}", mend=nearest(name, known))


def _stored(path: Path, machines: dict[Path, Machine]) -> Shown:
    rows = TraceFile(path)
    machine = _machine(_folder_of(path, rows.header.get("machine", "")), machines)
    end = Ns(0)
    for at, _, _ in rows:
        end = Ns(at)
    length = _length(rows.header.get("length", ""))
    beside = path.with_suffix(".toml")
    text = beside.read_bytes().decode("utf-8-sig") if beside.is_file() else ""
    again = f"simplant replay {beside.as_posix()}" if text else ""
    return Shown(
        path,
        machine,
        rows,
        max(end, length, Ns(1)),
        steps_of(rows, list(machine.program.charts)),
        alarms_of(rows, machine.alarm_texts),
        events_of(rows),
        scenario=text,
        again=again,
        changed=rows.header.get("program", machine.digest) != machine.digest,
    )


def _length(text: str) -> Ns:
    try:
        return duration(text)
    except SimplantError:
        return Ns(0)


def _folder_of(path: Path, name: str) -> Path:
    """Find `programs/NAME` above a trace, or above where we are."""
    if not name:
        raise ScenarioError(
            f"{path} does not say of which machine it is", mend="its header has a line '# machine: NAME'"
        )
    for start in _starts(path):
        try:
            return machine_of(start, Scenario(name))
        except ScenarioError as error:
            last = error
    raise last


def _starts(path: Path) -> Iterator[Path]:
    yield path
    yield Path("here")
