"""When two stored values are the same: by value, and REAL by its bits.

Plain `==` takes -0.0 for 0.0, which a program can tell apart, and NaN for unlike itself, which
would keep a program awake for good. Rule: nothing in the kernel asks for sameness any other way
where the answer decides about a scan.
"""

from collections.abc import Callable, Sequence
from operator import itemgetter
from struct import Struct
from typing import TypeVar

from simplant.values import Value

State = tuple[Value, ...]
_T = TypeVar("_T")

_bits = Struct("<d").pack


def same(a: Value, b: Value) -> bool:
    """Tell whether two values of one type are the same."""
    if isinstance(a, float) and isinstance(b, float):
        return _bits(a) == _bits(b)
    return a == b


def picker(positions: Sequence[int]) -> Callable[[Sequence[_T]], tuple[_T, ...]]:
    """Give the fastest function that takes these positions out of a tuple, as a tuple (out of a list, maybe as one)."""
    if not positions:
        return lambda row: ()
    first, count = positions[0], len(positions)
    if list(positions) == list(range(first, first + count)):
        return itemgetter(slice(first, first + count))
    return itemgetter(*positions)


def comparer(example: State) -> Callable[[State, State], bool] | None:
    """Give the function that tells whether two states of this shape are the same; None if plain `==` does."""
    floats = [i for i, value in enumerate(example) if isinstance(value, float)]
    if not floats:
        return None
    reals, rest = picker(floats), picker([i for i in range(len(example)) if i not in floats])
    pack = Struct(f"<{len(floats)}d").pack

    def compare(a: State, b: State) -> bool:
        return rest(a) == rest(b) and pack(*reals(a)) == pack(*reals(b))

    return compare


def settler(example: State, carried: Sequence[int] | None) -> Callable[[State, State], bool]:
    """Give the function that tells, of two states that differ, whether the next scan would leave the second one again.

    It would if all that a scan takes from the one before is the same in both; `carried` None: never sure.
    """
    if carried is None:
        return lambda before, after: False
    pick = picker(carried)
    compare = comparer(pick(example))
    if compare is None:
        return lambda before, after: pick(before) == pick(after)
    return lambda before, after: compare(pick(before), pick(after))
