"""All points of the I/O list: what the program sees of each, what the wire says, and what is forced; and its memory.

Rule: a forced point always says so, and a force is taken off by the same key that set it.
"""

from typing import Final

from simplant.errors import SimplantError
from simplant.panel.lines import Line, Span, fit, head, line
from simplant.panel.pane import Pane
from simplant.panel.session import Session
from simplant.tags import Direction
from simplant.values import BOOL, ElementaryType, Value
from simplant.wiring.io_list import Point

WIDE: Final = 56
"""Columns from which on there is room for the address."""


class PointsPane(Pane):
    """The points, inputs before outputs."""

    NAME = "points"
    LONG = True

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        stored, io = session.rig.loop.blueprint.names.index, session.machine.io
        tags = session.machine.program.declared
        self._memory = [name for name in tags if name in stored and name not in io]

    def lines(self, width: int) -> list[Line]:
        """Give a line for each."""
        io = self.session.machine.io
        lines = [head(fit(" value  wire   point", width).rstrip())]
        for title, points in (("inputs", io.inputs), ("outputs", io.outputs)):
            found = [p for p in points if self.found(p.name, p.tag.address, p.tag.description)]
            if found:
                lines.append(line((title, "faint")))
                lines += [self._line(point, width) for point in found]
        memory = [name for name in self._memory if self.found(name)]
        return [*lines, *([line(("memory", "faint"))] if memory else []), *(self._stored(n, width) for n in memory)]

    def _stored(self, name: str, width: int) -> Line:
        value = self.session.rig.value(name)
        told: Span = (
            (" ■ 1     ", "flow")
            if value is True
            else (" □ 0     ", "")
            if value is False
            else (f"{value!s:>9}", "flow")
        )
        return line("   ", told, " ", fit(name, width - 13).rstrip(), key=name)

    def _line(self, point: Point, width: int) -> Line:
        value = self.session.rig.main.value(point.name)
        forced = self.session.forced(point.name)
        mark: Span = (" F ", "forced") if forced is not None else ("   ", "")
        if point.tag.type is BOOL:
            shown: Span = (" ■ 1 ", "flow") if value else (" □ 0 ", "")
        else:
            shown = (f"{value!s:>5}", "flow")
        wire = self._wire(point)
        address = f" {point.tag.address}" if width >= WIDE else ""
        rest = f"{fit(point.name, 24)}{address} {point.tag.description}"
        return line(mark, shown, (fit(wire, 5), "faint"), fit(rest, width - 13).rstrip(), key=point.name)

    def _wire(self, point: Point) -> str:
        """Give what stands at the terminal, if that is not what the program sees."""
        part = self.session.rig.world.parts[point.name]
        level = part.outputs.get("level") if point.tag.direction is Direction.INPUT else None
        if not isinstance(level, bool) or level == self.session.rig.main.value(point.name):
            return ""
        return f" w={level:d}"

    def use(self, key: str) -> str:
        """Force to the other value, or let go; write a bit of memory."""
        value = self.session.rig.value(key) if key in self._memory else self.session.rig.main.value(key)
        if not isinstance(value, bool):
            return ""
        if key in self._memory:
            return self._write(key, not value)
        return self._force(key, not value if self.session.forced(key) is None else None)

    def turn(self, key: str, by: int) -> str:
        """Force to 1 (right) or 0 (left)."""
        if self._kind(key) is not BOOL:
            return ""
        return self._write(key, by > 0) if key in self._memory else self._force(key, by > 0)

    def clear(self, key: str) -> str:
        """Let it go."""
        return "" if key in self._memory else self._force(key, None)

    def asks(self, key: str) -> str:
        """A number is typed in."""
        kind = self._kind(key)
        return "" if kind is BOOL else f"{'write' if key in self._memory else 'force'} {key} ({kind.name}) to"

    def answer(self, key: str, text: str) -> str:
        """Force to a number, or write it."""
        kind = self._kind(key)
        try:
            value = kind.check(float(text) if isinstance(kind.default, float) else int(text))
        except (ValueError, SimplantError) as error:
            return f"{text!r} is no value of {key}: {error}"
        return self._write(key, value) if key in self._memory else self._force(key, value)

    def _kind(self, key: str) -> ElementaryType:
        return self.session.machine.program.declared[key].type

    def _write(self, tag: str, value: Value) -> str:
        self.session.write(tag, value)
        return f"{tag} written: {value}; the program may overwrite it"

    def _force(self, tag: str, value: Value | None) -> str:
        self.session.force(tag, value)
        return f"{tag} let go" if value is None else f"{tag} forced to {value}"
