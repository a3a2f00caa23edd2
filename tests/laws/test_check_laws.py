"""Laws of the checks: no program does what a check says it cannot do."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant import BOOL, Direction, Program, Tag, go
from simplant.expr import Ref, evaluate
from simplant.logic.check import check_program

INPUTS, MEMORY = ("a", "b"), ("x", "y")
refs = st.sampled_from([Ref(n, BOOL) for n in (*INPUTS, *MEMORY)])
conditions = st.recursive(
    refs,
    lambda e: st.one_of(
        e.map(lambda v: ~v), st.tuples(e, e).map(lambda v: v[0] & v[1]), st.tuples(e, e).map(lambda v: v[0] | v[1])
    ),
    max_leaves=5,
)
values = st.one_of(st.booleans(), refs)
lines = st.lists(st.tuples(st.sampled_from(MEMORY), st.one_of(st.none(), conditions), values), min_size=2, max_size=5)


def _program():
    p = Program("press", [Tag(n, BOOL, Direction.INPUT) for n in INPUTS])
    return p, {name: p.memory(name) for name in MEMORY}


def _every_state():
    for bits in product((False, True), repeat=4):
        yield dict(zip((*INPUTS, *MEMORY), bits, strict=True))


def _meet(program_lines):
    """The tags that some scan writes twice, by running every scan there is."""
    found = set()
    for env in _every_state():
        written = set()
        for target, when, value in program_lines:
            if when is None or evaluate(when, env):
                found |= {target} & written
                written.add(target)
                env[target] = value if isinstance(value, bool) else env[value.name]
    return found


def _is_latch(program_lines, name):
    mine = [(when, value) for target, when, value in program_lines if target == name]
    return len(mine) == 2 and {v for w, v in mine if isinstance(v, bool) and w is not None} == {True, False}


@given(lines)
@settings(max_examples=100)
def test_tags_that_are_not_blamed_are_never_written_twice_in_a_scan(program_lines):
    """Whatever the state and the inputs; a set/reset pair excepted."""
    p, memory = _program()
    for target, when, value in program_lines:
        p.move(memory[target].becomes(value), when=when)
    blamed = {
        n
        for f in check_program(p)
        if f.kind in ("double coil", "several writers")
        for n in MEMORY
        if f" {n} " in f" {f.what} "
    }
    latches = {n for n in MEMORY if _is_latch(program_lines, n)}
    assert _meet(program_lines) - latches <= blamed


@given(
    st.lists(st.tuples(st.sampled_from(MEMORY), conditions), max_size=3), st.lists(conditions, min_size=1, max_size=4)
)
@settings(max_examples=100)
def test_rows_that_are_called_dead_are_those_that_never_fire(rungs, guards):
    """Rungs first, then the chart, from every state: a row called dead never fires, one that never fires for want of
    any state at all is called dead."""
    p, memory = _program()
    for target, condition in rungs:
        p.rung(memory[target], condition)
    cycle = p.sequence("cycle", ["one", "two"])
    cycle.transitions([go("one", "two", guard) for guard in guards])
    dead = {int(f.what.split()[1]) for f in check_program(p) if f.kind in ("guard never true", "shadowed transition")}
    fired = set()
    for env in _every_state():
        alone = dict(env)
        for target, condition in rungs:
            alone[target] = evaluate(condition, alone)
        fired |= {n for n in [next((n for n, g in enumerate(guards, start=1) if evaluate(g, alone)), 0)] if n}
    assert not dead & fired
    if not rungs:
        assert dead | fired == set(range(1, len(guards) + 1))
