"""What is left out of a compiled sum because it cannot leave its type must not be missed.

Rule: at the ends of the types, compiled and walked expressions are worth the same, and lie in their span.
"""

from itertools import islice, product
from random import Random

import pytest

from simplant.errors import ProgramError
from simplant.expr import Binary, Checked, Const, Function, Op, Ref, evaluate
from simplant.expr.checks import IndexCheck, RangeCheck
from simplant.expr.spans import span_of
from simplant.logic.formulas import compile_formulas
from simplant.values import TYPES

NAMES = ("SINT", "USINT", "INT", "UINT", "DINT", "LINT", "ULINT")
REFS = {f"{name}{n}": Ref(f"{name}{n}", TYPES[name]) for name in NAMES for n in (1, 2)}


def tree(random, type_, depth):
    """Make an expression of whole numbers of a type."""
    kind = random.randint(0, 7) if depth else 7
    if kind <= 4:
        op = (Op.ADD, Op.SUB, Op.MUL, Op.DIV, Op.MOD)[kind]
        known = kind > 2 and random.random() < 0.6
        right = Const(random.choice((1, 2, 7, 100)), type_) if known else tree(random, type_, depth - 1)
        return Binary(op, tree(random, type_, depth - 1), right, type_)
    if kind == 5:
        source = TYPES[random.choice(NAMES)]
        inner = tree(random, source, depth - 1)
        return inner if source is type_ else Function(f"{source.name}_TO_{type_.name}", (inner,), type_)
    if kind == 6:
        low = random.randint(0, 3)
        check = random.choice((IndexCheck, RangeCheck))("a", low, low + random.randint(0, 120))
        return Checked(tree(random, type_, depth - 1), check, type_)
    if random.random() < 0.3:
        return Const(random.choice((0, 1, 2, 50, int(type_.most), int(type_.least))), type_)
    return REFS[f"{type_.name}{random.randint(1, 2)}"]


def worth(compute):
    """Give a value, or that there is none."""
    try:
        return compute()
    except ProgramError as error:
        return error.what


@pytest.mark.parametrize("seed", range(150))
def test_compiled_at_the_ends_of_types(seed):
    """Compiled, walked, and within the span."""
    random = Random(seed)
    node = tree(random, TYPES[random.choice(NAMES)], 4)
    used = sorted({n.name for n in node.walk() if isinstance(n, Ref)})
    formula = compile_formulas([node], {name: number for number, name in enumerate(used)})
    ends = [(int(REFS[n].type.least), -1 if REFS[n].type.signed else 0, 1, 49, int(REFS[n].type.most)) for n in used]
    for values in islice(product(*(random.sample(e, 5) for e in ends)), 60):
        env = dict(zip(used, values, strict=True))
        plain = worth(lambda env=env: evaluate(node, env))
        assert worth(lambda values=values: formula(values)[0]) == plain
        if isinstance(plain, int):
            least, most = span_of(node)
            assert least <= plain <= most
