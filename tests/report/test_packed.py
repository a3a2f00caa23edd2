"""Courses survive the way into the page: packed by Python, unpacked by the page's script."""

from random import Random

import pytest

from simplant.report.courses import Course, Kind, courses_of
from simplant.report.packed import FINE, packed
from tests.report import cases
from tests.report.scripts import needs_node, node

END = 8 * 3600 * cases.SECOND


@needs_node
def test_what_is_packed_is_unpacked():
    """Times, levels, words and numbers exactly, lines to 1/65536 of their range; numbers above 2^31, too."""
    dice = Random(5)
    courses = [
        cases.level(dice, 300, END),
        cases.words(dice, 300, END),
        cases.number(dice, 300, END, Kind.NUMBER),
        cases.number(dice, 300, END, Kind.LINE),
        Course("big", Kind.NUMBER, [0, END - 1, END], [0, 2**51, -(2**51)]),
        Course("real", Kind.NUMBER, [0, 7], [0.1, -2.5e-300]),
        Course("still", Kind.LINE, [0, END], [3.5, 3.5]),
    ]
    body = """
    const result = given.map((row) => {
      const c = courseOf(row), values = Array.from(c.values);
      return [c.name, Array.from(c.times), c.kind === "word" ? values.map((v) => c.words[v]) : values];
    });"""
    told = node(body, [packed(course) for course in courses])
    for course, (name, times, values) in zip(courses, told, strict=True):
        assert (name, times) == (course.name, course.times)
        if course.kind is Kind.LINE:
            close = (max(course.values) - min(course.values)) / FINE
            assert values == pytest.approx(course.values, abs=close + 1e-12)
        else:
            assert values == course.values


def test_a_change_costs_few_bytes():
    """A level that changes each 10 ms takes one byte a change, four thirds of that as text."""
    rows = [(n * 10_000_000, "x", n % 2) for n in range(30_000)]
    assert len(packed(courses_of(rows)["x"])["t"]) == 40_000


def test_a_trace_is_sorted_by_name():
    """The first entry is the value at the start; what is no change, and events, are left out."""
    rows = [
        (0, "a", False),
        (0, "b", "off"),
        (5, "a", True),
        (5, "!", "x"),
        (6, "a", True),
        (7, "b", "on"),
        (8, "n", 3),
    ]
    found = {name: (c.kind, c.times, c.values) for name, c in courses_of(rows).items()}
    assert found == {
        "a": (Kind.LEVEL, [0, 5], [0, 1]),
        "b": (Kind.WORD, [0, 7], ["off", "on"]),
        "n": (Kind.NUMBER, [8], [3]),
    }
