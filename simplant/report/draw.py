"""The rows of a timing chart as SVG: levels, words, numbers and lines within a box of pixels.

What a column of pixels holds is columns.py; the whole chart is timing.py. The same drawing for the page is
assets/draw.js, and a test holds one against the other. Rule: whatever changes within a column leaves a stroke there.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from simplant.report.columns import columns, spans
from simplant.report.courses import Course, Kind
from simplant.report.svg import cut, element, number, text


@dataclass(frozen=True, slots=True)
class Box:
    """Where a row stands: the window in ns, the place in pixels."""

    first: int
    last: int
    left: int
    top: float
    width: int
    height: float

    def x(self, t: float) -> float:
        """Give where an instant is."""
        return self.left + (t - self.first) / (self.last - self.first) * self.width


def row(course: Course, box: Box) -> str:
    """Draw a course."""
    if course.kind is Kind.LEVEL:
        return level(course, box)
    if course.kind is Kind.WORD:
        return word(course, box)
    return curve(course, box)


def level(course: Course, box: Box) -> str:
    """Draw 1 as a raised line with shade under it; three and more changes in a column as a filled one."""
    counts, after = columns(course.times, box.first, box.last, box.width)
    high, low = box.top + 4, box.top + box.height - 4
    y = (low, high)
    now = course.values[after[0] - counts[0]]
    path, busy = f"V{number(y[now])}", ""
    for column, count in enumerate(counts):
        if not count:
            continue
        then = course.values[after[column]]
        if count == 1:
            path += f"H{number(box.x(course.times[after[column]]))}V{number(y[then])}"
        else:
            path += f"H{number(box.left + column + 0.5)}V{number(y[1 - now])}V{number(y[now])}V{number(y[then])}"
        if count > 2:
            busy += f"M{box.left + column},{number(high)}h1V{number(low)}h-1z"
        now = then
    path += f"H{box.left + box.width}"
    under = element("path", d=f"M{box.left},{number(low)}{path}V{number(low)}z", class_="under")
    line = element("path", d=f"M{box.left},{path[1:]}", class_="signal")
    return under + line + (element("path", d=busy, class_="busy") if busy else "")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of one word, pixels; `entry` is its number in the course, -1 where words change too fast to draw."""

    start: float
    end: float
    entry: int


def stretches(course: Course, box: Box) -> list[Stretch]:
    """Give the stretches of words in a window."""
    counts, after = columns(course.times, box.first, box.last, box.width)
    begun, entry = float(box.left), after[0] - counts[0]
    found: list[Stretch] = []
    for column, count in enumerate(counts):
        if not count:
            continue
        ends = begins = box.x(course.times[after[column]])
        if count > 1:
            ends, begins = box.left + column, box.left + column + 1
        if ends > begun:
            found.append(Stretch(begun, ends, entry))
        if begins > ends:
            joins = found and found[-1].entry < 0 and found[-1].end == ends
            found.append(Stretch(found.pop().start if joins else ends, begins, -1))
        begun, entry = begins, after[column]
    if box.left + box.width > begun:
        found.append(Stretch(begun, box.left + box.width, entry))
    return found


def word(course: Course, box: Box) -> str:
    """Draw words as bands, in turn lighter and darker, each with its name as far as there is room."""
    out, begins = "", ""
    top, tall = box.top + 3, box.height - 6
    for stretch in stretches(course, box):
        wide = stretch.end - stretch.start
        kind = "busy" if stretch.entry < 0 else f"band{' odd' if stretch.entry % 2 else ''}"
        out += element("rect", x=stretch.start, y=top, width=max(wide, 0.5), height=tall, class_=kind)
        told = cut(str(course.values[stretch.entry]), wide - 8) if stretch.entry >= 0 else ""
        if told:
            out += text(told, stretch.start + 4, box.top + box.height / 2 + 4)
        begins += f"M{number(stretch.start)},{number(top)}v{number(tall)}"
    return out + element("path", d=begins, class_="signal")


def curve(course: Course, box: Box) -> str:
    """Draw a number over its range of the whole run, with least and greatest at the left."""
    least, most = min(course.values), max(course.values)
    low, high = box.top + box.height - 6, box.top + 6

    def y(value: float) -> float:
        return low + (value - least) / (most - least) * (high - low) if most > least else (low + high) / 2

    counts, after = columns(course.times, box.first, box.last, box.width)
    inside = range(max(0, after[0] - counts[0]), min(after[-1] + 2, len(course.times)))
    if len(inside) <= 2 * box.width:
        path = _exact(course, box, inside, y)
    else:
        path = ""
        found = spans(course.times, course.values, box.first, box.last, box.width, line=course.kind is Kind.LINE)
        for column, (small, great) in enumerate(found):
            x = number(box.left + column + 0.5)
            path += f"{'L' if path else 'M'}{x},{number(y(small))}V{number(y(great))}"
    return element("path", d=path, class_="signal")


def _exact(course: Course, box: Box, inside: range, y: Any) -> str:
    """Draw every entry; lines are cut off where the window ends."""
    points: list[tuple[float, Any]] = [(course.times[n], course.values[n]) for n in inside]
    if course.kind is not Kind.LINE:
        stepped: list[tuple[float, Any]] = [(box.first, points[0][1])]
        for (_, old), (t, new) in pairwise(points):
            stepped += [(t, old), (t, new)] if t <= box.last else []
        points = [*stepped, (box.last, stepped[-1][1])]
    else:
        points = _clipped(points, box)
    return "M" + "L".join(f"{number(box.x(t))},{number(y(v))}" for t, v in points)


def _clipped(points: list[tuple[float, Any]], box: Box) -> list[tuple[float, Any]]:
    """Cut a line off at the ends of the window; past its last point it goes on level."""
    if len(points) == 1 or points[-1][0] < box.last:
        points = [*points, (max(box.last, points[-1][0]), points[-1][1])]
    for end, sign in ((box.first, 1), (box.last, -1)):
        one, other = (points[0], points[1]) if sign > 0 else (points[-1], points[-2])
        if (one[0] - end) * sign < 0:
            share = (end - one[0]) / (other[0] - one[0]) if other[0] != one[0] else 0.0
            points[0 if sign > 0 else -1] = (end, one[1] + (other[1] - one[1]) * share)
    return points
