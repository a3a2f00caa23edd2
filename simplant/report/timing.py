"""A whole timing chart as SVG: scale, lanes of what happened, and rows under their headings.

One row is draw.py; the page's own chart is assets/chart.js, of the same make. Rule: text stays text, and each row has
its name in front.
"""

from dataclasses import dataclass
from typing import Final

from simplant.report.choice import Groups
from simplant.report.courses import Course, Kind
from simplant.report.draw import Box, row
from simplant.report.marks import Lanes, Mark
from simplant.report.svg import CHARACTER, alone, cut, element, number, text
from simplant.report.time_scale import step_of, told

HEIGHTS: Final = {Kind.LEVEL: 24, Kind.WORD: 28, Kind.NUMBER: 52, Kind.LINE: 60}
LANE: Final = 24
HEADING: Final = 22
SCALE: Final = 26
_MARGIN: Final = 14
NARROW: Final = 5
"""Pixels up to which a span is drawn as an instant, which is easier to see."""
CROSSED: Final = ("broken rules",)
"""Lanes whose marks go down through all rows."""


@dataclass(frozen=True, slots=True)
class Chart:
    """What to draw.

    Args:
        title: of the run.
        groups: heading -> rows.
        lanes: what happened.
        first, last: the window, ns.
        width: of the whole, pixels.
    """

    title: str
    groups: Groups
    lanes: Lanes
    first: int
    last: int
    width: int = 1100

    @property
    def label(self) -> int:
        """Room for names, pixels."""
        names = [c.name for rows in self.groups.values() for c in rows] + list(self.lanes)
        return min(240, int(max(map(len, names), default=0) * CHARACTER) + 48)

    def svg(self) -> str:
        """Give it as a file of its own."""
        height, body = self.body()
        return alone(self.width, height, f"Timing chart: {self.title}", body, "chart.css") + "\n"

    def body(self) -> tuple[float, str]:
        """Give its height and its elements."""
        box = Box(self.first, max(self.last, self.first + 1), self.label, 0, self.width - self.label - _MARGIN, 0)
        y, inner = float(_MARGIN + SCALE), ""
        for head, every in self.lanes.items():
            marks = [mark for mark in every if mark.end >= box.first and mark.start <= box.last]
            if not marks:
                continue
            inner += text(head, 8, y + 16, "small") + lane(head, marks, _at(box, y, LANE))
            y += LANE
        for head, rows in self.groups.items():
            if head:
                inner += text(head, 8, y + 15, "head")
                y += HEADING
            for course in rows:
                tall = HEIGHTS[course.kind]
                inner += _labelled(course, _at(box, y, tall))
                y += tall
        back = _scale(box, y) + _through(self.lanes, box, y)
        return y + _MARGIN, back + inner


def _at(box: Box, top: float, height: float) -> Box:
    return Box(box.first, box.last, box.left, top, box.width, height)


def _labelled(course: Course, box: Box) -> str:
    middle = box.top + box.height / 2 + 4
    out = text(cut(course.name, box.left - 16), 8, middle, title=course.name)
    if course.kind in (Kind.NUMBER, Kind.LINE):
        for value, y in ((max(course.values), box.top + 13), (min(course.values), box.top + box.height - 5)):
            words = f"{value:.4g}"
            out += text(words, box.left - 6 - len(words) * 5.6, y, "small")
    rule = element("path", d=f"M8,{number(box.top + box.height)}H{box.left + box.width}", class_="row")
    return out + rule + row(course, box)


def _scale(box: Box, bottom: float) -> str:
    step = step_of(box.last - box.first, box.width)
    out, at = "", -(-box.first // step) * step
    while at <= box.last:
        x = box.x(at)
        words = told(at, step)
        out += element("path", d=f"M{number(x)},{SCALE + 2}V{number(bottom)}", class_="tick")
        out += text(words, min(x - 4, box.left + box.width - len(words) * 6), SCALE - 4, "small")
        at += step
    return out


def _through(lanes: Lanes, box: Box, bottom: float) -> str:
    path = "".join(
        f"M{number(box.x(mark.start))},{SCALE + 2}V{number(bottom)}"
        for head in CROSSED
        for mark in lanes.get(head, ())
        if box.first <= mark.start <= box.last
    )
    return element("path", d=path, class_="breach") if path else ""


def lane(head: str, marks: list[Mark], box: Box) -> str:
    """Draw what happened: spans as bars, instants as wedges, broken rules as crosses; texts where there is room."""
    out, before = "", float("-inf")
    for n, mark in enumerate(marks):
        x, end = box.x(max(mark.start, box.first)), box.x(min(mark.end, box.last))
        following = box.x(marks[n + 1].start) if n + 1 < len(marks) else box.left + box.width
        if x - before >= 1 or end - x > NARROW:
            out += _shape(head, x, end, box)
        before = x if x - before >= 1 else before
        if words := cut(mark.text, following - x - 14):
            out += text(words, x + 9, box.top + 16, title=mark.text)
    return out


def _shape(head: str, x: float, end: float, box: Box) -> str:
    top, low = box.top + 4, box.top + box.height - 4
    if end - x > NARROW:
        return element("rect", x=x, y=top, width=end - x, height=low - top, class_="lasts")
    if head in CROSSED:
        side = (low - top) / 2 - 1
        path = f"M{number(x - side)},{number(top + 1)}L{number(x + side)},{number(low - 1)}"
        return element("path", d=f"{path}M{number(x - side)},{number(low - 1)}L{number(x + side)},{number(top + 1)}",
                       class_="cross")  # fmt: skip
    return element("path", d=f"M{number(x)},{number(low)}l-4,-8h8z", class_="mark")
