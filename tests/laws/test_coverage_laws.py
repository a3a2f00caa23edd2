"""Laws of coverage: what is shown is what the definition of unique-cause MC/DC says, in whatever order it comes.

Rule: the referee keeps every evaluation and compares all pairs; ours keeps few and finds the pairs as they come.
"""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import Place
from simplant.expr import Binary, Op, Ref, Unary, evaluate
from simplant.logic.coverage.conditions import Written
from simplant.logic.coverage.sheet import Sheet
from simplant.values import BOOL

NAMES = "abcde"
ROWS = st.lists(st.tuples(*[st.booleans()] * len(NAMES)), max_size=40)
TREES = st.recursive(
    st.sampled_from([Ref(name, BOOL) for name in NAMES]),
    lambda inner: st.one_of(
        st.builds(lambda a: Unary(Op.NOT, a, BOOL), inner),
        st.builds(lambda op, a, b: Binary(op, a, b, BOOL), st.sampled_from([Op.AND, Op.OR, Op.XOR]), inner, inner),
    ),
    max_leaves=8,
)


def looked_at(node, row, seen):
    """The value of an expression, and which conditions were evaluated: AND and OR stop as soon as they know."""
    if isinstance(node, Ref):
        seen[node.name] = row[NAMES.index(node.name)]
        return seen[node.name]
    if isinstance(node, Unary):
        return not looked_at(node.operand, row, seen)
    left = looked_at(node.left, row, seen)
    if (node.op is Op.AND and not left) or (node.op is Op.OR and left):
        return left
    right = looked_at(node.right, row, seen)
    return left != right if node.op is Op.XOR else right


def by_definition(node, rows):
    """Conditions for which two evaluations differ in them alone and in the outcome."""
    evaluations = []
    for row in rows:
        seen = {}
        outcome = looked_at(node, row, seen)
        evaluations.append((seen, outcome))
    shown = set()
    for (one, came_out), (other, otherwise) in combinations(evaluations, 2):
        differ = [name for name in one.keys() & other.keys() if one[name] != other[name]]
        if came_out != otherwise and len(differ) == 1:
            shown.add(differ[0])
    return shown


def ours(node, rows):
    sheet = Sheet("p")
    watched = Written({}, set()).watched(node, sheet, "rung", "q", Place("p.py"))
    for row in rows:
        values = dict(zip(NAMES, row, strict=True))
        assert evaluate(watched, values) == evaluate(node, values)
    (decision,) = sheet.decisions.values()
    return {decision.conditions[number] for number in decision.shown}, decision.outcomes


@pytest.mark.slow
@given(TREES, ROWS)
def test_what_is_shown_is_what_the_definition_says(node, rows):
    """For any decision and any evaluations; and the outcomes are those that came."""
    shown, outcomes = ours(node, rows)
    assert shown == by_definition(node, rows)
    assert outcomes == {looked_at(node, row, {}) for row in rows}


@pytest.mark.slow
@given(TREES, ROWS, st.randoms(use_true_random=False))
def test_the_order_does_not_count(node, rows, rnd):
    """Evaluations in another order, some of them twice, show the same."""
    mixed = [*rows, *rows[: len(rows) // 2]]
    rnd.shuffle(mixed)
    assert ours(node, mixed)[0] == ours(node, rows)[0]
