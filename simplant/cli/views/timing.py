"""The timing chart: points over time, one line each, as wide as the terminal.

A digital point is a bar when 1 and a base line when 0; numbers and steps stand as text from
where they begin. Rule: no change is lost to the width; what is shorter than a column keeps a
mark of its own.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from rich.console import Console, ConsoleOptions, RenderResult
from rich.text import Text

from simplant.cli.views.glyphs import Glyphs, glyphs_for
from simplant.cli.views.plain import shown
from simplant.cli.views.time_axis import Axis
from simplant.scenario.trace import EVENT, Row
from simplant.timebase import Ns
from simplant.values import Value

Course = list[tuple[int, Value]]
"""(instant, new value) of one name, in order of time."""

Segment = tuple[int, int, Value]
"""(from, to, value): a stretch of one value, ns."""

_WIDEST_LABEL: Final = 26
_LEAST_PLOT: Final = 20
_LEAST_WINDOW: Final = 1_000


class TimingChart:
    """A chart of points over time, for `console.print`.

    Args:
        rows: a trace, in order of time.
        names: what to draw, in order, under headings; `!` draws the instants of events.
        start, end: the window, ns; taken as 1 us at least.
        title: stands above it.
    """

    def __init__(
        self,
        rows: Iterable[Row],
        names: Mapping[str, Sequence[str]],
        start: Ns,
        end: Ns,
        title: str = "Timing",
    ) -> None:
        """Sort the rows by name."""
        self.names = names
        self.start, self.end = start, max(end, Ns(start + _LEAST_WINDOW))
        self.title = title
        self.courses: dict[str, Course] = {name: [] for group in names.values() for name in group}
        for at, name, value in rows:
            if name in self.courses and at <= self.end:
                self.courses[name].append((at, value))

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Draw it as wide as there is room."""
        glyphs = glyphs_for(console.encoding, legacy=console.legacy_windows)
        label = min(_WIDEST_LABEL, max((len(name) for name in self.courses), default=0)) + 1
        axis = Axis(self.start, self.end, max(_LEAST_PLOT, options.max_width - label - 3))
        yield Text(self.title, style="bold")
        yield _line(" " * label, axis.scale(glyphs.tick))
        drawn = ""
        for heading, names in self.names.items():
            if heading:
                yield Text(f" {heading}", style="dim")
            for name in names:
                plot = self._plot(name, axis, glyphs)
                drawn += plot if self._is_digital(name) else ""
                yield _line(_fit(name if name != EVENT else "events", label), plot)
        legend = glyphs.legend(drawn)
        if legend:
            yield _line(" " * label, legend)

    def _is_digital(self, name: str) -> bool:
        return all(not isinstance(value, float | str) and value in (0, 1) for _, value in self.courses[name])

    def _plot(self, name: str, axis: Axis, glyphs: Glyphs) -> str:
        course = self.courses[name]
        if name == EVENT:
            marked = {axis.column(at) for at, _ in course if at >= self.start}
            return "".join(glyphs.event if column in marked else " " for column in range(axis.width))
        segments = _segments(course, self.start, self.end)
        if self._is_digital(name):
            return _digital(segments, axis, glyphs)
        return _texts(segments, axis, glyphs)


def _line(label: str, plot: str) -> Text:
    return Text.assemble("  ", (label, ""), plot, no_wrap=True, overflow="crop", end="\n")


def _fit(name: str, width: int) -> str:
    return name.ljust(width) if len(name) < width else name[: width - 2] + "~ "


def _segments(course: Course, start: Ns, end: Ns) -> list[Segment]:
    """Give the stretches of one value within the window; one that begins and ends in an instant has no length."""
    changes = [change for n, change in enumerate(course) if n == 0 or change[1] != course[n - 1][1]]
    ends = (*(at for at, _ in changes[1:]), end)
    return [
        (max(at, start), until, value)
        for (at, value), until in zip(changes, ends, strict=False)
        if until > start or at >= start
    ]


def _digital(segments: list[Segment], axis: Axis, glyphs: Glyphs) -> str:
    """Fill the columns nearest to each stretch; one too short for a column is marked where it lies."""
    plot = [" "] * axis.width
    marks: dict[int, list[str]] = {}
    for at, until, value in segments:
        first, after = axis.edge(at), axis.edge(until)
        plot[first:after] = (glyphs.high if value else glyphs.low) * (after - first)
        if first == after:
            marks.setdefault(axis.column(at), []).append(glyphs.pulse if value else glyphs.gap)
    for column, found in marks.items():
        plot[column] = found[0] if len(found) == 1 else glyphs.busy
    return "".join(plot)


def _texts(segments: list[Segment], axis: Axis, glyphs: Glyphs) -> str:
    """Write each value from the column where it begins, as far as there is room; the last of a column stands."""
    begins: dict[int, list[str]] = {}
    for at, _, value in segments:
        begins.setdefault(axis.column(at), []).append(shown(value))
    afters = [*list(begins)[1:], axis.width]
    plot = " " * next(iter(begins), axis.width)
    for (column, texts), after in zip(begins.items(), afters, strict=False):
        room = after - column - 1
        plot += (glyphs.busy if len(texts) > 1 else glyphs.tick) + texts[-1][:room].ljust(room)
    return plot
