"""Bounds of a share: what so many hits in so many runs say of how often they come.

Everything is arithmetic on counts; what is counted is elsewhere. Rule: a share is never told without its bounds.
"""

from math import exp, lgamma, log, log1p
from typing import Final

from simplant.errors import UsageError

LEVEL: Final = 0.95
_TINY: Final = 1e-300
_CLOSE: Final = 1e-15
_MOST: Final = 10_000


def clopper_pearson(hits: int, runs: int, *, level: float = LEVEL) -> tuple[float, float]:
    """Give the exact two-sided bounds of a share.

    Args:
        hits: how often it was seen, 0 to `runs`.
        runs: how often it was looked for, at least 1.
        level: of confidence, between 0 and 1.

    Raises:
        UsageError: the counts or the level cannot be.

    Source: Clopper and Pearson (1934), from memory: quantiles of the beta distribution; held against SciPy in
    `tests/external/test_bounds.py`.
    """
    if not 0 <= hits <= runs or runs < 1 or not 0 < level < 1:
        raise UsageError(
            f"{hits} of {runs} at level {level:g} has no bounds", mend="count 0 to all of at least one run"
        )
    tail = (1 - level) / 2
    low = 0.0 if hits == 0 else _quantile(tail, hits, runs - hits + 1)
    high = 1.0 if hits == runs else _quantile(1 - tail, hits + 1, runs - hits)
    return low, high


def none_seen(runs: int, *, level: float = LEVEL) -> float:
    """Give the one-sided upper bound of a share of which nothing was seen in so many runs: near 3 / `runs`.

    Source: 1 - (1 - level) ** (1 / runs); the rule of three, from memory: Hanley and Lippman-Hand (1983).
    """
    if runs < 1 or not 0 < level < 1:
        raise UsageError(f"nothing seen in {runs} runs at level {level:g} has no bound", mend="run at least once")
    return 1 - float((1 - level) ** (1 / runs))


def _quantile(wanted: float, a: float, b: float) -> float:
    low, high = 0.0, 1.0
    while high - low > _CLOSE * high:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if _beta(a, b, middle) < wanted else (low, middle)
    return (low + high) / 2


def _beta(a: float, b: float, x: float) -> float:
    """Give the regularized incomplete beta function by its continued fraction (Lentz), from the side that converges."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x > (a + 1) / (a + b + 2):
        return 1 - front * _fraction(b, a, 1 - x) / b
    return front * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    c, d = 1.0, 1 / _away(1 - (a + b) * x / (a + 1))
    total = d
    for m in range(1, _MOST):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _away(1 + term * d)
            c = _away(1 + term / c)
            total *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return total


def _away(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
