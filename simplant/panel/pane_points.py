"""All points of the I/O list: what the program sees of each, what the wire says, and what is forced.

Rule: a forced point always says so, and a force is taken off by the same key that set it.
"""

from typing import Final

from simplant.errors import SimplantError
from simplant.panel.lines import Line, Span, fit, head, line
from simplant.panel.pane import Pane
from simplant.tags import Direction
from simplant.values import BOOL, Value
from simplant.wiring.io_list import Point

WIDE: Final = 56
"""Columns from which on there is room for the address."""


class PointsPane(Pane):
    """The points, inputs before outputs."""

    NAME = "points"
    LONG = True

    def lines(self, width: int) -> list[Line]:
        """Give a line for each."""
        io = self.session.machine.io
        lines = [head(fit(" value  wire   point", width).rstrip())]
        for title, points in (("inputs", io.inputs), ("outputs", io.outputs)):
            found = [p for p in points if self.found(p.name, p.tag.address, p.tag.description)]
            if found:
                lines.append(line((title, "faint")))
                lines += [self._line(point, width) for point in found]
        return lines

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
        """Force to the other value, then back, then let go."""
        point = self.session.machine.io[key]
        if point.tag.type is not BOOL:
            return ""
        before, value = self.session.forced(key), bool(self.session.rig.main.value(key))
        if before is None:
            return self._force(key, not value)
        return self._force(key, None)

    def turn(self, key: str, by: int) -> str:
        """Force to 1 (right) or 0 (left)."""
        return self._force(key, by > 0) if self.session.machine.io[key].tag.type is BOOL else ""

    def clear(self, key: str) -> str:
        """Let it go."""
        return self._force(key, None)

    def asks(self, key: str) -> str:
        """A number is typed in."""
        kind = self.session.machine.io[key].tag.type
        return "" if kind is BOOL else f"force {key} ({kind.name}) to"

    def answer(self, key: str, text: str) -> str:
        """Force to a number."""
        kind = self.session.machine.io[key].tag.type
        try:
            return self._force(key, kind.check(float(text) if isinstance(kind.default, float) else int(text)))
        except (ValueError, SimplantError) as error:
            return f"{text!r} is no value of {key}: {error}"

    def _force(self, tag: str, value: Value | None) -> str:
        self.session.force(tag, value)
        return f"{tag} let go" if value is None else f"{tag} forced to {value}"
