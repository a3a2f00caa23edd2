"""Rounding to REAL, and reals in compiled programs.

Rule: one rounding, whatever comes in; a known divisor and a whole number as a REAL are what they are when walked.
"""

import math
from random import Random

import pytest

from simplant.expr import Binary, Const, Function, Op, Ref, evaluate
from simplant.logic.formulas import compile_formulas
from simplant.values import INT, LREAL, REAL


@pytest.mark.parametrize("seed", range(20))
def test_compiled_reals(seed):
    """INT_TO_REAL(i) / c + x * y is the same, compiled and walked, also beyond REAL."""
    random = Random(seed)
    by = REAL.wrap(random.choice((3.0, 0.1, -7.5, 1e-30, 1e30)))
    whole = Function("INT_TO_REAL", (Ref("i", INT),), REAL)
    product = Binary(Op.MUL, Ref("x", REAL), Ref("y", REAL), REAL)
    node = Binary(Op.ADD, Binary(Op.DIV, whole, Const(by, REAL), REAL), product, REAL)
    formula = compile_formulas([node], {"i": 0, "x": 1, "y": 2})
    for _ in range(50):
        values = [random.choice((random.randint(-32768, 32767), 0, -32768))]
        values += [REAL.wrap(random.uniform(-1, 1) * 10.0 ** random.randint(-40, 40)) for _ in range(2)]
        found, plain = formula(values)[0], evaluate(node, dict(zip("ixy", values, strict=True)))
        assert repr(found) == repr(plain)
        assert repr(REAL.wrap(found)) == repr(found)


def test_rounding_once():
    """Whole numbers round once; what is beyond REAL is infinite, what is no number stays none."""
    assert REAL.wrap((1 << 60) + (1 << 36) + 1) == float((1 << 60) + (1 << 37))
    assert REAL.wrap(1e39) == math.inf
    assert REAL.wrap(-(10**400)) == -math.inf
    assert math.isnan(REAL.wrap(math.nan))
    assert LREAL.wrap(10**400) == math.inf
