"""What is wrong with a source text, told with its line and a caret; all of it, not only the first.

Finding it is the reader's and the checker's affair. Rule: what the standard disallows but real files contain is a
warning, and with `strict` an error; nothing is ever half-understood.
"""

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, NoReturn, ParamSpec, TypeVar

from simplant.errors import Place, ProgramError, sentences

MOST: Final = 50
"""Mistakes that are told of one file; after that reading goes on, but silently."""
_WIDEST: Final = 160
"""Letters that are shown of a source line; exported files may stand in one line."""
_P = ParamSpec("_P")
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing that is wrong, or loose."""

    place: Place
    what: str
    why: str = ""
    mend: str = ""
    length: int = 1
    severity: str = "error"

    def text(self, line: str) -> str:
        """Give place, what, why and mend, then the source line with a caret under it."""
        head = f"{self.place}: {'warning: ' if self.severity == 'warning' else ''}"
        told = head + sentences(self.what, self.why, self.mend)
        if not line.strip():
            return told
        shown, column = _window(line.replace("\t", " "), self.place.column)
        carets = "^" * max(1, min(self.length, len(shown) - column + 1))
        margin = f"{self.place.line:5} | "
        return f"{told}\n{margin}{shown}\n{' ' * (len(margin) - 2)}| {' ' * (column - 1)}{carets}"


def _window(line: str, column: int) -> tuple[str, int]:
    """Give what is shown of a line, and where the column stands in it: of a long one only the neighbourhood."""
    if len(line) <= _WIDEST:
        return line, column
    start = max(0, min(column - 1 - _WIDEST // 2, len(line) - _WIDEST))
    before, after = "..." if start else "", "..." if start + _WIDEST < len(line) else ""
    return f"{before}{line[start : start + _WIDEST]}{after}", column - start + len(before)


class SourceErrors(ProgramError):  # noqa: N818 - it holds them all
    """All mistakes of one source text; `what` is their whole text."""

    def __str__(self) -> str:
        return self.what


class Fault(Exception):  # noqa: N818 - never leaves the reader, which records it and goes on
    """Carries one mistake up to where reading can go on."""

    def __init__(self, mistake: Mistake) -> None:
        super().__init__(mistake)
        self.mistake = mistake


@dataclass(slots=True)
class Report:
    """One source text and what was found wrong in it.

    Args:
        name: of the file, for places.
        text: the whole source.
        strict: what the standard disallows is an error, not a warning.
        mistakes: what was found.
        broken: what is wrong with the declaration of a name, in capitals; whoever meets the name tells nothing else.
    """

    name: str
    text: str
    strict: bool = False
    mistakes: list[Mistake] = field(default_factory=list)
    broken: dict[str, Mistake] = field(default_factory=dict)
    _starts: list[int] = field(init=False)
    _seen: set[tuple[Place, str]] = field(init=False, default_factory=set)

    def __post_init__(self) -> None:
        self._starts = [0, *(n + 1 for n, letter in enumerate(self.text) if letter == "\n")]

    def place(self, at: int) -> Place:
        """Give the place of a letter by its position in the text."""
        line = bisect_right(self._starts, at)
        return Place(self.name, line, at - self._starts[line - 1] + 1)

    def line(self, number: int) -> str:
        """Give a source line, from 1."""
        start = self._starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start : end if end >= 0 else len(self.text)].rstrip("\r")

    def add(self, mistake: Mistake) -> None:
        """Note a mistake, once at a place."""
        key = (mistake.place, mistake.what)
        if key not in self._seen:
            self._seen.add(key)
            self.mistakes.append(mistake)

    def breaks(self, *names: str) -> None:
        """Note that the last mistake took away what declares these names."""
        for name in names:
            self.broken.setdefault(name.upper(), self.mistakes[-1])

    def guarded(self, do: Callable[_P, _T], *given: _P.args, **named: _P.kwargs) -> _T | None:
        """Do something; a mistake is noted and costs just that."""
        try:
            return do(*given, **named)
        except Fault as fault:
            self.add(fault.mistake)
            return None

    def error(self, place: Place, what: str, why: str = "", mend: str = "", length: int = 1) -> None:
        """Note an error."""
        self.add(Mistake(place, what, why, mend, length))

    def loose(self, place: Place, what: str, mend: str = "", length: int = 1) -> None:
        """Note what real files contain though the standard disallows it: a warning, or an error with `strict`."""
        severity = "error" if self.strict else "warning"
        self.add(Mistake(place, what, "not in IEC 61131-3", mend, length, severity))

    def warn(self, place: Place, what: str, why: str = "", mend: str = "", length: int = 1) -> None:
        """Note what is allowed but looks wrong."""
        self.add(Mistake(place, what, why, mend, length, "warning"))

    @property
    def errors(self) -> list[Mistake]:
        """The mistakes that keep the text from running."""
        return [m for m in self.mistakes if m.severity == "error"]

    def told(self, mistake: Mistake) -> str:
        """Give one mistake with its source line."""
        return mistake.text(self.line(mistake.place.line) if mistake.place.file == self.name else "")

    def raise_errors(self) -> None:
        """Raise what keeps the text from running, in the order of the text.

        Raises:
            SourceErrors: there is any.
        """
        found = sorted(self.mistakes, key=lambda m: (m.place.line, m.place.column))
        if self.errors:
            found = found if len(found) <= MOST else sorted(found, key=lambda m: m.severity)  # errors before warnings
            more = [f"{len(found) - MOST} more follow"] if len(found) > MOST else []
            raise SourceErrors("\n".join([*(self.told(m) for m in found[:MOST]), *more]), place=found[0].place)


def counted(number: int, word: str) -> str:
    """Give `1 value`, `2 values`."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def fail(place: Place, what: str, why: str = "", mend: str = "", length: int = 1) -> NoReturn:
    """Give up the statement or declaration that is being read or checked."""
    raise Fault(Mistake(place, what, why, mend, length))
