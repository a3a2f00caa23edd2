"""Where each key of a TOML text stands, so that an error can say so.

Reading the values is tomllib's work; this finds only lines and columns, in a text that tomllib
has already accepted. Rule: a place that cannot be found is the nearest one above it, never a
wrong one.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from simplant.errors import Place

Path = tuple[str | int, ...]
"""Keys and list positions from the top of the file."""

_TOKEN: Final = re.compile(
    r"""(?P<skip>[ \t\r]+|\#[^\n]*)
    |(?P<text>\"{3}(?:\\.|[^\\])*?\"{3,5}|'{3}.*?'{3,5}|"(?:\\.|[^"\\\n])*"|'[^'\n]*')
    |(?P<mark>[\[\]{}=,.\n])
    |(?P<bare>[^\s\[\]{}=,."'\#]+)""",
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Places:
    """Path of a key or list entry -> (line, column), for one file; `values`: where the value of a key begins."""

    file: str = ""
    found: Mapping[Path, tuple[int, int]] = field(default_factory=dict)
    values: Mapping[Path, tuple[int, int]] = field(default_factory=dict)

    def of(self, path: Path) -> Place | None:
        """Give the place of a path, or of the nearest one above it; None if there is no file."""
        if not self.file:
            return None
        while path and path not in self.found:
            path = path[:-1]
        return Place(self.file, *self.found.get(path, (0, 0)))

    def inside(self, path: Path) -> Place | None:
        """Give the place of the first letter of a text in quotes, if it is written on one line."""
        if path not in self.values:
            return self.of(path)
        line, column = self.values[path]
        return Place(self.file, line, column + 1)


def find_places(file: str, text: str) -> Places:
    """Find every key and list entry of a valid TOML text.

    Args:
        file: its name, as errors are to show it.
        text: what stands in it; tomllib must have accepted it.
    """
    scanner = _Scanner(text)
    scanner.document()
    return Places(file, scanner.found, scanner.values)


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.found: dict[Path, tuple[int, int]] = {}
        self.values: dict[Path, tuple[int, int]] = {}
        self._tokens = self._split()
        self._counts: dict[Path, int] = {}
        self.step()

    def _split(self) -> Iterator[tuple[str, int]]:
        for match in _TOKEN.finditer(self.text):
            if match.lastgroup != "skip":
                yield match[0], match.start()
        yield "", len(self.text)

    def step(self) -> None:
        self.token, self.start = next(self._tokens)

    def mark(self, path: Path, start: int) -> None:
        self.found.setdefault(path, self.at(start))

    def at(self, start: int) -> tuple[int, int]:
        return self.text.count("\n", 0, start) + 1, start - self.text.rfind("\n", 0, start)

    def document(self) -> None:
        table: Path = ()
        while self.token:
            if self.token == "[":
                table = self.header()
            elif self.token == "\n":
                self.step()
            else:
                self.pair(table)

    def header(self) -> Path:
        start = self.start
        self.step()
        many = self.token == "["
        if many:
            self.step()
        path = self.key((), start, many=many)
        while self.token not in ("\n", ""):
            self.step()
        return path

    def key(self, base: Path, start: int, *, many: bool = False) -> Path:
        words = [_plain(self.token)]
        self.step()
        while self.token == ".":
            self.step()
            words.append(_plain(self.token))
            self.step()
        path = base
        for word in words[:-1]:
            path = self.latest((*path, word))
            self.mark(path, start)
        path = (*path, words[-1])
        self.mark(path, start)
        if many:
            self._counts[path] = self._counts.get(path, -1) + 1
        path = self.latest(path)
        self.mark(path, start)
        return path

    def latest(self, path: Path) -> Path:
        return (*path, self._counts[path]) if path in self._counts else path

    def pair(self, base: Path) -> None:
        path = self.key(base, self.start)
        self.step()
        self.value(path)

    def value(self, path: Path) -> None:
        if self.token == "[":
            self.array(path)
        elif self.token == "{":
            self.inline(path)
        else:
            self.values[path] = self.at(self.start)
            while self.token not in ("\n", ",", "]", "}", ""):
                self.step()

    def array(self, path: Path) -> None:
        self.step()
        position = 0
        while self.token != "]":
            if self.token in (",", "\n"):
                self.step()
                continue
            self.mark((*path, position), self.start)
            self.value((*path, position))
            position += 1
        self.step()

    def inline(self, path: Path) -> None:
        self.step()
        while self.token != "}":
            if self.token in (",", "\n"):
                self.step()
            else:
                self.pair(path)
        self.step()


def _plain(token: str) -> str:
    if token[:1] in ("'", '"'):
        return str(tomllib.loads(f"key = {token}")["key"])
    return token
