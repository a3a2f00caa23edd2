"""Rungs as a picture: what is a letter, and what is a line."""

import re

from simplant.logic.ladder.draw import drawing_of
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.report import Report
from simplant.report.ladder_picture import Shown, ladder_picture

TEXT = """PROGRAM p
VAR a, b, c : BOOL; way, rest : INT; END_VAR
|  a       b             c       |
+--| |----|P|-----------(S)------+

|             +---------+              |
|   a         |   GT    |        c     |
+---| |-------|EN    OUT|-------(/)----+
|    way - 1--|IN1      |              |
|       rest--|IN2      |              |
|             +---------+              |
END_PROGRAM
"""


def test_wires_are_lines_and_words_are_words():
    """A coil ends where its wire begins, a sum stays together, and each dash that is a wire is a line."""
    report = Report("p.ladder", TEXT)
    file = read_ladder(report)
    assert [report.told(m) for m in report.mistakes] == []
    for rung, words in zip(
        file.units[0].body.rungs,
        (["a", "b", "c", "P", "(S)"], ["GT", "a", "c", "EN", "OUT", "(/)", "way - 1", "IN1", "rest", "IN2"]),
        strict=True,
    ):
        drawing = drawing_of(rung)
        picture = ladder_picture("p", [Shown([], drawing, None, [])])
        letters = re.findall(r'<text[^>]*class="letter"[^>]*>([^<]*)', picture)
        assert sorted(w.strip() for w in letters) == sorted(words)
        wires = sum(row.count("-") for row in drawing.rows) - sum(word.count("-") for word in words)
        assert picture.count("<line") >= wires
