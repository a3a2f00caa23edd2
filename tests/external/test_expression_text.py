"""Precedence and literals of expressions as text, against the standard's own table.

Rows of IEC 61131-3:2003 Table 55 (read in the standard's draft, see SOURCES.md); the worked value from memory:
IEC 61131-3:2003, 3.3.1. The tree is compared, not the text.
"""

import pytest

from simplant.expr import Const, Expr, Op, Ref, Vocabulary, abs_, binary, evaluate, read
from simplant.values import BOOL, INT

A, B, C, D = (Ref(name, BOOL) for name in "ABCD")
W, X, Y, Z = (Ref(name, INT) for name in "WXYZ")
NAMES = Vocabulary([(node.name, node) for node in (A, B, C, D, W, X, Y, Z)])

TREES: list[tuple[str, Expr]] = [
    ("NOT A AND B", (~A) & B),
    ("A OR B AND C XOR D", A | ((B & C) ^ D)),
    ("A & B = C", A & (B == C)),
    ("A OR B = C AND D", A | ((B == C) & D)),
    ("1 < 2 = TRUE", (Const(1, INT) < 2) == Const(True, BOOL)),
    ("W + X * Y - Z", (W + X * Y) - Z),
    ("W - X - Y", (W - X) - Y),
    ("W / X * Y MOD Z", ((W / X) * Y) % Z),
    ("-W + X", (-W) + X),
    ("W < X = (Y < Z)", (W < X) == (Y < Z)),
    ("W + X - Y * ABS(Z)", (W + X) - Y * abs_(Z)),
    ("(W + X - Y) * ABS(Z)", ((W + X) - Y) * abs_(Z)),
]


@pytest.mark.parametrize(("text", "tree"), TREES, ids=[text for text, _ in TREES])
def test_the_tree_of_each_row(text: str, tree: Expr) -> None:
    """Parentheses, functions, minus and NOT, `*` `/` MOD, `+` `-`, order, equality, AND, XOR, OR: tightest first."""
    assert read(text, NAMES).same_as(tree)


def test_the_standards_worked_values() -> None:
    """With A, B, C, D = 1, 2, 3, 4: A+B-C*ABS(D) is -9 and (A+B-C)*ABS(D) is 0."""
    env = {"W": 1, "X": 2, "Y": 3, "Z": 4}
    assert [evaluate(read(text, NAMES), env) for text, _ in TREES[-2:]] == [-9, 0]


def test_every_operator_has_its_spelling() -> None:
    """Each spelling of the table reads as its operator; `&` is AND."""
    numbers, truths = {"+", "-", "*", "/", "MOD", "<", ">", "<=", ">=", "=", "<>"}, {"AND", "&", "XOR", "OR"}
    spelled = {op.spelling: op for op in Op} | {"&": Op.AND}
    for word in sorted(numbers | truths):
        left, right = (W, X) if word in numbers else (A, B)
        text = f"{left} {word} {right}"
        assert read(text, NAMES).same_as(binary(spelled[word] if word != "-" else Op.SUB, left, right)), text
