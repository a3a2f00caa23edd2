"""Continuous truths as values: closed-form curves of time that can be asked when they cross a level.

What moves along them is in plant/. Rule: a curve never changes; a part replaces it.
"""

from simplant.curves.curve import Curve
from simplant.curves.decay import Approach, Coast
from simplant.curves.mapped import Scaled
from simplant.curves.pieces import Pieces, followed
from simplant.curves.polynomial import Line, Parabola, Steady
from simplant.curves.turned import Turned, swept

__all__ = [
    "Approach",
    "Coast",
    "Curve",
    "Line",
    "Parabola",
    "Pieces",
    "Scaled",
    "Steady",
    "Turned",
    "followed",
    "swept",
]
