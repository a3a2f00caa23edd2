"""A comment stays between the statements that it stood between, from text to text."""

import re
from pathlib import Path
from random import Random

import pytest

from simplant.logic.st.comments import head_of
from simplant.logic.st.comments_among import among
from simplant.logic.st.parts import every
from simplant.logic.st.printed import printed
from simplant.logic.st.project import Project, open_project
from simplant.logic.st.report import Report

FILES = sorted((Path(__file__).parent / "corpus").glob("*.st"))[::3]
ROW_ENDS = re.compile(r"(?:;|THEN|ELSE|DO|OF|REPEAT|[\w.]+:)\Z")


def reprinted(text):
    """Read and print a text with its comments."""
    project = Project(text, "t.st")
    return printed(project.written, among(project.report, project.written, whole=True), head_of(text))


def commented(text, rnd):
    """A text with comments in its bodies, each of one word: behind rows, and in rows of their own."""
    found, inside, count = [], False, 0
    for line in text.splitlines():
        row = line
        if row.startswith(("END_VAR", "VAR", "TYPE", "CONFIGURATION")) or row.strip().startswith("VAR"):
            inside = False
        opens = bool(re.match(r"END_VAR|END_(?:PROGRAM|FUNCTION)", row))
        if inside and ROW_ENDS.search(row) and rnd.random() < 0.4:
            count += 1
            own = rnd.random() < 0.5
            row += f"\n(* c{count} *)" if own else f" (* c{count} *)"
        inside = (inside or opens) and not re.match(r"END_(?:PROGRAM|FUNCTION)", row)
        found.append(row)
    return "\n".join(found) + "\n"


def between(text):
    """Give how many statements begin before each comment of one word."""
    project = Project(text, "t.st")
    starts = [(n.place.line, n.place.column) for u in project.written.units
              if isinstance(u.body, tuple) for n in every(u.body)]  # fmt: skip
    report = Report("t.st", text)
    found = {}
    for match in re.finditer(r"\bc\d+\b(?=[^()]*\*\))", text):
        place = report.place(match.start())
        found[match[0]] = sum(start < (place.line, place.column) for start in starts)
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_comments_stay_between_their_statements(path):
    """Print, read, print: every comment is there, in its order, between the same statements, and stays there."""
    project = open_project(path)
    if project.report.errors or not project.written.units:
        return
    text = commented(printed(project.written), Random(path.stem))
    once = reprinted(text)
    twice = reprinted(once)
    assert list(between(once).items()) == list(between(text).items())
    assert list(between(twice).items()) == list(between(text).items())
