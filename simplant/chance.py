"""Chance as data: a number as a pure function of seed, name and count.

No state and no order of calls: adding a sensor cannot change another one's noise, and a sleeping scan
may skip any draw. What a draw is used for stands in the part that asks. Rule: the same three arguments,
the same number, for ever.
"""

from functools import lru_cache
from hashlib import blake2b
from typing import Final

_MASK: Final = 2**64 - 1
_STEP: Final = 0x9E3779B97F4A7C15


def draw(seed: int, name: str, k: int) -> float:
    """Give the k-th number of a named stream, evenly spread over [0, 1).

    Args:
        seed: the seed of the run.
        name: what is drawn, for instance `balls.transit`.
        k: which draw of that stream, from 0.

    Source: splitmix64, from memory: Steele, Lea, Flood, Fast splittable pseudorandom number generators (2014);
    checked in `tests/external/test_splitmix64.py`.
    """
    return (_mix(stream(seed, name) + (k + 1) * _STEP) >> 11) / 2**53


def below(base: int, k: int, count: int) -> int:
    """Give the k-th whole number of a stream, evenly spread over 0 .. count - 1 (for times: no floats in the clock).

    Args:
        base: the stream, from `stream(seed, name)`, kept by whoever draws often.
        k: which draw of that stream, from 0; at the same k it goes up and down with `draw`.
        count: how many numbers there are, from 1.
    """
    return (_mix(base + (k + 1) * _STEP) * count) >> 64


@lru_cache(maxsize=1024)
def stream(seed: int, name: str) -> int:
    """Give the base of a named stream; it does not depend on the process (`hash()` plays no part)."""
    return _mix(seed & _MASK) ^ int.from_bytes(blake2b(name.encode(), digest_size=8).digest(), "little")


def _mix(x: int) -> int:
    x &= _MASK
    x = ((x ^ (x >> 30)) * 0xBF58476D1CE4E5B9) & _MASK
    x = ((x ^ (x >> 27)) * 0x94D049BB133111EB) & _MASK
    return x ^ (x >> 31)
