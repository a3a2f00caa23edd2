"""Travel of an axis: changing speed at constant acceleration, and the way that a stop takes.

Used by every axis (turntable.py, lift.py). Rule: the ramp is stretched to end on a whole
microsecond, so that its end is an instant of the clock and nothing jumps there.
"""

from simplant.curves import Curve, Line, Parabola, Pieces, Steady
from simplant.errors import PlantError
from simplant.timebase import Ns, from_float_seconds


def check_travel(name: str, low: float, high: float) -> None:
    """Raise `PlantError` if an axis has no travel between its two ends."""
    if not low < high:
        raise PlantError(
            f"part {name!r} has no travel: its lower end is {low:g}, its upper end {high:g}",
            mend="let the lower end lie below the upper one",
        )


def ramp(now: Ns, value: float, pace: float, speed: float, acceleration: float) -> tuple[Curve, Ns]:
    """Plan a change of speed.

    Args:
        now: instant at which it begins.
        value: position at `now`.
        pace: speed at `now`, per second, signed.
        speed: speed to end with, per second, signed.
        acceleration: per second squared, >= 0; 0 = changes dead.

    Returns:
        The curve of the position (it goes on at `speed`), and the instant at which `speed` is reached.
    """
    span = from_float_seconds(abs(speed - pace) / acceleration) if acceleration else 0
    if span == 0:
        return (Line(now, value, speed) if speed else Steady(value)), now
    bend, end = Parabola(now, value, pace, (speed - pace) / (span / 1e9)), Ns(now + span)
    there = bend.at(end)
    return Pieces(((now, bend), (end, Line(end, there, speed) if speed else Steady(there)))), end


def stopping_distance(speed: float, acceleration: float, *delays: float) -> float:
    """Give the way an axis goes on after its limit is passed: s = v (t1 + t2 + ...) + v^2 / 2a.

    The delays are those of a stop by a program: sensor, input filter, scan period, execution, output, and the poll
    of the pulse controller.

    Args:
        speed: v in deg/s (or m/s), >= 0.
        acceleration: a in deg/s^2 (m/s^2); 0 = stops dead.
        delays: in seconds, each at its worst.

    Returns:
        Degrees (metres). Source: constant acceleration; held in tests/external/test_stepper.py.
    """
    return speed * sum(delays) + (speed * speed / (2 * acceleration) if acceleration else 0.0)
