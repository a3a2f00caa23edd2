"""From the text of a scenario file to a `Scenario`, with the place of every mistake.

The keys are listed in schema.py, the values described in model.py; names of parts, tags and
rules are held against a machine in check.py. Rule: whatever can be seen to be wrong without
the machine is refused here, with file, line, column and a way to mend it.
"""

import math
import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any, Final

import msgspec

from simplant.errors import Place, ScenarioError, UsageError, nearest
from simplant.faults import Fault
from simplant.scenario.model import (
    OPPOSITES,
    Expect,
    Force,
    Power,
    Scenario,
    Span,
    State,
    Stimulus,
    Write,
)
from simplant.scenario.places import Path, Places, find_places
from simplant.scenario.schema import ExpectTable, ScenarioTable, known_keys
from simplant.scenario.text_file import read_text
from simplant.timebase import NEVER, Ns, duration, show
from simplant.values import Value

_TOML_PLACE: Final = re.compile(r"^(.*?) \(at (?:line (\d+), column (\d+)|end of document)\)$", re.DOTALL)
_MSGSPEC: Final = re.compile(r"^(.*?)(?: - at `\$(.*)`)?$", re.DOTALL)
_PATH_STEP: Final = re.compile(r"\.([^.\[]+)|\[(\d+)\]")
_QUOTED: Final = re.compile(r"`([^`]*)`")
_TRADE_WORDS: Final = {
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "array": "a list [...]",
    "object": "a table",
    "null": "nothing",
}


def read_scenario(path: FilePath | str) -> Scenario:
    """Read a scenario file.

    Raises:
        ScenarioError: it is not there, not UTF-8, not TOML, or not a scenario; with the place.
    """
    return parse_scenario(read_text(path, "scenario"), str(path))


def parse_scenario(text: str, file: str = "scenario") -> Scenario:
    """Read the text of a scenario; `file` is its name in errors. Raises `ScenarioError`."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(str(error), file, text) from None
    places = find_places(file, text)
    try:
        table = msgspec.convert(data, ScenarioTable)
    except msgspec.ValidationError as error:
        raise _misfit(str(error), data, places) from None
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
        return Scenario(
            machine=table.machine,
            title=table.title,
            seed=table.seed,
            length=self.length,
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

    def stimuli(self) -> Iterator[Stimulus]:
        for i, s in enumerate(self.table.stimulus):
            path = ("stimulus", i)
            if s.lasts is not None and s.do not in OPPOSITES:
                raise self.error(
                    (*path, "for"),
                    f"{s.do!r} cannot be given a time",
                    "no action is known to end it",
                    "leave out 'for' and write what follows as a stimulus of its own",
                )
            yield Stimulus(self.instant(s.at, path), s.on, s.do, s.value, self.span(s.lasts, path))

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
        raise self.error(path, f"{key_of(path)} is {_kind(value)}", "it must be true, false, a number or text")

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
        raise self.error(path, f"{key_of(path)} is {_kind(value)}", "it must be the name of a step, as text")

    def number(self, value: object, path: Path) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise self.error(path, f"{key_of(path)} is {_kind(value)}", "it must be a finite number")
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


def key_of(path: Path) -> str:
    """Give the last key of a path, in quotes."""
    return repr(next(step for step in reversed(path) if isinstance(step, str)))


def _kind(value: object) -> str:
    match value:
        case list():
            return "a list"
        case dict():
            return "a table"
        case str():
            return f"the text {value!r}"
        case bool():
            return str(value).lower()
        case int() | float():
            return f"the number {value}"
        case _:
            return "a date or time"


def _not_toml(message: str, file: str, text: str) -> ScenarioError:
    match = _TOML_PLACE.match(message)
    what, line, column = match.groups() if match else (message, None, None)
    place = Place(file, int(line or text.count("\n") + 1), int(column or 0))
    return ScenarioError("this is not TOML", what[:1].lower() + what[1:], place=place)


def _misfit(message: str, data: dict[str, Any], places: Places) -> ScenarioError:
    match = _MSGSPEC.match(message)
    assert match is not None, "the pattern matches any text"
    what, steps = match[1], match[2] or ""
    path: Path = tuple(int(index) if index else key for key, index in _PATH_STEP.findall(steps))
    names = _QUOTED.findall(what)
    if "unknown field" in what:
        return ScenarioError(
            f"unknown key {names[0]!r}", mend=nearest(names[0], known_keys(path)), place=places.of((*path, names[0]))
        )
    if "missing required field" in what:
        where = "the scenario" if not path else f"this {path[0]}"
        return ScenarioError(
            f"{where} has no {names[0]!r}", mend=f"add a line '{names[0]} = ' with its value", place=places.of(path)
        )
    return _wrong_type(what, names, path, data, places)


def _wrong_type(what: str, names: list[str], path: Path, data: dict[str, Any], places: Places) -> ScenarioError:
    value: Any = data
    for step in path:
        value = value[step]
    key, place = key_of(path), places.of(path)
    if not what.startswith("Expected"):
        return ScenarioError(f"{key} is {_kind(value)}", 'it must be "warm" or "cold"', place=place)
    wanted = [_TRADE_WORDS.get(word, word) for word in names[0].split(" | ") if word != "null"]
    mend = ""
    if wanted == ["a list [...]"] and isinstance(value, dict):
        mend = f"write [[{path[-1]}]] in place of [{path[-1]}]"
    elif path[-1] in ("at", "for", "length") and isinstance(value, int | float):
        mend = f'write a time with its unit, for instance "{value}s"'
    return ScenarioError(
        f"{key} is {_kind(value)}",
        f"it must be {', '.join(wanted[:-1])}{' or ' if wanted[:-1] else ''}{wanted[-1]}",
        mend,
        place,
    )
