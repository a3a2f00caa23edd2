"""Laws of guard tables: what they decide is what trying every value decides."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.expr import Binary, Const, Op, Ref, StepActive, constant, evaluate, select
from simplant.logic.check.guards import MOST_CASES, Table, TooManyCasesError, never_together
from simplant.logic.lower import resolve
from simplant.values import BOOL, INT, REAL, SINT

STEPS = {"cycle": ("home", "fill", "mix")}
BOOLS = [Ref(name, BOOL) for name in ("a", "b", "c")]
NUMBERS = [Ref(name, SINT) for name in ("n", "m")]
COMPARE = [Op.EQ, Op.NE, Op.LT, Op.LE, Op.GT, Op.GE]
BOUNDS = [-128, -127, 3, 4, 6, 127]


def compared(kind, left, right):
    return st.builds(lambda op, a, b: Binary(op, a, b, BOOL), st.sampled_from(COMPARE), left, right)


constants = st.sampled_from([Const(value, SINT) for value in BOUNDS])
leaves = st.one_of(
    st.sampled_from([*BOOLS, Const(value=True, type=BOOL), Const(value=False, type=BOOL)]),
    compared(SINT, st.just(NUMBERS[0]), constants),
    compared(SINT, constants, st.just(NUMBERS[0])),
    st.lists(st.sampled_from(STEPS["cycle"]), min_size=1, max_size=2, unique=True).map(
        lambda names: StepActive("cycle", tuple(names))
    ),
    compared(INT, st.just(Ref("cycle", INT)), st.sampled_from([Const(n, INT) for n in (-1, 0, 1, 2, 3)])),
)
pairs = compared(SINT, st.sampled_from(NUMBERS), st.sampled_from(NUMBERS))


def joined(parts):
    def both(op):
        return st.builds(lambda a, b: Binary(op, a, b, BOOL), parts, parts)

    whole = [both(op) for op in (Op.AND, Op.OR, Op.XOR, Op.EQ, Op.NE)]
    return st.one_of(*whole, parts.map(lambda e: ~e), st.builds(select, parts, parts, parts))


guards = st.recursive(leaves, joined, max_leaves=8)
# n is either compared with constants or with m: what follows from both at once is beyond the tables
pair_guards = st.recursive(st.one_of(st.sampled_from(BOOLS), pairs), joined, max_leaves=6)


def _holds(node, env):
    return evaluate(resolve(node, STEPS), env)


def every_env(numbers):
    for a, b, c in product((False, True), repeat=3):
        for n, m in numbers:
            for step in range(3):
                yield {"a": a, "b": b, "c": c, "n": n, "m": m, "cycle": step}


# each bound, its neighbours and something between: every region that the bounds cut out of SINT, by hand
WHOLE = [(n, 0) for n in (-128, -127, -126, 2, 3, 4, 5, 6, 7, 126, 127)]
PAIRS = list(product((1, 2, 3), repeat=2))


@given(guards, guards)
@settings(max_examples=100)
def test_two_guards_exclude_each_other_if_and_only_if_no_values_make_both_true(one, other):
    """Exact in both directions: never "never" where values exist, never "possible" where none do."""
    brute = not any(_holds(one, env) and _holds(other, env) for env in every_env(WHOLE))
    assert never_together([one, other], STEPS) is brute


@given(pair_guards, pair_guards)
@settings(max_examples=60)
def test_comparisons_of_one_pair_hang_together(one, other):
    """n < m, m > n, n = m are one three-way choice, whichever side is written first."""
    brute = not any(_holds(one, env) and _holds(other, env) for env in every_env(PAIRS))
    assert never_together([one, other], STEPS) is brute


@given(guards)
@settings(max_examples=60)
def test_a_column_has_a_true_bit_for_each_true_case(guard):
    """A column counts as many true cases as evaluating the guard on each case's atoms does."""
    table = Table([guard], STEPS)
    columns = [table.column(atom) for atom in table.atoms]
    for case in range(table.cases):
        truth = [bool(column >> case & 1) for column in columns]
        assert bool(table.column(guard) >> case & 1) is _by_atoms(guard, table.atoms, truth)


def _by_atoms(node, atoms, truth):
    for atom, value in zip(atoms, truth, strict=True):
        if atom.same_as(node):
            return value
    if isinstance(node, Const):
        return node.value
    parts = [_by_atoms(child, atoms, truth) for child in node.children()]
    if len(parts) == 1:
        return not parts[0]
    if len(parts) == 3:
        return parts[2] if parts[0] else parts[1]
    return {
        Op.AND: parts[0] and parts[1],
        Op.OR: parts[0] or parts[1],
        Op.XOR: parts[0] != parts[1],
        Op.NE: parts[0] != parts[1],
        Op.EQ: parts[0] == parts[1],
    }[node.op]


@given(guards, st.integers(0, 5))
@settings(max_examples=60)
def test_somehow_is_true_where_some_case_of_the_variable_makes_it_true(guard, which):
    """Existence over one variable, case by case."""
    table = Table([guard, BOOLS[0]], STEPS)
    which %= len(table.variables)
    sizes = [len(v.cases) for v in table.variables]
    stride = 1
    for size in sizes[:which]:
        stride *= size
    column, got = table.column(guard), table.somehow(table.column(guard), which)
    for case in range(table.cases):
        base = case - case // stride % sizes[which] * stride
        wanted = any(column >> (base + n * stride) & 1 for n in range(sizes[which]))
        assert bool(got >> case & 1) is wanted


def test_real_numbers_have_regions_and_may_be_no_number():
    """x < 1 and x >= 1 exclude each other, but neither need hold: a REAL may be NaN."""
    x = Ref("x", REAL)
    low, high = x < constant(1.0, REAL), x >= constant(1.0, REAL)
    assert never_together([low, high]) is True
    assert never_together([~low, ~high]) is False
    assert never_together([x > constant(1.0, REAL), x < constant(2.0, REAL)]) is False
    y = Ref("y", REAL)
    assert never_together([x < y, y <= x]) is True
    assert never_together([~(x < y), ~(y <= x)]) is False
    assert never_together([x < x]) is True


@pytest.mark.parametrize(("count", "answer"), [(16, False), (17, None)])
def test_sixteen_independent_atoms_are_decided_and_seventeen_are_not(count, answer):
    """The bound is on cases: 2 to the power of 16."""
    atoms = [Ref(f"x{n}", BOOL) for n in range(count)]
    assert never_together(atoms) is answer
    if answer is None:
        with pytest.raises(TooManyCasesError):
            Table(atoms)
    else:
        assert Table(atoms).cases == MOST_CASES
