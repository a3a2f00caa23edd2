"""How a ball that falls onto the gate's arm bounces until it rests there.

Where balls lie is ball_loop.py. Rule: rebound k rises `bounce`^2k times the drop; the last ones, of no time, are one.
"""

from math import sqrt

from simplant.plant.flight import GRAVITY
from simplant.timebase import Ns, from_float_seconds


def rebounds(drop: float, bounce: float, sight: float) -> tuple[Ns, ...]:
    """Give the instants after touching the arm at which a ball goes out of sight, comes back .. and settles."""
    first, changes = sqrt(2 * drop / GRAVITY), []
    begin, speed = 0.0, bounce
    while speed * speed * drop > sight and speed * first > 1e-4:
        away = sqrt(2 * (speed * speed * drop - sight) / GRAVITY)
        changes += [begin + speed * first - away, begin + speed * first + away]
        begin, speed = begin + 2 * speed * first, speed * bounce
    settles = max(2 * first * bounce / (1 - bounce), 1e-6)
    return tuple(from_float_seconds(t) for t in (*changes, settles))
