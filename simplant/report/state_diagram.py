"""A chart of steps as a picture, with the path that a run took: SVG, and Mermaid text.

Where things stand is layers.py, what was taken path_taken.py. Rule: taken is thick and has its count, not taken is thin
and dashed; a step that nearly all others lead to is a sign at each of them, since so many lines would hide the rest.
"""

from dataclasses import dataclass
from html import escape
from typing import Final

from simplant.logic.nodes import Chart
from simplant.report.layers import Edge, Layout, hubs_of, layout
from simplant.report.path_taken import PathTaken, Way, ways_of
from simplant.report.svg import alone, cut, element, number, text

TIMES: Final = "\N{MULTIPLICATION SIGN}"
COLUMN: Final = 250
LAYER: Final = 64
LANE: Final = 16
_WIDE, _TALL, _MARGIN, _LEFT = 132, 36, 20, 120


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart on its way to be drawn.

    Args:
        chart: what to draw.
        path: what a run did in it; None draws the bare chart, all lines alike.
    """

    chart: Chart
    path: PathTaken | None = None

    def svg(self) -> str:
        """Give it as a file of its own."""
        width, height, body = self.body()
        return alone(width, height, self.about(), body, "diagram.css") + "\n"

    def about(self) -> str:
        """Say what it shows, for those who do not see it."""
        chart = self.chart
        told = f"State diagram {chart.name}: {len(chart.steps)} steps, begins in {chart.initial}"
        if self.path is None:
            return told
        gone = ", ".join(f"{a} to {b} {n} times" for (a, b), n in self.path.taken.items())
        return f"{told}. Taken: {gone or 'nothing'}"

    def body(self) -> tuple[int, int, str]:
        """Give width, height and elements."""
        ways = [way for way in ways_of(self.chart) if way.source != way.dest]
        steps = list(self.chart.names)
        hubs = hubs_of(steps, [(w.source, w.dest) for w in ways])
        drawn = [w for w in ways if w.dest not in hubs]
        signs = {s: [w for w in ways if w.source == s and w.dest in hubs] for s in steps}
        placed = layout(steps, self.chart.initial, [(w.source, w.dest) for w in drawn])
        lines = "".join(self._line(way, placed) for way in sorted(drawn, key=lambda w: self._taken(w.source, w.dest)))
        boxes = "".join(self._step(step, placed, signs[step]) for step in steps)
        lanes = max((lane for _, lane in placed.lanes.values()), default=0)
        width = _LEFT + _WIDE + 30 + (placed.columns - 1) * COLUMN + lanes * LANE + _MARGIN
        height = (placed.layers - 1) * LAYER + _TALL + 2 * _MARGIN
        return width, height, _ARROWS + lines + boxes

    def _taken(self, source: str, dest: str) -> int:
        return 0 if self.path is None else self.path.taken[source, dest]

    def _kind(self, count: int) -> str:
        return "plain" if self.path is None else "taken" if count else "idle"

    def _line(self, way: Way, placed: Layout) -> str:
        count = self._taken(way.source, way.dest)
        kind = self._kind(count)
        route, (x, y) = _route((way.source, way.dest), placed)
        told = escape(f"{way.source} to {way.dest}: {' OR '.join(way.conditions)}")
        path = element("path", f"<title>{told}</title>", d=route, class_=f"way {kind}", marker_end=f"url(#to-{kind})")
        return path + (text(f"{count}{TIMES}", x, y, "count") if count else "")

    def _step(self, step: str, placed: Layout, signs: list[Way]) -> str:
        x, y = _centre(placed.places[step])
        entered = 0 if self.path is None else self.path.entered[step]
        kind = self._kind(entered)
        box = {
            "x": x - _WIDE / 2,
            "y": y - _TALL / 2,
            "width": _WIDE,
            "height": _TALL,
            "rx": 4,
            "class_": f"step {kind}",
        }
        out = element("rect", f"<title>{self._told(step)}</title>", **box)
        if step == self.chart.initial:
            inner = {"x": x - _WIDE / 2 + 3, "y": y - _TALL / 2 + 3, "width": _WIDE - 6, "height": _TALL - 6, "rx": 2}
            out += element("rect", **inner, class_=f"inner {kind}")
        out += text(cut(step, _WIDE - 12), x - _WIDE / 2 + 8, y + (-1 if entered else 4), "name")
        if entered and self.path is not None:
            out += text(f"{entered}{TIMES} · {self.path.stayed[step] / 1e9:.6g} s", x - _WIDE / 2 + 8, y + 12, "small")
        for n, way in enumerate(sorted(signs, key=lambda w: -self._taken(step, w.dest))):
            count = self._taken(step, way.dest)
            words = f"{count}{TIMES} {way.dest} ←" if count else f"{way.dest} ←"
            place = {
                "x": x - _WIDE / 2 - 5,
                "y": y - 2 + 12 * n,
                "text_anchor": "end",
                "class_": f"sign {self._kind(count)}",
            }
            out += element("text", f"<title>{escape(' OR '.join(way.conditions))}</title>{escape(words)}", **place)
        return out

    def _told(self, step: str) -> str:
        description = self.chart.step(step).description
        return escape(f"{step}: {description}" if description else step)

    def mermaid(self) -> str:
        """Give it as Mermaid text."""
        chart = self.chart
        lines = ["stateDiagram-v2", f"    [*] --> {chart.initial}"]
        lines += [
            f"    {step.name}: {step.name}<br>{safe(step.description)}" for step in chart.steps if step.description
        ]
        for way in ways_of(chart):
            told = " OR ".join(f"({c})" if len(way.conditions) > 1 else c for c in way.conditions)
            lines.append(f"    {way.source} --> {way.dest}: {safe(told)}")
        return "\n".join(lines) + "\n"


def safe(words: str) -> str:
    """Replace the characters that mean something to Mermaid by their codes."""
    codes = {"#": "#35;", ";": "#59;", ":": "#58;", "<": "#lt;", ">": "#gt;", '"': "#quot;"}
    return "".join(codes.get(character, character) for character in words)


def _centre(place: tuple[int, int]) -> tuple[float, float]:
    column, layer = place
    return _LEFT + _WIDE / 2 + column * COLUMN, _MARGIN + _TALL / 2 + layer * LAYER


def _route(edge: Edge, placed: Layout) -> tuple[str, tuple[float, float]]:
    """Give the line of an edge, out at the foot of a step and in at the head of another, and where its count stands."""
    (x0, y0), (x1, y1) = (_centre(placed.places[step]) for step in edge)
    y0, y1 = y0 + _TALL / 2, y1 - _TALL / 2 - 3
    if edge not in placed.lanes:
        if x0 == x1:
            return f"M{number(x0)},{number(y0)}V{number(y1)}", (x0 + 6, (y0 + y1) / 2 + 4)
        bend = (y1 - y0) * 0.5
        curve = f"C{number(x0)},{number(y0 + bend)} {number(x1)},{number(y1 - bend)} {number(x1)},{number(y1)}"
        return f"M{number(x0)},{number(y0)}{curve}", ((x0 + x1) / 2 + 6, (y0 + y1) / 2 + 4)
    columns, lane = placed.lanes[edge]
    x = _LEFT + _WIDE + 30 + (columns - 1) * COLUMN + lane * LANE
    x0, x1, low, high = x0 + 34, x1 + 34, y0 + 9 + lane % 3 * 4, y1 - 9 - lane % 3 * 4
    way = 1 if high > low else -1
    path = f"M{number(x0)},{number(y0)}V{number(low - 6)}q0,6 6,6H{number(x - 6)}q6,0 6,{6 * way}"
    path += f"V{number(high - 6 * way)}q0,{6 * way} -6,{6 * way}H{number(x1 + 6)}q-6,0 -6,6V{number(y1)}"
    return path, (x0 + 10, low - 3)


def _arrow(kind: str) -> str:
    shape = element("path", d="M0,0L8,4L0,8z", class_=f"arrow {kind}")
    size = {"markerWidth": 8, "markerHeight": 8, "refX": 6, "refY": 4}
    return element("marker", shape, id=f"to-{kind}", orient="auto", markerUnits="userSpaceOnUse", **size)


_ARROWS: Final = element("defs", "".join(_arrow(kind) for kind in ("plain", "taken", "idle")))
