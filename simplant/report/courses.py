"""The course of one name over a run: its changes in order, and what kind of row draws it.

Reading a trace is scenario/trace.py; continuous truths become lines in polyline.py. Rule: the first entry is the
value at the start, and each further one a change.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from simplant.scenario.trace import Row


class Kind(Enum):
    """How a course is drawn."""

    LEVEL = "level"
    """1 or 0."""
    NUMBER = "number"
    """A number that steps."""
    LINE = "line"
    """A number that moves: straight between its entries, two at one instant where it jumps."""
    WORD = "word"
    """Steps and texts."""


@dataclass(slots=True)
class Course:
    """What one name was, and since when.

    Args:
        name: tag, chart or truth.
        kind: how it is drawn.
        times: ns, rising.
        values: one for each of them.
    """

    name: str
    kind: Kind = Kind.LEVEL
    times: list[int] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    @property
    def moved(self) -> bool:
        """Whether it ever changed."""
        return any(value != self.values[0] for value in self.values)

    def add(self, at: int, value: Any) -> None:
        """Note what it is from an instant on; what is no change is passed over."""
        if not self.values or value != self.values[-1]:
            self.times.append(at)
            self.values.append(value)


def courses_of(rows: Iterable[Row], names: Collection[str] | None = None) -> dict[str, Course]:
    """Sort a trace by name.

    Args:
        rows: a trace, in order of time.
        names: which names; None means all that occur. Events are left out.
    """
    found = {name: Course(name) for name in names or ()}
    for at, name, value in rows:
        course = found.get(name)
        if course is None:
            if names is not None or not (name[0].isalpha() or name[0] == "_"):
                continue
            course = found[name] = Course(name)
        course.add(at, int(value) if isinstance(value, bool) else value)
    for course in found.values():
        course.kind = _kind(course.values)
    return {name: course for name, course in found.items() if course.values}


def _kind(values: list[Any]) -> Kind:
    if any(isinstance(value, str) for value in values):
        return Kind.WORD
    return Kind.LEVEL if all(isinstance(v, int) and v in (0, 1) for v in values) else Kind.NUMBER
