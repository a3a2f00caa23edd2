"""XML files spoilt by chance, and what must be true of reading any text at all.

`python -m tests.xml.spoilt 100000 [seed]` reads, runs and writes so many; with `read` behind the seed it only reads.
Rule: everything comes from the `Random` given.
"""

import re
import sys
from contextlib import suppress
from random import Random

from simplant.errors import ProgramError, UsageError
from simplant.logic.convert.faces import of_project
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tasks import lay_out
from simplant.logic.xml.read import read_xml
from simplant.logic.xml.write import EDITIONS, write_xml
from tests.xml.drawn import HERE

SEEDS = [path.read_text(encoding="utf-8") for path in sorted(HERE.rglob("*.xml"))]
_TAG = re.compile(r"<[^<>]+>")
_ELEMENT = re.compile(r"<(\w+)\b[^<>]*?(?:/>|>[^<]*</\1>)")
_VALUE = re.compile(r'="([^"]*)"')
VALUES = [
    "", "0", "1", "-1", "999999999999999999999", "a", "start", "TRUE", "true", "none", "rising", "set", "%IX0.0",
    "T#1s", "n + ", "((((", "'", "a.b[1]", "IF", "AND", "TON", "Q", "IN", "é", "&#1;", "&amp;&lt;", "NaN",
    "1e400", "x" * 300,
]  # fmt: skip
LETTERS = "<>/=\"'&;! \n\0ax0#[]\u20ac\ufffe"


def spoil(text, rnd):
    """Change something at one place."""
    kind = rnd.randrange(8)
    if kind < 2:  # an attribute
        found = list(_VALUE.finditer(text))
        one, other = rnd.choice(found), rnd.choice(found)
        new = other[1] if kind else rnd.choice(VALUES)
        return text[: one.start(1)] + new + text[one.end(1) :]
    if kind < 5:  # an element, or only its tag
        found = list((_ELEMENT if kind < 4 else _TAG).finditer(text))
        one, other = rnd.choice(found), rnd.choice(found)
        new = {2: "", 3: other[0], 4: ""}[kind]
        at = one.start() if kind != 3 or rnd.random() < 0.5 else one.end()
        return text[:at] + new + text[one.end() if kind != 3 else at :]
    if kind == 5:  # what stands between tags
        found = list(re.finditer(r">([^<>]+)<", text))
        one = rnd.choice(found)
        return text[: one.start(1)] + rnd.choice(VALUES) + text[one.end(1) :]
    at, size = rnd.randrange(len(text)), rnd.randrange(1, 40)
    if kind == 6:
        return text[:at] + text[at + size :]
    return text[:at] + "".join(rnd.choice(LETTERS) for _ in range(rnd.randrange(1, 6))) + text[at:]


def spoilt(rnd):
    """One of our files, changed at a few places."""
    text = rnd.choice(SEEDS)
    for _ in range(rnd.choice((1, 1, 2, 3, 6))):
        text = spoil(text, rnd) or text
    return text


def bear(text):
    """Read a text: whatever stands in it, mistakes are told; what has none runs, and can be written or is refused."""
    project = Project(text, "spoilt.xml", read=read_xml)
    for mistake in project.report.mistakes:
        assert project.report.told(mistake)
    if project.report.errors:
        return False
    try:
        lay_out(project)
    except (ProgramError, UsageError):
        return False
    for edition in EDITIONS:
        try:
            again = Project(write_xml(project.written, "x", edition=edition), "again.xml", read=read_xml)
        except ProgramError:
            continue
        assert not again.report.errors, again.report.errors[0].text("")
    for face in ("st", "ladder"):
        with suppress(ProgramError, UsageError):
            assert of_project(project, "xml", face)
    return True


def only_read(text):
    """Read a text, and say whether nothing was wrong with it."""
    report = Report("spoilt.xml", text)
    read_xml(report)
    return not report.errors


def main(count, seed, test):
    """Put `count` spoilt files to the test, and say how many of them passed for programs."""
    rnd, ran = Random(seed), 0
    for number in range(count):
        text = spoilt(rnd)
        try:
            ran += test(text)
        except BaseException:
            print(f"--- input {number} of seed {seed}\n{text}")
            raise
        if (number + 1) % 1_000 == 0:
            print(f"{number + 1} read, {ran} right", flush=True)
    print(f"{count} read, {ran} right")


if __name__ == "__main__":
    words = sys.argv[1:]
    main(int(words[0]), int(words[1]) if len(words) > 1 else 0, only_read if "read" in words else bear)
