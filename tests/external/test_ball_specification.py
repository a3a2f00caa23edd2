"""The default ball is a soft foam ball as it can be bought.

Sources: mass and diameter, from memory: ITF Rules of Tennis, Appendix VI (stage 3 red foam); rebound 85 to 105 cm
from 254 cm: ITF 10-and-under programme page citing Appendix VI.
"""

from math import sqrt

import pytest

from simplant.plant.ball_loop import BallLoop

STAGE_3_FOAM = {"mass": (0.0250, 0.0430), "diameter": (0.0800, 0.0900)}
REBOUND = (sqrt(85 / 254), sqrt(105 / 254))


def test_mass_and_diameter_within_tolerance():
    """Not only the nominal ball but every ball within our tolerances is one of these."""
    for key, (least, most) in STAGE_3_FOAM.items():
        given = BallLoop.PARAMETERS[key]
        assert least <= given.default * (1 - given.tolerance)
        assert given.default * (1 + given.tolerance) <= most


def test_rebound():
    """Coefficient of restitution sqrt(h / 254): 0.5785 to 0.6430."""
    assert pytest.approx((0.5785, 0.6430), abs=1e-4) == REBOUND
    assert REBOUND[0] <= BallLoop.PARAMETERS["bounce"].default <= REBOUND[1]
