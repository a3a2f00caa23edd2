"""From the text of a scenario file to a `Scenario`, with the place of every mistake.

The keys are listed in schema.py, the values described in model.py; names of parts, tags and
rules are held against a machine in check.py. Rule: whatever can be seen to be wrong without
the machine is refused here, with file, line, column and a way to mend it.
"""

import math
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

import msgspec

from simplant.errors import ScenarioError, UsageError
from simplant.faults import Fault
from simplant.files import shown
from simplant.scenario.mistakes import key_of, kind_of, misfit, not_toml
from simplant.scenario.model import (
    Expect,
    Force,
    Power,
    Scans,
    Scenario,
    Span,
    State,
    Stimulus,
    Write,
)
from simplant.scenario.places import Path, Places, find_places
from simplant.scenario.schema import ExpectTable, ScenarioTable
from simplant.scenario.text_file import read_text
from simplant.timebase import NEVER, Ns, duration, show
from simplant.values import Value


def read_scenario(path: FilePath | str) -> Scenario:
    """Read a scenario file.

    Raises:
        ScenarioError: it is not there, not UTF-8, not TOML, or not a scenario; with the place.
    """
    return parse_scenario(read_text(path, "scenario"), shown(path))


def parse_scenario(text: str, file: str = "scenario") -> Scenario:
    """Read the text of a scenario; `file` is its name in errors. Raises `ScenarioError`."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise not_toml(str(error), file, text) from None
    places = find_places(file, text)
    try:
        table = msgspec.convert(data, ScenarioTable)
    except msgspec.ValidationError as error:
        raise misfit(str(error), data, places) from None
    return _Reader(places, table).scenario()


class _Reader:
    def __init__(self, places: Places, table: ScenarioTable) -> None:
        self.places = places
        self.table = table
        self.length = self.time(table.length, ("length",))

    def scenario(self) -> Scenario:
        table = self.table
        if self.length == 0:
            raise self.error(("length",), "the run is 0 s long", mend='write for instance length = "60s"')
        if table.seed < 0:
            raise self.error(("seed",), f"the seed is {table.seed}", "it must be 0 or more")
        if table.ties < 0:
            raise self.error(("ties",), f"the seed of ties is {table.ties}", "it must be 0 or more")
        return Scenario(
            machine=table.machine,
            title=table.title,
            seed=table.seed,
            length=self.length,
            phase=self.time(table.phase, ("phase",)),
            ties=table.ties,
            scans=dict(self.scans()),
            stimuli=tuple(self.stimuli()),
            faults=tuple(self.faults()),
            forces=tuple(self.forces()),
            writes=tuple(
                Write(self.instant(w.at, ("write", i)), w.tag, self.value(w.value, ("write", i, "value")))
                for i, w in enumerate(table.write)
            ),
            power=tuple(
                Power(self.instant(p.at, ("power", i)), p.controller, self.span(p.lasts, ("power", i)), p.restart)
                for i, p in enumerate(table.power)
            ),
            parameters={name: self.number(v, path) for name, v, path in flat(table.parameters, ("set",))},
            retained=self.values(table.retained, ("retained",)),
            expect=self.expect(table.expect),
            places=self.places,
        )

    def scans(self) -> Iterator[tuple[str, Scans]]:
        for name, s in self.table.scans.items():
            path = ("scans", name)
            yield name, Scans(self.time(s.period, (*path, "period")), self.time(s.jitter, (*path, "jitter")))

    def stimuli(self) -> Iterator[Stimulus]:
        for i, s in enumerate(self.table.stimulus):
            path = ("stimulus", i)
            at, lasts = self.instant(s.at, path), self.span(s.lasts, path)
            try:
                yield Stimulus(at, s.on, s.do, s.value, lasts)
            except ScenarioError as error:
                raise self.error((*path, "for"), error.what, error.why, error.mend) from None

    def faults(self) -> Iterator[Fault]:
        for i, f in enumerate(self.table.fault):
            path = ("fault", i)
            yield Fault(f.on, f.kind, self.instant(f.at, path), self.span(f.lasts, path), f.value, f.other)

    def forces(self) -> Iterator[Force]:
        for i, f in enumerate(self.table.force):
            path = ("force", i)
            value = self.value(f.value, (*path, "value"))
            yield Force(self.instant(f.at, path), f.tag, value, self.span(f.lasts, path))

    def expect(self, table: ExpectTable) -> Expect:
        path: Path = ("expect",)
        instants = [
            (self.instant(at.at, (*path, "at", i)), self.state(at.tags, at.steps, at.truths, (*path, "at", i)))
            for i, at in enumerate(table.at)
        ]
        return Expect(
            broken=tuple(table.broken),
            not_exercised=tuple(table.not_exercised),
            undecided=tuple(table.undecided),
            alarms=None if table.alarms is None else tuple(table.alarms),
            first_out=table.first_out,
            end=self.state(table.tags, table.steps, table.truths, path),
            at=tuple(sorted(instants, key=lambda pair: pair[0])),
        )

    def state(self, tags: dict[str, Any], steps: dict[str, Any], truths: dict[str, Any], path: Path) -> State:
        return State(
            tags=self.values(tags, (*path, "tags")),
            steps={name: self.word(v, at) for name, v, at in flat(steps, (*path, "steps"))},
            truths={name: self.value_or_span(v, at) for name, v, at in flat(truths, (*path, "truths"))},
        )

    def values(self, table: dict[str, Any], path: Path) -> dict[str, Value]:
        return {name: self.value(v, at) for name, v, at in flat(table, path)}

    def value(self, value: object, path: Path) -> Value:
        if isinstance(value, float) and not math.isfinite(value):
            raise self.error(path, f"{key_of(path)} is {value}", "only finite numbers are taken")
        if isinstance(value, bool | int | float | str):
            return value
        raise self.error(path, f"{key_of(path)} is {kind_of(value)}", "it must be true, false, a number or text")

    def value_or_span(self, value: object, path: Path) -> Value | Span:
        if not isinstance(value, list):
            return self.value(value, path)
        if len(value) != 2:
            raise self.error(path, f"{key_of(path)} is a list of {len(value)}", "a range is [least, most]")
        least, most = (self.number(v, path) for v in value)
        if least > most:
            raise self.error(path, f"{key_of(path)} ranges from {least:g} to {most:g}", "a range is [least, most]")
        return least, most

    def word(self, value: object, path: Path) -> str:
        if isinstance(value, str):
            return value
        raise self.error(path, f"{key_of(path)} is {kind_of(value)}", "it must be the name of a step, as text")

    def number(self, value: object, path: Path) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise self.error(path, f"{key_of(path)} is {kind_of(value)}", "it must be a finite number")
        return float(value)

    def instant(self, text: str, path: Path) -> Ns:
        at = self.time(text, (*path, "at"))
        if at > self.length:
            raise self.error(
                (*path, "at"),
                f"{show(at)} is past the end of the run",
                f"the run is {show(self.length)} long",
                "make it earlier, or the length greater",
            )
        return at

    def span(self, text: str | None, path: Path) -> Ns:
        if text is None:
            return NEVER
        lasts = self.time(text, (*path, "for"))
        if lasts == 0:
            raise self.error((*path, "for"), "it lasts 0 s", mend="leave out 'for' if it stays for good")
        return lasts

    def time(self, text: str, path: Path) -> Ns:
        if text.lstrip().startswith("-"):
            raise self.error(path, f"{text!r} is negative", "a run begins at 0 s")
        try:
            time = duration(text)
        except UsageError as error:
            raise self.error(path, error.what, error.why, error.mend) from None
        if time >= NEVER:
            raise self.error(path, f"{text!r} is too long", "the clock ends after 292 years")
        return time

    def error(self, path: Path, what: str, why: str = "", mend: str = "") -> ScenarioError:
        return ScenarioError(what, why, mend, self.places.of(path))


def flat(table: Mapping[str, object], path: Path, name: str = "") -> Iterator[tuple[str, object, Path]]:
    """Give (dotted name, value, path), so that `balls.caught = 3` means the same as `"balls.caught" = 3`."""
    for key, value in table.items():
        whole = f"{name}.{key}" if name else key
        if isinstance(value, dict) and value:
            yield from flat(value, (*path, key), whole)
        else:
            yield whole, value, (*path, key)
