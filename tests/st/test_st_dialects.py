"""Habits of many dialects, as they stand in dialects.txt: what is told of each, with place and mend, and nothing more.

The words are logic/st/foreign.py; whole files are in the corpus. Rule: one mistake is one message; no cascades.
"""

from pathlib import Path

import pytest

from simplant.logic.st.project import Project

HEAD = (
    "PROGRAM p\nVAR a, b : INT; c : BOOL; t : TON; r : REAL; s : STRING; arr : ARRAY[0..9] OF INT; tm : TIME; END_VAR\n"
)
BLOCKS = Path(__file__).with_name("dialects.txt").read_text(encoding="utf-8").rstrip("\n").split("\n\n")


def parted(block):
    """Give the text of a block, within a program unless it says that it is whole, and what is told of it."""
    lines = block.splitlines()
    told = [line.removeprefix("=> ") for line in lines if line.startswith("=> ")]
    text = "\n".join(line for line in lines if not line.startswith("=> "))
    return text.removeprefix("whole:\n") if lines[0] == "whole:" else f"{HEAD}{text}\nEND_PROGRAM\n", told


@pytest.mark.parametrize("block", BLOCKS)
def test_it_is_named_and_nothing_more_is_told(block):
    """Line, column, what, why and mend of each message, in the order of the text."""
    text, told = parted(block)
    report = Project(text, "").report
    found = sorted(report.mistakes, key=lambda m: (m.place.line, m.place.column))
    assert [m.text("").removeprefix(":") for m in found] == told
    assert report.errors
