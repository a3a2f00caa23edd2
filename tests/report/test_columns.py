"""Thinning hides nothing: what is drawn of a window is what the trace has in it, in Python and in the page's script."""

from bisect import bisect_left, bisect_right
from random import Random

import pytest

from simplant.report.columns import at, columns, edges, spans
from simplant.report.courses import Kind
from tests.report.cases import SECOND, level, number, windows
from tests.report.scripts import needs_node, node

END = 8 * 3600 * SECOND


def by_hand(course, first, last, width):
    """Count the changes of each column one by one."""
    begins = edges(first, last, width)
    counts = [0] * width
    for t in course.times[1:]:
        if begins[0] <= t < begins[-1]:
            counts[bisect_right(begins, t) - 1] += 1
    return counts


def test_every_edge_of_100_random_windows_is_shown():
    """Each column counts exactly the changes of the trace within it, and knows the value that stands at its end."""
    dice = Random(7)
    course = level(dice, 4000, END)
    for first, last, width in windows(dice, 100, END):
        counts, after = columns(course.times, first, last, width)
        assert counts == by_hand(course, first, last, width)
        ends = edges(first, last, width)[1:]
        assert after == [max(0, bisect_left(course.times, right) - 1) for right in ends]


@pytest.mark.parametrize("kind", [Kind.NUMBER, Kind.LINE])
def test_every_extreme_of_100_random_windows_is_shown(kind):
    """Least and greatest of a column are those of every entry in it, and of what comes in from the left."""
    dice = Random(11)
    course = number(dice, 1000, END, kind)
    for first, last, width in windows(dice, 100, END):
        begins = edges(first, last, width)
        found = spans(course.times, course.values, first, last, width, line=kind is Kind.LINE)
        assert len(found) == width
        for column in range(width):
            inside = course.values[slice(*(bisect_left(course.times, t) for t in begins[column : column + 2]))]
            low, high = found[column]
            assert all(low <= value <= high for value in inside)
            if kind is Kind.LINE:
                assert low <= at(course.times, course.values, begins[column]) <= high


@needs_node
def test_the_script_of_the_page_thins_as_python_does():
    """Columns and extremes of 100 random windows, to the last number."""
    dice = Random(13)
    pulse, line, step = level(dice, 3000, END), number(dice, 600, END, Kind.LINE), number(dice, 600, END, Kind.NUMBER)
    chosen = windows(dice, 100, END)
    plain = [{"kind": c.kind.value, "times": c.times, "values": c.values} for c in (pulse, line, step)]
    body = """
    const [pulse, line, step] = given.courses;
    const result = given.windows.map(([first, last, width]) => {
      const a = columns(pulse.times, first, last, width), list = (x) => Array.from(x);
      const b = spans(line, first, last, width), c = spans(step, first, last, width);
      return [list(a.counts), list(a.after), list(b.low), list(b.high), list(c.low), list(c.high)];
    });"""
    told = node(body, {"courses": plain, "windows": chosen})
    for (first, last, width), found in zip(chosen, told, strict=True):
        counts, after = columns(pulse.times, first, last, width)
        moved = spans(line.times, line.values, first, last, width, line=True)
        stepped = spans(step.times, step.values, first, last, width, line=False)
        wanted = [counts, after, *map(list, zip(*moved, strict=True)), *map(list, zip(*stepped, strict=True))]
        assert found == wanted


@pytest.mark.slow
def test_a_million_changes_are_thinned_at_once():
    """The work of a picture grows with its columns, not with the trace: each column is one search."""

    class Counted(list):
        looks = 0

        def __getitem__(self, index):
            Counted.looks += 1
            return list.__getitem__(self, index)

    times = Counted(range(0, 1_000_000 * 28_000, 28_000))
    counts, _ = columns(times, 0, 28_000 * 1_000_000, 1000)
    assert sum(counts) == 999_999
    assert Counted.looks < 1000 * 25
