"""Random ladders: every kind of element, nested branches, labels and jumps."""

from hypothesis import strategies as st

from simplant.errors import Place
from simplant.logic.ladder.tree import (
    Action,
    Block,
    Coil,
    Contact,
    Jump,
    Ladder,
    Parallel,
    Pin,
    Return,
    Rung,
    Sense,
    Series,
)
from simplant.logic.st.tree import Access, Field, Index, Infix, Literal
from simplant.values import TIME

HERE = Place("made")
BOOLS = ("a", "b", "c", "d", "e_long_name")
NUMBERS = ("i", "j")


def access(name):
    return Access(HERE, name)


def time(ms):
    return Literal(HERE, ms * 1_000_000, TIME, f"T#{ms}ms")


def number(value):
    return Literal(HERE, value, None, str(value))


operands = st.one_of(
    st.sampled_from(BOOLS).map(access),
    st.sampled_from((1, 2)).map(lambda n: Access(HERE, "row", (Index(HERE, (number(n),)),))),
    st.just(Access(HERE, "late", (Field(HERE, "Q"),))),
)
targets = st.sampled_from(BOOLS).map(access)
whole = st.one_of(st.sampled_from(NUMBERS).map(access), st.integers(0, 5).map(number))
contacts = st.builds(Contact, st.just(HERE), st.sampled_from(Sense), operands)
coils = st.builds(Coil, st.just(HERE), st.sampled_from(Action), targets)


def pins(**given):
    return tuple(Pin(HERE, name, value) for name, value in given.items())


timers = st.builds(
    lambda name, kind, ms, out: Block(
        HERE, kind, name, "IN", "Q", (*pins(PT=time(ms)), *([Pin(HERE, "ET", None, access("span"))] if out else []))
    ),
    st.sampled_from(("late", "second")),
    st.just("TON"),
    st.sampled_from((10, 20, 30)),
    st.booleans(),
)
counters = st.builds(
    lambda reset, limit, inverted: Block(
        HERE, "CTU", "tally", "CU", "Q", (Pin(HERE, "R", access(reset), None, inverted), *pins(PV=number(limit)))
    ),
    st.sampled_from(BOOLS),
    st.integers(1, 4),
    st.booleans(),
)
comparisons = st.builds(
    lambda kind, left, right: Block(HERE, kind, "", "EN", "OUT", pins(IN1=left, IN2=right)),
    st.sampled_from(("GT", "GE", "EQ", "NE")),
    whole,
    whole,
)
moves = st.builds(
    lambda value, out: Block(HERE, "MOVE", "", "EN", "ENO", (*pins(IN=value), Pin(HERE, "OUT", None, access(out)))),
    whole,
    st.sampled_from(NUMBERS),
)
sums = st.builds(
    lambda left, right, out: Block(
        HERE,
        "MAX",
        "",
        "EN",
        "ENO",
        (*pins(IN1=Infix(HERE, "+", left, number(1)), IN2=right), Pin(HERE, "OUT", None, access(out))),
    ),
    whole,
    whole,
    st.sampled_from(NUMBERS),
)
gates = st.builds(
    lambda kind, other: Block(HERE, kind, "", "IN1", "OUT", pins(IN2=access(other))),
    st.sampled_from(("AND", "OR", "XOR")),
    st.sampled_from(BOOLS),
)
free = st.builds(
    lambda kind, left, right: Block(HERE, kind, "", "", "OUT", pins(IN1=left, IN2=right)),
    st.sampled_from(("GT", "LE")),
    whole,
    whole,
)
blocks = st.one_of(timers, counters, comparisons, moves, sums, gates)


def passing(depth):
    """Elements that power goes through."""
    plain = st.one_of(contacts, contacts, contacts, coils, blocks)
    if depth == 0:
        return plain
    branch = st.lists(passing(depth - 1), max_size=3).map(lambda es: Series(tuple(es)))
    return st.one_of(plain, plain, st.lists(branch, min_size=2, max_size=3).map(lambda bs: Parallel(tuple(bs))))


def endings(depth, labels):
    """What stands at the right rail."""
    last = [coils.map(lambda c: (c,)), st.just((Return(HERE),)), st.tuples(coils, coils), st.just(())]
    if labels:
        last.append(st.sampled_from(labels).map(lambda name: (Jump(HERE, name),)))
    plain = st.one_of(*last[:1], *last)
    if depth == 0:
        return plain
    fork = st.lists(lines(depth - 1, labels), min_size=2, max_size=3).map(lambda bs: (Parallel(tuple(bs)),))
    return st.one_of(plain, plain, fork)


def lines(depth, labels):
    """Lines to the right rail."""
    return st.tuples(st.lists(passing(depth), max_size=3), endings(depth, labels)).map(lambda p: Series((*p[0], *p[1])))


@st.composite
def ladders(draw, depth=2, back=True):
    """Ladders of some rungs; with `back` their jumps may lead anywhere, else forward only."""
    count = draw(st.integers(1, 5))
    names = [f"rung_{n}" if draw(st.booleans()) else "" for n in range(count)]
    rungs = []
    for n, name in enumerate(names):
        labels = [each for each in (names if back else names[n + 1 :]) if each]
        line = draw(lines(depth, labels))
        if draw(st.booleans()) and not back:
            line = Series((draw(free), *line.elements))
        comment = draw(st.sampled_from(("", "", "what it is for", "two\nrows")))
        rungs.append(Rung(HERE, name, comment, line))
    return Ladder(HERE, tuple(rungs))


DECLARED = """PROGRAM p
VAR
  a, b, c, d, e_long_name : BOOL;
  i, j : INT;
  row : ARRAY [1..2] OF BOOL;
  late, second : TON;
  tally : CTU;
  span : TIME;
END_VAR

{}END_PROGRAM
"""
