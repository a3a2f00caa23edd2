"""A row as it is drawn: every change leaves a stroke, and the page's script draws what Python draws."""

import re
from dataclasses import asdict
from random import Random

import pytest

from simplant.report.columns import columns
from simplant.report.courses import Course, Kind
from simplant.report.draw import Box, curve, level, row, word
from tests.report import cases
from tests.report.scripts import needs_node, node

END = 3600 * cases.SECOND


def test_a_level_is_drawn_edge_by_edge():
    """Raised from 1 s to 3 s of 4 s on 100 pixels: two upright strokes, at 25 and at 75 pixels."""
    course = Course("x", Kind.LEVEL, [0, cases.SECOND, 3 * cases.SECOND], [0, 1, 0])
    drawn = level(course, Box(0, 4 * cases.SECOND, 0, 0, 100, 24))
    assert (
        drawn == '<path d="M0,20V20H25V4H75V20H100V20z" class="under"/><path d="M0,20H25V4H75V20H100" class="signal"/>'
    )


def test_a_pulse_narrower_than_a_pixel_is_a_stroke():
    """One microsecond in eight hours goes from foot to head of the row and back."""
    course = Course("x", Kind.LEVEL, [0, 10**12, 10**12 + 1000], [0, 1, 0])
    drawn = level(course, Box(0, 28_800 * cases.SECOND, 0, 0, 1000, 24))
    assert 'd="M0,20H34.5V4V20V20H1000"' in drawn


def test_every_column_with_a_change_has_a_stroke_in_100_random_windows():
    """Of each column in which something changes the drawn line has an upright piece."""
    dice = Random(3)
    course = cases.level(dice, 3000, END)
    for first, last, width in cases.windows(dice, 100, END):
        counts, _ = columns(course.times, first, last, width)
        drawn = level(course, Box(first, last, 0, 0, width, 24))
        path = re.findall(r'd="([^"]*)" class="signal"', drawn)[0]
        struck = [float(x) for x in re.findall(r"H([\d.]+)V", path)]
        changed = [column for column, count in enumerate(counts) if count]
        assert len(struck) == len(changed)
        assert all(column - 0.06 <= x <= column + 1.06 for x, column in zip(struck, changed, strict=True))


def test_words_stand_in_their_bands():
    """A band has its word, cut to the room there is; changes too fast to draw are one dark band."""
    times = [0, cases.SECOND, 2 * cases.SECOND, 2 * cases.SECOND + 1, 2 * cases.SECOND + 2]
    course = Course("cycle", Kind.WORD, times, ["home_left", "aim", "a", "b", "air"])
    drawn = word(course, Box(0, 4 * cases.SECOND, 0, 0, 240, 28))
    assert re.findall(r">([^<>]+)</text>", drawn) == ["home_l…", "aim", "air"]
    assert drawn.count('class="busy"') == 1


def test_a_line_ends_where_the_window_ends():
    """A ramp cut out of its middle begins and ends at the edges of the plot."""
    course = Course("angle", Kind.LINE, [0, 10 * cases.SECOND], [0.0, 10.0])
    drawn = curve(course, Box(2 * cases.SECOND, 4 * cases.SECOND, 100, 0, 200, 60))
    assert drawn == '<path d="M100,44.4L300,34.8" class="signal"/>'


@needs_node
@pytest.mark.parametrize("seed", range(3))
def test_the_page_draws_what_python_draws(seed):
    """Levels, words, numbers and lines in random windows: the same SVG, character by character."""
    dice = Random(seed)
    courses = [
        cases.level(dice, 500, END),
        cases.words(dice, 300, END),
        cases.number(dice, 900, END, Kind.NUMBER),
        cases.number(dice, 900, END, Kind.LINE),
    ]
    boxes = [Box(first, last, 150, 40, width, 52) for first, last, width in cases.windows(dice, 25, END)]
    plain = []
    for course in courses:
        known = list(dict.fromkeys(course.values)) if course.kind is Kind.WORD else None
        values = [known.index(v) for v in course.values] if known else course.values
        plain.append({"kind": course.kind.value, "times": course.times, "values": values, "words": known})
    body = "const result = given.courses.map((c) => given.boxes.map((box) => drawRow(c, box)));"
    told = node(body, {"courses": plain, "boxes": [asdict(box) for box in boxes]})
    assert told == [[row(course, box) for box in boxes] for course in courses]
