"""Every standard function with arguments of every kind: what is accepted runs.

Rule: no accepted program ends in an error of Python, and compiled and walked it does the same.
"""

import pytest

from tests.st.one_statement import NAMES, outcome, program, wrong


@pytest.mark.parametrize("part", range(10))
def test_what_is_accepted_runs(part):
    """Every other function once, and operators."""
    texts = [program(5, name) for name in NAMES[part::20]] + [program(1000 * part + n) for n in range(8)]
    assert [text for text in texts if wrong(text)] == []


def test_many_are_accepted():
    """The programs are not all refused."""
    told = [outcome(program(7, name)) for name in NAMES[::12]]
    assert sum(each != ["refused"] for each in told) > len(told) / 5
