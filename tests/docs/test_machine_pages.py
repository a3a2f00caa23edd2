"""The pages of the demo machines: their diagrams are those of the programs, and each file that they name is there."""

import re

import pytest

from tests.docs.machines import PROGRAMS, pieces


@pytest.mark.slow
def test_the_diagrams_are_current():
    """What the commands draw now is what stands there."""
    for path, text in pieces().items():
        assert path.read_text(encoding="utf-8") == text, "run: python -m tests.docs.machines"


@pytest.mark.parametrize("page", sorted(PROGRAMS.glob("*/README.md")), ids=lambda page: page.parent.name)
def test_each_file_that_is_named_is_there(page):
    """In the table of files and as pictures."""
    text = page.read_text(encoding="utf-8")
    rows = "".join(line.split("|")[1] for line in text.splitlines() if line.startswith("| `"))
    named = re.findall(r"`([\w.*]+)`", rows) + re.findall(r"\]\((\w+\.svg)\)", text)
    assert [name for name in named if not list(page.parent.glob(name))] == []
