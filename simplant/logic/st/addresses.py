"""Direct addresses: one way to write each, and which of them cover one another.

What an address of one size has to do with one of another size is left to the controller by the standard; here they are
kept apart, and it is told. Rule: letter case does not count.
"""

import re
from collections.abc import Iterable
from typing import Final

_BITS: Final = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64}
_PARTS: Final = re.compile(r"%([IQM])([XBWDL])(\d+)(?:\.(\d+))?\Z")


def canonical(address: str) -> str:
    """Write an address in one way: `%I0.3` is `%IX0.3`."""
    upper = address.upper()
    return upper if not upper[2:3].isdigit() else f"{upper[:2]}X{upper[2:]}"


def covering(address: str, others: Iterable[str]) -> str | None:
    """Find an address of another size that would cover this one if the n-th word were bytes 2n and 2n + 1."""
    mine = _bits(address)
    for other in others:
        theirs = _bits(other)
        if mine and theirs and len(mine) != len(theirs) and other[1] == address[1] and _meet(mine, theirs):
            return other
    return None


def bits_of(address: str) -> int:
    """Give how many bits an address says that it holds."""
    return _BITS[canonical(address)[2]]


def _meet(one: range, other: range) -> bool:
    return one.start < other.stop and other.start < one.stop


def _bits(address: str) -> range | None:
    match = _PARTS.match(address)
    if match is None:
        return None
    size = _BITS[match[2]]
    start = int(match[3]) * (8 if match[2] == "X" and match[4] else size)
    start += int(match[4]) if match[4] else 0
    return range(start, start + size)
