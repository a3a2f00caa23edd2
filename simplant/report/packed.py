"""Courses as compact text for a page: differences of times and values in as few bytes as they need, in base64.

Reading them back is assets/data.js. Rule: times are exact to the nanosecond, levels, numbers and words exact; only the
points of a line are rounded, to 1/65536 of its range.
"""

import struct
from base64 import b64encode
from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import gcd, isfinite
from typing import Any, Final

from simplant.report.courses import Course, Kind

FINE: Final = 65536
"""Parts of a line's range."""


def packed(course: Course) -> dict[str, Any]:
    """Give a course as the page's script reads it."""
    unit = gcd(*course.times) or 1
    times = [course.times[0] // unit, *((b - a) // unit for a, b in pairwise(course.times))]
    told = {"name": course.name, "kind": course.kind.value, "n": len(times), "unit": unit, "t": _text(times)}
    values = course.values
    match course.kind:
        case Kind.LEVEL:
            return {**told, "v": int(values[0])}
        case Kind.WORD:
            words = list(dict.fromkeys(str(v) for v in values))
            number = {word: n for n, word in enumerate(words)}
            return {**told, "words": words, "v": _text(number[str(v)] for v in values)}
        case Kind.LINE:
            low, high = min(values), max(values)
            step = (high - low) / FINE or 1.0
            return {**told, "low": low, "step": step, "v": _signed([round((v - low) / step) for v in values])}
        case Kind.NUMBER:
            if all(isinstance(v, int) and abs(v) < 2**52 for v in values):
                return {**told, "low": 0, "step": 1, "v": _signed(values)}
            kept = [float(v) if isfinite(v) else 0.0 for v in values]
            return {**told, "real": True, "v": b64encode(struct.pack(f"<{len(kept)}d", *kept)).decode()}


def _signed(values: Sequence[int]) -> str:
    """Pack differences: of these, even numbers stand for those from 0 up, odd ones for those below."""
    steps = [values[0], *(b - a for a, b in pairwise(values))]
    return _text(2 * step if step >= 0 else -2 * step - 1 for step in steps)


def _text(numbers: Iterable[int]) -> str:
    """Write numbers from 0 up, seven bits a byte, the lowest first; the eighth bit says that more follow."""
    out = bytearray()
    for number in numbers:
        rest = number
        while rest > 0x7F:
            out.append(rest & 0x7F | 0x80)
            rest >>= 7
        out.append(rest)
    return b64encode(out).decode()
