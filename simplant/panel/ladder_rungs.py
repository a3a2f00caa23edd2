"""The rungs of a program in ladder as they are drawn, with the power of the latest scan by line weight.

Power is logic/ladder/flow.py, drawing logic/ladder/draw.py. Rule: it is the power of the scan that was really run,
at the moment each rung was done; while the program sleeps, that of the scan it sleeps through.
"""

from collections.abc import Iterator
from typing import Final

from simplant.logic.ladder.canvas import Drawing
from simplant.logic.ladder.draw import drawing_of
from simplant.logic.ladder.flow import Flow, RungFlow
from simplant.logic.ladder.tree import Rung
from simplant.logic.st.prepared import TextProgram
from simplant.panel.lines import Line, Span, head, line, merged
from simplant.rig.rig import Rig
from simplant.rig.scans import watched

HEAVY: Final = {"-": "━", "|": "┃", "+": "╋"}


class LadderRungs:
    """All rungs of one run's program; none, if it has no ladder."""

    def __init__(self, rig: Rig) -> None:
        program = rig.machine.program
        self._rig: Final = rig
        self._flow: Final = Flow(program) if isinstance(program, TextProgram) else None
        self._ladders: Final = self._flow.ladders if self._flow is not None else {}
        self._drawn: Final = {
            name: [drawing_of(rung) if rung.line.elements else Drawing((), {}) for rung in ladder.rungs]
            for name, ladder in self._ladders.items()
        }
        self._scans: Final = watched(rig) if self._ladders else {}

    @property
    def there(self) -> bool:
        """The program has rungs."""
        return bool(self._ladders)

    def lines(self) -> Iterator[Line]:
        """Give every rung with what stands above it."""
        flows = self._flows(self._flow) if self._flow is not None and self.there else {}
        for name, ladder in self._ladders.items():
            yield head(name)
            for number, (rung, drawing) in enumerate(zip(ladder.rungs, self._drawn[name], strict=True)):
                yield from self._rung(number, rung, drawing, flows[name][number] if name in flows else None)

    def _flows(self, flow: Flow) -> dict[str, list[RungFlow]]:
        flows: dict[str, list[RungFlow]] = {}
        asleep = {
            task.setup.name: (task.executable, (task.image, task.state, self._rig.now))
            for task in self._rig.main.tasks
            if task.image is not None
        }
        for task, (real, scan) in {**asleep, **self._scans}.items():
            for name, rungs in flow.of(task, real, scan).items():
                if name not in flows or any(rung.done for rung in rungs):
                    flows[name] = rungs
        return flows

    @staticmethod
    def _rung(number: int, rung: Rung, drawing: Drawing, flow: RungFlow | None) -> Iterator[Line]:
        label = f" {rung.label}:" if rung.label else ""
        yield line((f"rung {number + 1}{label} {rung.comment}".rstrip(), "faint"))
        for y, row in enumerate(drawing.rows):
            spans: list[Span] = []
            for x, letter in enumerate(row):
                tag = drawing.tags.get((y, x), ())
                power = flow is not None and any(flow.has(point) for point in tag)
                spans.append((HEAVY.get(letter, letter), "flow") if power else (letter, ""))
            yield line(*merged(spans))
