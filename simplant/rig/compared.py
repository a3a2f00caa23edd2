"""Reading two versions of a program, and comparing them: on scenarios with their plant, on random inputs alone.

Where two runs part is versions.py. Rule: what is compared is named, and so is what only one version has.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from simplant.chance import draw
from simplant.errors import UsageError
from simplant.expr import Expr, Ref
from simplant.expr.read import read
from simplant.expr.vocabulary import Vocabulary
from simplant.files import shown
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.rig.random_inputs import disturbed_rows, random_rows
from simplant.rig.table import Bench, Column, Row
from simplant.rig.table_file import bench_of, read_bench
from simplant.rig.versions import Parting, of_bench, of_trace, parting, reduced
from simplant.scenario.model import Scenario
from simplant.timebase import Ns, seconds

MOST_SCANS: Final = 20_000
"""Scans of one story."""


@dataclass(frozen=True, slots=True)
class Version:
    """One version: its name for people, its machine if it has one, and its program alone."""

    name: str
    machine: Machine | None
    bench: Bench


@dataclass(frozen=True, slots=True)
class Pair:
    """Two versions, and what is compared of them.

    Attributes:
        names: what both have and what is compared.
        inputs: what both are given.
        only_old, only_new: outputs and inputs that only one of them has.
    """

    old: Version
    new: Version
    names: tuple[str, ...]
    inputs: tuple[str, ...]
    only_old: tuple[str, ...]
    only_new: tuple[str, ...]


def read_pair(old: Path, new: Path, *, unit: str | None = None, every_name: bool = False) -> Pair:
    """Read two versions: two machine folders, two program files of one machine, or two files that run alone.

    Args:
        old: the one version.
        new: the other.
        unit: of files that run alone: which program, function block or function.
        every_name: compare every variable that both have, not only outputs.

    Raises:
        SimplantError: one cannot be read, or they have nothing in common.
    """
    folder = next((p.parent for p in (old, new) if p.is_file() and (p.parent / "machine.toml").is_file()), None)
    versions = [_version(path, folder, unit) for path in (old, new)]
    one, other = (v.bench for v in versions)
    inputs = tuple(n for n in one.inputs if n in other.inputs and n in one.columns)
    names = tuple(n for n in one.outputs if n in other.columns)
    if every_name:
        names = tuple(n for n in one.columns if n in other.columns and n not in inputs)
    if not names:
        raise UsageError(f"{shown(old)} and {shown(new)} have no output in common", mend="compare with --all")
    lacking = [tuple(n for n in (*a.outputs, *a.inputs) if n not in b.columns) for a, b in ((one, other), (other, one))]
    return Pair(versions[0], versions[1], names, inputs, lacking[0], lacking[1])


def _version(path: Path, folder: Path | None, unit: str | None) -> Version:
    if path.is_dir():
        machine = Machine.load(path)
    elif folder is not None:
        if not path.is_file():
            raise UsageError(f"there is no file {path}", mend="name two machine folders or two program files")
        machine = Machine.load(folder, logic=path)
    else:
        return Version(shown(path), None, read_bench(path, unit)[0])
    plan = machine.controllers[0]
    laid = [replace(layout, period=setup.period) for layout, (setup, _) in zip(plan.layouts, plan.tasks, strict=True)]
    return Version(shown(path), machine, bench_of(laid, plan.inputs, plan.outputs))


def conditions(texts: Sequence[str], pair: Pair) -> list[Expr]:
    """Read the conditions under which the versions may differ; raises `SimplantError`."""
    words = [(name, Ref(name, column.type)) for name, column in pair.new.bench.columns.items()]
    return [read(text, Vocabulary(words)) for text in texts]


def on_scenario(pair: Pair, scenario: Scenario, allowed: Sequence[Expr]) -> tuple[Parting | None, list[Row]]:
    """Compare both versions on a scenario, each with its own plant around it; give the inputs of the old one, too."""
    runs = []
    for version in (pair.old, pair.new):
        assert version.machine is not None, "only machines have scenarios"
        runs.append(run_scenario(version.machine, replace(scenario, machine=version.machine.name)).trace)
    apart = parting(of_trace(runs[0]), of_trace(runs[1]), pair.names, pair.inputs, allowed)
    wanted = frozenset(pair.inputs)
    course = [Row(Ns(at), {name: value}) for at, name, value in runs[0] if name in wanted]
    return apart, course


@dataclass(frozen=True, slots=True)
class Story:
    """Random inputs on which both versions were run."""

    number: int
    rows: tuple[Row, ...]
    until: Ns


def story(pair: Pair, courses: Sequence[Sequence[Row]], seed: int, number: int, scan: Ns) -> Story:
    """Make random inputs; two of three stories disturb the inputs of a scenario, if there is any."""
    columns: list[Column] = [pair.new.bench.columns[name] for name in pair.inputs]
    if courses and number % 3:
        course = courses[int(draw(seed, "course", number) * len(courses))]
        until = min(Ns(course[-1].time + seconds(2)), Ns(MOST_SCANS * scan))
        return Story(number, tuple(disturbed_rows(course, columns, seed, number, scan, until)), until)
    rows = random_rows(columns, seed, number, scan)
    return Story(number, tuple(rows), Ns(rows[-1].time + seconds(2)))


def on_rows(pair: Pair, rows: Sequence[Row], scan: Ns, until: Ns, allowed: Sequence[Expr]) -> Parting | None:
    """Compare both versions alone on a table of inputs."""
    old, new = (of_bench(v.bench, rows, scan, until) for v in (pair.old, pair.new))
    return parting(old, new, pair.names, pair.inputs, allowed)


def shortest(pair: Pair, found: Story, scan: Ns, at: Ns, allowed: Sequence[Expr]) -> tuple[Story, Parting]:
    """Take away the inputs of a story that a difference does not need."""

    def differs(rows: Sequence[Row]) -> bool:
        return on_rows(pair, rows, scan, at, allowed) is not None

    before = [row for row in found.rows if row.time <= at]
    rows = reduced(before, differs)
    parted = on_rows(pair, rows, scan, at, allowed)
    assert parted is not None, "what is left still makes them differ"
    return Story(found.number, rows, at), parted
