"""A chart with several active steps as a picture: steps, transitions with their conditions, action blocks.

Where things stand is sfc_layout.py. Rule: the standard's own signs: an initial step has a double frame, branches that
run at once stand between double lines, a jump is an arrow and a name.
"""

from dataclasses import dataclass, field
from html import escape
from typing import Final

from simplant.logic.sfc.printed import printed_qualifier
from simplant.logic.sfc.tree import Chart, Step, Transition
from simplant.logic.st.printed_expressions import printed_access, printed_expression
from simplant.report.sfc_layout import Places, places_of, row_of
from simplant.report.state_diagram import safe
from simplant.report.svg import CHARACTER, alone, cut, element, text

_WIDE, _TALL, _BLOCK, _ACTION, _COLUMN = 96, 34, 78, 120, 340
"""Pixels: a step, one of its action blocks and its two parts, the widest column."""
_GAP, _MARGIN, _ZONE = 14, 20, 76
_FORK, _BAR, _SPREAD = 14, 34, 50
"""Below a step: the line of alternatives or the double line of a convergence, the bar, the double line of branches."""
_DOUBLE: Final = 4


@dataclass(slots=True)
class SfcPicture:
    """A chart on its way to be drawn.

    Args:
        name: of the unit it is the body of.
        chart: what to draw.
    """

    name: str
    chart: Chart
    _places: Places = field(init=False)
    _tops: list[int] = field(init=False)
    _lefts: list[float] = field(init=False)

    def __post_init__(self) -> None:
        self._places = places_of(self.chart)
        self._lefts = [float(_MARGIN)]
        for column in range(self._places.columns):
            self._lefts.append(self._lefts[-1] + self._width(column))
        self._tops = [_MARGIN]
        for row in range(self._places.rows):
            here = [s for s in self.chart.steps if self._places.steps[s.name.upper()][1] == row]
            tall = max([_TALL, *(_TALL / 2 * len(s.actions) for s in here)])
            self._tops.append(int(self._tops[-1] + tall + _ZONE))

    def svg(self) -> str:
        """Give it as a file of its own."""
        lines = "".join(self._transition(n, t) for n, t in enumerate(self.chart.transitions))
        forks = "".join(self._alternatives(step) for step in self.chart.steps)
        boxes = "".join(self._step(step) for step in self.chart.steps)
        width = self._lefts[-1] + _MARGIN
        return alone(width, self._tops[-1] + _MARGIN, self.about(), lines + forks + boxes, "diagram.css") + "\n"

    def about(self) -> str:
        """Say what it shows, for those who do not see it."""
        initial = ", ".join(step.name for step in self.chart.steps if step.initial)
        counts = f"{len(self.chart.steps)} steps, {len(self.chart.transitions)} transitions"
        return f"Sequential function chart {self.name}: {counts}, begins in {initial}"

    # where things are

    def _width(self, column: int) -> float:
        """Give the room that a column needs: for its steps and their blocks, for conditions and jumps."""
        steps = [s for s in self.chart.steps if self._places.steps[s.name.upper()][0] == column]
        rooms: list[float] = [_WIDE + 40 + (_GAP + _BLOCK + _ACTION if step.actions else 0) for step in steps]
        for number, transition in enumerate(self.chart.transitions):
            if self._places.ways[number] == column:
                words = (_condition(transition), ", ".join(transition.targets))
                rooms += [_WIDE / 2 + 40 + CHARACTER * len(each) for each in words]
        return min(_COLUMN, max(rooms, default=0.0))

    def _x(self, column: int) -> float:
        return self._lefts[column] + _WIDE / 2

    def _at(self, step: str) -> tuple[float, float]:
        """Give the middle and the top of a step."""
        column, row = self._places.steps[step.upper()]
        return self._x(column), self._tops[row]

    def _foot(self, transition: Transition) -> float:
        """Give where the room for a transition begins: below the steps and blocks of its row."""
        return self._tops[row_of(transition, self._places) + 1] - _ZONE

    # steps

    def _step(self, step: Step) -> str:
        x, y = self._at(step.name)
        box = {"x": x - _WIDE / 2, "y": y, "width": _WIDE, "height": _TALL}
        out = element("rect", f"<title>{escape(step.name)}</title>", **box, class_="step plain")
        if step.initial:
            inner = {"x": x - _WIDE / 2 + 4, "y": y + 4, "width": _WIDE - 8, "height": _TALL - 8}
            out += element("rect", **inner, class_="inner plain")
        out += text(cut(step.name, _WIDE - 16), x - _WIDE / 2 + 10, y + _TALL / 2 + 4, "name", title=step.name)
        return out + self._blocks(step, x + _WIDE / 2, y)

    def _blocks(self, step: Step, x: float, y: float) -> str:
        """Draw the action blocks of a step, one below the other."""
        if not step.actions:
            return ""
        tall = _TALL / 2
        out = _line([(x, y + tall), (x + _GAP, y + tall)])
        for number, block in enumerate(step.actions):
            top, left = y + number * tall, x + _GAP
            qualifier, action = printed_qualifier(block), printed_access(block.action)
            for at, wide, words in ((left, _BLOCK, qualifier), (left + _BLOCK, _ACTION, action)):
                out += element("rect", x=at, y=top, width=wide, height=tall, class_="step plain")
                out += text(cut(words, wide - 8), at + 5, top + tall - 4, "small", title=words)
        return out

    # transitions

    def _alternatives(self, step: Step) -> str:
        """Draw the line from which several transitions leave a step, and the way down to it."""
        x, y = self._at(step.name)
        mine = [(n, t) for n, t in enumerate(self.chart.transitions) if t.sources[0].upper() == step.name.upper()]
        alone_ = [n for n, t in mine if len(t.sources) == 1]
        if not mine:
            return ""
        foot = self._tops[self._places.steps[step.name.upper()][1] + 1] - _ZONE + _FORK
        ends = [self._x(self._places.ways[n]) for n in alone_]
        across = [min([x, *ends]), max([x, *ends])]
        return _line([(x, y + _TALL), (x, foot)]) + (_line([(a, foot) for a in across]) if len(ends) > 1 else "")

    def _transition(self, number: int, transition: Transition) -> str:
        x, foot = self._x(self._places.ways[number]), self._foot(transition)
        bar = foot + _BAR
        out = self._gathered(transition, x, foot + _FORK) + _line([(x, foot + _FORK), (x, bar)])
        out += element("path", d=f"M{x - 14:g},{bar:g}H{x + 14:g}", class_="way bar")
        words, room = _condition(transition), self._width(self._places.ways[number]) - _WIDE / 2 - 20
        out += text(cut(words, room), x + 20, bar + 4, "small", title=words)
        return out + self._spread(number, transition, x, bar)

    def _gathered(self, transition: Transition, x: float, y: float) -> str:
        """Draw the double line at which several steps wait for each other, and the ways down to it."""
        if len(transition.sources) == 1:
            return ""
        ends = [self._at(source) for source in transition.sources]
        across = [x, *(end for end, _ in ends)]
        return _double(min(across), max(across), y) + "".join(_line([(a, top + _TALL), (a, y)]) for a, top in ends)

    def _spread(self, number: int, transition: Transition, x: float, bar: float) -> str:
        """Draw the ways from the bar to its targets: down, or a jump; between double lines if there are several."""
        hung = set(self._places.hung[number])
        jumps = [t for t in transition.targets if t.upper() not in hung]
        ends = [self._at(t) for t in transition.targets if t.upper() in hung]
        if len(transition.targets) == 1:
            return "".join(_line([(x, bar), (x, top)]) for _, top in ends) + self._jumps(jumps, x, bar)
        y = bar + _SPREAD - _BAR
        out = _line([(x, bar), (x, y)]) + "".join(_line([(a, y + _DOUBLE), (a, top)]) for a, top in ends)
        beyond = max([x, *(a for a, _ in ends)]) + (40 if jumps else 0)
        return out + _double(x, max(beyond, x + 40), y) + self._jumps(jumps, beyond, y + _DOUBLE)

    def _jumps(self, names: list[str], x: float, y: float) -> str:
        if not names:
            return ""
        arrow = element("path", d=f"M{x:g},{y:g}V{y + 18:g}m-4,-6l4,6l4,-6", class_="way plain")
        return arrow + text(cut(", ".join(names), _COLUMN - 60), x + 8, y + 18, "sign")

    # Mermaid

    def mermaid(self) -> str:
        """Give it as Mermaid text; branches that run at once leave a fork and meet in a join."""
        lines = ["stateDiagram-v2"]
        lines += [f"    [*] --> {step.name}" for step in self.chart.steps if step.initial]
        for step in self.chart.steps:
            told = [f"{printed_qualifier(b)} {printed_access(b.action)}" for b in step.actions]
            if told:
                lines.append(f"    {step.name}: " + "<br>".join(safe(words) for words in (step.name, *told)))
        for number, transition in enumerate(self.chart.transitions, start=1):
            lines += self._way(f"t{number}", transition)
        return "\n".join(lines) + "\n"

    def _way(self, node: str, transition: Transition) -> list[str]:
        told = safe(printed_expression(transition.condition))
        if len(transition.sources) == len(transition.targets) == 1:
            return [f"    {transition.sources[0]} --> {transition.targets[0]}: {told}"]
        taken = {step.name.upper() for step in self.chart.steps}
        while node.upper() in taken:
            node += "_"
        if len(transition.sources) == 1:
            return [
                f"    state {node} <<fork>>",
                f"    {transition.sources[0]} --> {node}: {told}",
                *(f"    {node} --> {target}" for target in transition.targets),
            ]
        return [
            f"    state {node} <<join>>",
            *(f"    {source} --> {node}" for source in transition.sources),
            *(f"    {node} --> {target}: {told}" for target in transition.targets),
        ]


def _condition(transition: Transition) -> str:
    told = printed_expression(transition.condition)
    return f"{transition.name}: {told}" if transition.name else told


def _line(points: list[tuple[float, float]]) -> str:
    route = "L".join(f"{x:g},{y:g}" for x, y in points)
    return element("path", d=f"M{route}", class_="way plain")


def _double(x0: float, x1: float, y: float) -> str:
    """Draw a double line, a little longer than what it joins."""
    return "".join(_line([(x0 - 12, at), (x1 + 12, at)]) for at in (y, y + _DOUBLE))


__all__ = ["SfcPicture"]
