"""Laws of expressions as text: what is shown reads back as the same tree, and no text makes another error."""

import math

from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import ProgramError
from simplant.expr import (
    ARITHMETIC,
    COMPARISONS,
    LOGIC,
    Const,
    Expr,
    Op,
    Ref,
    StepActive,
    Truth,
    Unary,
    Vocabulary,
    abs_,
    binary,
    constant,
    read,
    select,
    show,
    to_type,
)
from simplant.values import BOOL, DINT, INT, LREAL, TIME, WORD, ElementaryType

KINDS = (BOOL, INT, DINT, LREAL, TIME, WORD)
NAMED: dict[ElementaryType, list[Expr]] = {
    kind: [Ref(f"{kind.name.lower()}_{n}", kind) for n in "ab"] for kind in KINDS
}
NAMED[LREAL].append(Truth("wheel.speed", LREAL))
NAMED[DINT].append(Truth("balls.lost", DINT))
NAMED[BOOL].append(StepActive("cycle", ("aim",)))
NAMED[BOOL].append(Ref("warn.Q", BOOL))
NAMES = Vocabulary([(show(node), node) for nodes in NAMED.values() for node in nodes])

VALUES = {
    BOOL: st.booleans(),
    INT: st.integers(-(2**15), 2**15 - 1),
    DINT: st.integers(-(2**31), 2**31 - 1),
    LREAL: st.floats(allow_nan=False, allow_infinity=False),
    TIME: st.integers(-(10**12), 10**12),
    WORD: st.integers(0, 2**16 - 1),
}


def _tree(kind: ElementaryType, depth: int) -> st.SearchStrategy[Expr]:
    """A tree of a type; a constant stands only beside something that has a name."""
    leaf = st.sampled_from(NAMED[kind])
    if depth == 0:
        return leaf
    below = lambda k: _tree(k, depth - 1)  # noqa: E731
    options = [leaf, st.builds(select, below(BOOL), leaf, below(kind))]
    ops = [op for op in ARITHMETIC if op is not Op.MOD or kind.is_integer] if kind.is_number else []
    ops += [Op.ADD, Op.SUB] if kind is TIME else [*LOGIC] if kind.is_bits else []
    ops.sort(key=lambda op: op.spelling)
    number = VALUES[kind].map(lambda v: constant(v, kind))
    options.append(st.builds(binary, st.sampled_from(ops), below(kind), below(kind)))
    options.append(st.builds(binary, st.sampled_from(ops), below(kind), number))
    options.append(st.builds(binary, st.sampled_from(ops), number, leaf))
    if kind.is_number or kind is TIME:
        options.append(below(kind).map(lambda e: Unary(Op.NEG, e, kind)))
    if kind.is_number:
        options.append(below(kind).map(abs_))
    if kind.is_bits:
        options.append(below(kind).map(lambda e: ~e))
    if kind is LREAL:
        options.append(below(INT).map(lambda e: to_type(e, LREAL)))
    if kind is BOOL:
        compare = sorted(COMPARISONS, key=lambda op: op.spelling)
        options += [st.builds(binary, st.sampled_from(compare), below(k), below(k)) for k in KINDS[1:]]
        fixed = VALUES[INT].map(lambda v: constant(v, INT))
        options.append(st.builds(binary, st.sampled_from(compare), below(INT), fixed))
    return st.one_of(options)


@given(st.sampled_from(KINDS).flatmap(lambda kind: _tree(kind, 3)))
def test_what_is_shown_reads_back(tree: Expr) -> None:
    """`read(show(tree))` is the same tree, types and literals included; printed again, it is the same text."""
    text = show(tree)
    again = read(text, NAMES)
    assert again.same_as(tree), text
    assert show(again) == text


@given(st.lists(st.sampled_from(["bool_a", "int_a", "wheel.speed", "AND", "NOT", "-", "(", ")", "<", "=", "5", "1.5",
                                 "250ms", "TRUE", "ABS(", ",", "16#F", "INT#3", "'x'", "?"]), max_size=9))  # fmt: skip
def test_any_words_are_read_or_refused_at_a_place(words: list[str]) -> None:
    """Words in any order give a tree or one error that names a place, never another kind of failure."""
    text = " ".join(words)
    try:
        read(text, NAMES)
    except ProgramError as error:
        place = error.place
    else:
        return
    assert place is not None
    assert place.line == 1
    assert 1 <= place.column <= len(text) + 1


def test_a_real_literal_keeps_its_bits() -> None:
    """The least and the greatest number read back exactly."""
    for value in (5e-324, 1.7976931348623157e308, -0.0, 0.1):
        node = read(f"wheel.speed > {show(constant(value, LREAL))}", NAMES).children()[1]
        assert isinstance(node, Const)
        assert math.copysign(1, float(node.value)) == math.copysign(1, value)
        assert node.value == value
