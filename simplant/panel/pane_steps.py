"""The active step of each chart with its ways out and what each waits for; the rungs with power flow, or the text.

Rule: what is TRUE, or carries power, is drawn heavy; no colour says it.
"""

from collections.abc import Iterator
from typing import Final

from simplant.expr import Expr
from simplant.logic.nodes import Call, Rung, Transition
from simplant.panel.ladder_rungs import LadderRungs
from simplant.panel.lines import Line, Span, head, line, wrapped
from simplant.panel.live import Live
from simplant.panel.pane import Pane
from simplant.panel.rungs import rung_rows, wire
from simplant.panel.session import Session
from simplant.panel.source_text import SourceText, text_of
from simplant.timebase import Ns, show

_JOINED: Final = "\N{NO-BREAK SPACE}"


class StepsPane(Pane):
    """Charts, then rungs."""

    NAME = "steps"
    LONG = True

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._live = Live(session.rig)
        self._rig = session.rig
        self._sources = tuple(session.machine.program.sources())
        self._ladder = LadderRungs(session.rig)
        self._text = SourceText(session.rig, () if self._ladder.there else text_of(session.machine))
        self._below: tuple[object, list[Line]] = (None, [])

    def lines(self, width: int) -> list[Line]:
        """Give charts and rungs."""
        if self._rig is not self.session.rig:
            self._rig, self._live = self.session.rig, Live(self.session.rig)
            self._ladder = LadderRungs(self._rig)
            self._text = SourceText(self._rig, () if self._ladder.there else text_of(self.session.machine))
        lines = [row for name in self.session.machine.program.charts for row in self._chart(name, width)]
        for step, lasts in self._live.steps():
            lines.append(line(("■ ", ""), (step, "strong"), f"  for {show(Ns(lasts // 1_000_000 * 1_000_000))}"))
        states = [(task.state, task.image) for task in self._rig.main.tasks]
        made = (states, width, self.sought)
        if self._below[0] != made:
            self._below = (made, self._program(width))
        return [*lines, *self._below[1]]

    def _program(self, width: int) -> list[Line]:
        """Give the rungs of a program written in Python, the text of another."""
        rungs = [row for source in self._sources for row in self._source(source, width)]
        rungs += self._ladder.lines()
        text = [row for row in self._text.lines() if self.found(row.text)]
        return [*([head("rungs")] if rungs else []), *rungs, *([head("text")] if text else []), *text]

    def _chart(self, name: str, width: int) -> Iterator[Line]:
        rig, chart = self.session.rig, self.session.machine.program.charts[name].chart
        active, since = str(rig.value(name)), rig.since(name)
        lasts = show(Ns((rig.now - since) // 1_000_000 * 1_000_000))
        yield line((f"{name}: ", ""), (active, "strong"), f"  for {lasts}")
        if chart is None:  # a sequence that the text of a program makes by itself
            return
        step = chart.step(active)
        if step.description:
            yield line((f"  {step.description}", ""))
        if step.limit is not None:
            yield line((f"  {show(step.limit)} at most, then {step.on_limit or 'overtime'}", "faint"))
        for way in (t for t in chart.transitions if t.source == active):
            yield from self._way(way, width)

    def _way(self, way: Transition, width: int) -> Iterator[Line]:
        goes = bool(self._live.holds(way.guard))
        spans: list[Span] = [(f"  {'━━►' if goes else '──►'} ", ""), (f"{way.dest} ", "strong"), ("when ", "faint")]
        for row in wrapped([*spans, *self._live.told(way.guard)], width, 8):
            yield line(*row)

    def _source(self, source: object, width: int) -> Iterator[Line]:
        match source:
            case Rung() if self.found(source.target.name):
                end = f"{source.coil.value} {source.target.name}".replace(" ", _JOINED)
                yield from self._rung(source.condition, end, width)
            case Call() if self.found(source.instance.name) and "IN" in source.arguments:
                end = f"[{source.instance.block.name}{_JOINED}{source.instance.name}]"
                yield from self._rung(source.arguments["IN"], end, width)

    def _rung(self, condition: Expr, end: str, width: int) -> Iterator[Line]:
        """Draw a rung, or tell it where there is no room for a drawing."""
        power = bool(self._live.holds(condition))
        look = "flow" if power else ""
        rows = rung_rows(condition, end, self._live, width)
        for number, drawn in enumerate(rows):
            yield line(drawn[: -len(end)], (end, look)) if number == 0 else line(drawn)
        if not rows:
            wires = wire(power, 2)
            spans: list[Span] = [("┣━ ", ""), *self._live.told(condition), (f" {wires}", ""), (end, look)]
            for row in wrapped(spans, width, 4):
                yield line(*row)
