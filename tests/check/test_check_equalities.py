"""Equalities of readings and of real numbers: which are told, and which are left alone.

The words of the findings are tests/messages/test_check_messages.py.
"""

import pytest

from simplant import INT, REAL
from simplant.expr import to_type
from tests.check.kit import whats

EXACT = "asks whether real numbers are exactly equal"
CASES = [
    (lambda t, x: x == 2.5, [("warning", f"x = 2.5 (coil) {EXACT}")]),
    (lambda t, x: x == 0.0, [("warning", f"x = 0.0 (coil) {EXACT}")]),
    (lambda t, x: t.start & (x != to_type(t.weight, REAL)), [("warning", f"x <> INT_TO_REAL(weight) (coil) {EXACT}")]),
    (lambda t, x: t.weight == 5000, [("note", "weight = 5000 (coil) waits for one very count of weight")]),
    (lambda t, x: x != 0.0, []),
    (lambda t, x: x >= 2.5, []),
    (lambda t, x: t.weight != 5000, []),
    (lambda t, x: to_type(t.start, INT) == 1, []),
]


@pytest.mark.parametrize(("condition", "told"), CASES)
def test_equalities_that_may_never_hold(condition, told):
    """Told: real numbers compared exactly, a reading with one count; not: guards of divisions, bounds, changes."""

    def write(p, t):
        p.rung(t.motor, condition(t, p.memory("x", REAL)))

    assert whats(write, "exact equality") == told
