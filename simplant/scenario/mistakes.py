"""What is wrong with a scenario file, in words that an engineer can act on.

Turns the messages of tomllib and msgspec into ours; the checks of values are in read.py.
Rule: no type name of a library reaches the user.
"""

import re
from typing import Any, Final

from simplant.errors import Place, ScenarioError, nearest
from simplant.scenario.places import Path, Places
from simplant.scenario.schema import known_keys

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


def key_of(path: Path) -> str:
    """Give the last key of a path, in quotes."""
    return repr(next(step for step in reversed(path) if isinstance(step, str)))


def kind_of(value: object) -> str:
    """Say what was written, for an error: `a list`, `the number 3`."""
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


def not_toml(message: str, file: str, text: str) -> ScenarioError:
    """Make an error of what tomllib says about a text."""
    match = _TOML_PLACE.match(message)
    what, line, column = match.groups() if match else (message, None, None)
    place = Place(file, int(line or text.count("\n") + 1), int(column or 0))
    return ScenarioError("this is not TOML", what, "texts and times stand in quotes", place)


def misfit(message: str, data: dict[str, Any], places: Places) -> ScenarioError:
    """Make an error of what msgspec says does not fit; `data` is what stands in the file."""
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
        return ScenarioError(f"{key} is {kind_of(value)}", 'it must be "warm" or "cold"', place=place)
    wanted = [_TRADE_WORDS.get(word, word) for word in names[0].split(" | ") if word != "null"]
    mend = ""
    if wanted == ["a list [...]"] and isinstance(value, dict):
        mend = f"write [[{path[-1]}]] in place of [{path[-1]}]"
    elif path[-1] in ("at", "for", "length") and isinstance(value, int | float):
        mend = f'write a time with its unit, for instance "{value}s"'
    return ScenarioError(
        f"{key} is {kind_of(value)}",
        f"it must be {', '.join(wanted[:-1])}{' or ' if wanted[:-1] else ''}{wanted[-1]}",
        mend,
        place,
    )
