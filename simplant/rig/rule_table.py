"""Rules as a table: `[[rule]]` with a kind, and expressions as text. A machine of tables needs no Python.

The kinds and their keys are rule_kinds.py, expressions expr/read.py, what is claimed rules/. Rule: every key is
known or refused, with file, line and column, and a value is read as the builder's argument asks.
"""

import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path as FilePath
from typing import Any, Final, get_args

from simplant.errors import Place, RuleError, SimplantError, nearest
from simplant.expr import Expr, Vocabulary, read
from simplant.rig.rule_kinds import KINDS, LABELS, Kind
from simplant.rules import Claim
from simplant.scenario.places import Path, Places, find_places
from simplant.scenario.text_file import read_text
from simplant.timebase import Ns, duration

_TABLES: Final = ("let", "rule")


def read_rules(path: FilePath, file: str, words: Iterable[tuple[str, Expr]]) -> list[Claim]:
    """Read a table of rules.

    Args:
        path: the file.
        file: what to call it in errors.
        words: what its expressions may name.

    Raises:
        RuleError: it is no TOML, has an unknown key or kind, or an expression is wrong; with its place.
    """
    text = read_text(path, "table of rules")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RuleError(f"{file} is not TOML", str(error), "mend that line: texts and times stand in quotes") from None
    return list(_Reader(find_places(file, text), list(words)).claims(data))


class _Reader:
    def __init__(self, places: Places, words: list[tuple[str, Expr]]) -> None:
        self.places = places
        self.words = words
        self.names = Vocabulary(words)

    def claims(self, data: Mapping[str, Any]) -> Iterator[Claim]:
        for key in data:
            if key not in _TABLES:
                raise self.error((key,), f"there is no key {key!r}", mend=nearest(key, _TABLES))
        for name, text in self.table(data.get("let", {}), ("let",)).items():
            self.let(name, text)
        rows = data.get("rule", [])
        if not isinstance(rows, list):
            raise self.error(("rule",), "'rule' is not a list of tables", mend="write [[rule]]")
        for number, row in enumerate(rows):
            yield from self.rule(self.table(row, ("rule", number)), ("rule", number))

    def table(self, value: object, path: Path) -> Mapping[str, Any]:
        if not isinstance(value, dict):
            raise self.error(path, f"{path[0]!r} is not a table", mend=f"write [{path[0]}]")
        return value

    def let(self, name: str, text: object) -> None:
        """Give an expression a name for the rules that follow."""
        path: Path = ("let", name)
        if not name.isidentifier():
            raise self.error(path, f"{name!r} is not a name", "a name is made of letters, digits and underscores")
        if name.upper() in (word.upper() for word, _ in self.words):
            raise self.error(
                path, f"the name {name!r} is taken", "a tag or another name is called so", "choose another"
            )
        self.words.append((name, self.expression(text, path)))
        self.names = Vocabulary(self.words)

    def rule(self, row: Mapping[str, Any], path: Path) -> Iterator[Claim]:
        kind = self.kind(row, path)
        for key in row:
            if key not in (*kind.keys, *LABELS, "kind"):
                known = [*kind.keys, *LABELS]
                raise self.error(
                    (*path, key), f"a rule of kind {row['kind']!r} has no {key!r}", mend=nearest(key, known)
                )
        missing = [key for key in kind.needed if key not in row]
        if missing:
            raise self.error(
                path, f"a rule of kind {row['kind']!r} needs {missing[0]!r}", mend=f"it takes {_keys(kind)}"
            )
        given = {p.name: self.value(p.annotation, row[key], (*path, key)) for key, p in kind.keys.items() if key in row}
        label = {key: self.label(key, row[key], (*path, key)) for key in LABELS if key in row}
        made = self.at(path, lambda: kind.build(**given, **label))
        for claim in made if isinstance(made, tuple) else (made,):
            yield replace(claim, place=self.places.of(path))

    def kind(self, row: Mapping[str, Any], path: Path) -> Kind:
        called = row.get("kind")
        if called is None:
            raise self.error(path, "this rule has no kind", mend='write for instance kind = "never"')
        if called not in KINDS:
            raise self.error((*path, "kind"), f"there is no kind of rule {called!r}", mend=nearest(str(called), KINDS))
        return KINDS[called]

    # Values, each as the argument asks

    def value(self, wanted: Any, value: Any, path: Path) -> Any:
        """Read a value for an argument of a type."""
        wants = get_args(wanted) or (wanted,)
        if wanted in (Sequence[Expr], tuple[Ns, Ns]):
            if not isinstance(value, list):
                raise self.error(path, f"{path[-1]!r} is {value!r}", "it must be a list", 'write ["...", "..."]')
            item = get_args(wanted)[0]
            return tuple(self.value(item, each, (*path, n)) for n, each in enumerate(value))
        if wanted == Mapping[str, Ns]:
            return {key: self.time(each, (*path, key)) for key, each in self.table(value, path).items()}
        if Fraction in wants:
            return str(value)
        if float in wants and isinstance(value, int | float):
            return float(value)
        if Expr in wants:
            return self.expression(value, path)
        if Ns in wants:
            return self.time(value, path)
        return value

    def label(self, key: str, value: Any, path: Path) -> Any:
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if number if key == "scale" else isinstance(value, str):
            return value
        raise self.error(path, f"{key!r} is {value!r}", f"it must be {'a number' if key == 'scale' else 'text'}")

    def expression(self, value: object, path: Path) -> Expr:
        if not isinstance(value, str):
            value = str(value).upper() if isinstance(value, bool) else str(value)
        try:
            return read(value, self.names, self.places.inside(path))
        except SimplantError as error:
            raise RuleError(error.what, error.why, error.mend, error.place) from None

    def time(self, value: object, path: Path) -> Ns:
        if not isinstance(value, str):
            raise self.error(path, f"{path[-1]!r} is {value!r}", "it must be a time", f'write for instance "{value}s"')
        read_: Ns = self.at(path, lambda: duration(value))
        return read_

    def at(self, path: Path, build: Callable[[], Any]) -> Any:
        """Build something; what is wrong with it is wrong at this place."""
        try:
            return build()
        except SimplantError as error:
            raise self.error(path, error.what, error.why, error.mend) from None

    def error(self, path: Path, what: str, why: str = "", mend: str = "") -> RuleError:
        place: Place | None = self.places.of(path)
        return RuleError(what, why, mend, place)


def _keys(kind: Kind) -> str:
    optional = [key for key in kind.keys if key not in kind.needed]
    return ", ".join(kind.needed) + (f" and perhaps {', '.join(optional)}" if optional else "")
