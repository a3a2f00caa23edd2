"""A plain view of the machine: every axis, level and speed on its scale, where each ball is, which parts are on.

What is shown on which scale is gauges.py. Rule: it shows what is truly so, whatever the sensors say.
"""

from typing import Final

from simplant.curves import Curve
from simplant.panel.gauges import Gauge, gauges_of
from simplant.panel.lines import Line, Span, fit, line, wrapped
from simplant.panel.pane import Pane
from simplant.panel.session import Session
from simplant.plant.inverter import Inverter
from simplant.plant.watch import Watch
from simplant.plant.world import Sum
from simplant.timebase import to_seconds
from simplant.wiring.devices import EmergencyStop, Lamp, PushButton, Selector
from simplant.wiring.point_kinds import DRIVEN, READ

WIDE: Final = 52
"""Columns from which on there is room for the ends of a scale."""

_ELSEWHERE = (*READ, *DRIVEN, Watch, Inverter, Sum, PushButton, EmergencyStop, Selector, Lamp)
"""Parts that other panes show."""


class PlanPane(Pane):
    """Gauges, what is where, what is on."""

    NAME = "plan"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._gauges = gauges_of(session.machine)
        self._longest = max((len(gauge.name) for gauge in self._gauges), default=0) + 1

    def lines(self, width: int) -> list[Line]:
        """Give all of it."""
        return [*(self._gauge(g, width) for g in self._gauges), *self._ledger(width), *self._on(width)]

    def _gauge(self, gauge: Gauge, width: int) -> Line:
        value = float(self.session.rig.value(gauge.name))
        least, most = gauge.grow(value)
        share = (value - least) / (most - least)
        told = fit(f"{value:>7.4g} {gauge.unit}", 14)
        low, high = (f"{least:>4g}", f"{most:<4g}") if width >= WIDE else ("", "")
        names = min(self._longest, 14 if width < WIDE else 24)
        room = max(5, width - names - len(told) - len(low) - len(high) - 2)
        scale = _scale(gauge, room, share, least, most)
        return line(fit(gauge.name, names), (told, "strong"), (low, "faint"), *scale, (high, "faint"))

    def _ledger(self, width: int) -> list[Line]:
        now, lines = self.session.rig.now, []
        for part in self.session.rig.world.parts.values():
            for what, where, since in part.ledger():
                told = f"{fit(what, 16)}{where}, for {to_seconds(max(0, now - (since or 0))):.1f} s"
                lines.append(line(fit(told, width).rstrip()))
        return lines

    def _on(self, width: int) -> list[Line]:
        spans: list[Span] = []
        for part in self.session.rig.world.parts.values():
            words = [] if isinstance(part, _ELSEWHERE) else [_told(t, v) for t, v in part.outputs.items()]
            if on := [word for word in words if word]:
                spans += [(part.name, "faint"), (f" {', '.join(on)}; ", "")]
        return [line(*told) for told in wrapped(spans, width, 2)]


def _told(terminal: str, value: object) -> str:
    """Tell an output that is on, or a count that is not 0."""
    if value is True:
        return terminal
    counts = isinstance(value, int) and not isinstance(value, bool | Curve) and value
    return f"{terminal} {value}" if counts else ""


def _scale(gauge: Gauge, room: int, share: float, least: float, most: float) -> list[Span]:
    """Draw a scale: heavy up to the value if it begins at 0, a mark where a sensor switches."""
    at = min(room - 1, max(0, round(share * (room - 1))))
    cells = ["━" if least >= 0 and n < at else "─" for n in range(room)]
    for value in gauge.marks.values():
        cells[min(room - 1, max(0, round((value - least) / (most - least) * (room - 1))))] = "╂"
    return [("├" + "".join(cells[:at]), ""), ("●", "strong"), ("".join(cells[at + 1 :]) + "┤", "")]
