"""The form of every error: place, then sentences; names in it are left as they are."""

import pytest

from simplant.errors import Place, UsageError
from simplant.logic.check import Finding

CASES = [
    (("it is wrong", "it is old", "renew it"), "it is wrong. It is old. Renew it."),
    (("it is wrong.", "", "is there no key?"), "it is wrong. Is there no key?"),
    (("stop!", "known: a, b"), "stop! Known: a, b."),
    (("'a' is wrong", "'b' is right"), "'a' is wrong. 'b' is right."),
    (("it is wrong", "fan.speed is LREAL", "close"), "it is wrong. fan.speed is LREAL. Close."),
    (("it is wrong", "T#1s is right", "start_pb is not"), "it is wrong. T#1s is right. start_pb is not."),
]


@pytest.mark.parametrize(("clauses", "text"), CASES, ids=[text for _, text in CASES])
def test_clauses_become_sentences(clauses, text):
    """Each begins with a capital but the first, which may follow a place; none ends with two stops."""
    assert str(UsageError(*clauses)) == text
    placed = dict(zip(("what", "why", "mend"), clauses, strict=False))
    assert str(UsageError(**placed, place=Place("p.py", 3))) == f"p.py:3: {text}"
    assert str(Finding("note", "kind", **placed, place=Place("p.py", 3))) == f"p.py:3: note: {text}"
