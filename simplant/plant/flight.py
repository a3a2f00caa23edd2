"""Flight of a ball: drag by Reynolds number, lift by spin, time and place of landing.

Pure functions; who launches and who catches is in ball_loop.py and people.py. Still air at sea
level, flat plane of landing, spin kept during flight, buoyancy left out.
Rule: arguments are rounded first and computed then, so a cached landing equals a fresh one.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, radians, sin, sqrt
from math import pow as power
from typing import Final

from simplant.errors import PlantError

GRAVITY: Final = 9.80665
"""m/s^2. Source: standard-atmosphere tables (ISA)."""

AIR_DENSITY: Final = 1.225
"""kg/m^3 at sea level and 288.15 K. Source: standard-atmosphere tables (ISA)."""

AIR_VISCOSITY: Final = 1.460e-5
"""Kinematic, m^2/s. Source: standard-atmosphere tables (ISA)."""

REYNOLDS_MOST: Final = 2e5
"""The drag law ends here; above, drag falls steeply and depends on the roughness of the ball."""

TOLERANCE: Final = 1e-6
"""Error allowed in one step before it is corrected, in m and m/s; a landing is right to 5e-6 s, m and m/s."""

_SLOWEST: Final = 1e-9  # m/s; below, drag is taken as nought


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball as the air sees it.

    Args:
        mass: kg.
        diameter: m.
        drag: constant drag coefficient; None takes it from the Reynolds number.
    """

    mass: float
    diameter: float
    drag: float | None = None


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a flight ends: time in s, range in m, apex in m above the release, speed in m/s."""

    time_s: float
    range_m: float
    apex_m: float
    speed: float


def drag_coefficient(reynolds: float) -> float:
    """Give the drag coefficient of a smooth sphere (Clift and Gauvin).

    Args:
        reynolds: speed x diameter / kinematic viscosity, above 0 and up to 2e5.

    Source: Clift-Gauvin correlation; within 6.4 % of the Morsi-Alexander data from Re 1 to 5e4
    (`tests/external/test_sphere_drag.py`).
    """
    return 24 / reynolds * (1 + 0.15 * power(reynolds, 0.687)) + 0.42 / (1 + 4.25e4 * power(reynolds, -1.16))


def fly(
    speed: float, elevation_deg: float, spin: float, ball: Ball, height: float, *, density: float = AIR_DENSITY
) -> Landing:
    """Fly a ball from release to the plane of landing.

    Args:
        speed: m/s, at least 0, rounded to 0.1 mm/s.
        elevation_deg: degrees above level, rounded to 0.001.
        spin: rad/s, backspin positive, rounded to 0.01.
        ball: what flies.
        height: m from the plane of landing up to the release, at least 0, rounded to 1 um.
        density: of the air, kg/m^3; 0 is a vacuum.

    Returns:
        The landing, right to 5e-6 s, m and m/s for these rounded arguments.

    Raises:
        PlantError: the ball is too fast for the drag law (Re above 2e5), or does not come down.

    Source: vacuum and quadratic-drag closed forms, and SciPy (`tests/external/test_flight.py`).
    """
    return _fly(round(speed, 4), round(elevation_deg, 3), round(spin, 2), ball, round(height, 6), density)


@lru_cache(maxsize=4096)
def _fly(speed: float, elevation: float, spin: float, ball: Ball, height: float, density: float) -> Landing:
    if height < 0 or speed < 0:
        raise PlantError(f"a ball cannot be released at {speed:g} m/s, {height:g} m above where it lands")
    velocity = complex(speed * cos(radians(elevation)), speed * sin(radians(elevation)))
    if density == 0:
        return _vacuum(velocity, height)
    if ball.drag is None and speed * ball.diameter / AIR_VISCOSITY > REYNOLDS_MOST:
        raise PlantError(
            f"a ball of {ball.diameter:g} m leaves at {speed:g} m/s",
            "the drag law holds up to a Reynolds number of 2e5",
            "check wheel speed and wheel radius",
        )
    return _Air(spin, ball, density).landing(velocity, height)


def _vacuum(velocity: complex, height: float) -> Landing:
    up = velocity.imag
    impact = sqrt(up * up + 2 * GRAVITY * height)
    time = (up + impact) / GRAVITY
    return Landing(time, velocity.real * time, max(up, 0.0) ** 2 / (2 * GRAVITY), abs(complex(velocity.real, impact)))


class _Air:
    """One flight through air; place and velocity are complex numbers, level + i up.

    Classical Runge-Kutta of order four, each step done once whole and once in halves; their difference
    steers the step and corrects it (Richardson), which gives order five.
    """

    def __init__(self, spin: float, ball: Ball, density: float) -> None:
        self.constant = ball.drag
        self.per_reynolds = ball.diameter / AIR_VISCOSITY
        self.surface = spin * ball.diameter / 2
        self.push = density * pi * ball.diameter**2 / (8 * ball.mass)

    def acceleration(self, velocity: complex) -> complex:
        speed = abs(velocity)
        if speed < _SLOWEST:
            return complex(0.0, -GRAVITY)
        drag = drag_coefficient(speed * self.per_reynolds) if self.constant is None else self.constant
        # S / (1 + 2 |S|) with S = r omega / v: slope 1, levels off at one half (common practice, no source)
        lift = self.surface / (speed + 2 * abs(self.surface))
        return self.push * speed * velocity * complex(-drag, lift) - complex(0.0, GRAVITY)

    def step(self, place: complex, velocity: complex, h: float) -> tuple[complex, complex]:
        a = self.acceleration
        k1 = a(velocity)
        k2 = a(velocity + h / 2 * k1)
        k3 = a(velocity + h / 2 * k2)
        k4 = a(velocity + h * k3)
        place += h * velocity + h * h / 6 * (k1 + k2 + k3)
        return place, velocity + h / 6 * (k1 + 2 * (k2 + k3) + k4)

    def corrected(self, place: complex, velocity: complex, h: float) -> tuple[complex, complex, float]:
        once, v_once = self.step(place, velocity, h)
        twice, v_twice = self.step(*self.step(place, velocity, h / 2), h / 2)
        dp, dv = (twice - once) / 15, (v_twice - v_once) / 15
        return twice + dp, v_twice + dv, abs(dp) + abs(dv)

    def landing(self, velocity: complex, height: float) -> Landing:
        time, place, h, top = 0.0, complex(0.0, height), 0.2, height
        if height == 0 and velocity.imag <= 0:
            return Landing(0.0, 0.0, 0.0, abs(velocity))
        for _ in range(1000):
            there, then, error = self.corrected(place, velocity, h)
            if error <= TOLERANCE:
                if velocity.imag > 0 >= then.imag:
                    top = max(top, self.top(place, velocity, then, h))
                if there.imag <= 0 and then.imag < 0:
                    part, there, then = self.touch(place, velocity, then, h)
                    return Landing(time + part, there.real, top - height, abs(then))
                time, place, velocity = time + h, there, then
            h *= min(3.0, max(0.2, 0.9 * (TOLERANCE / max(error, 1e-12)) ** 0.2))
        raise PlantError(
            "a ball has not come down after 1000 steps of its flight",
            "it is lifted more than it is slowed",
            "check its mass, diameter and drag",
        )

    def top(self, place: complex, velocity: complex, then: complex, h: float) -> float:
        """Give the greatest height within a step: a secant to where the ball stops rising, then a parabola."""
        there, late, _error = self.corrected(place, velocity, h * velocity.imag / (velocity.imag - then.imag))
        return there.imag - late.imag**2 / (2 * self.acceleration(late).imag)

    def touch(self, place: complex, velocity: complex, then: complex, h: float) -> tuple[float, complex, complex]:
        """Find the landing within a step (Newton, from a parabola through both ends): part of step, place, velocity."""
        fall = (then.imag - velocity.imag) / h
        part = -(velocity.imag + sqrt(max(velocity.imag**2 - 2 * fall * place.imag, 0.0))) / fall
        for _ in range(20):
            there, late, _error = self.corrected(place, velocity, part)
            move = -there.imag / late.imag
            part += move
            if abs(move) < 1e-5:
                break
        return part, there + move * late, late + move * self.acceleration(late)
