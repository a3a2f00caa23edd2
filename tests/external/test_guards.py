"""Distance of a light curtain and synchronous actuation of a two-hand control, held against what is published.

A simulation proves nothing about safety functions; these are checks of formulas. Sources stand beside each.
"""

import pytest

from simplant.errors import PlantError
from simplant.wiring.light_curtain import safety_distance
from simplant.wiring.two_hand import TwoHand
from tests.driving import milliseconds, put

# (resolution mm, T s, S mm). Source: ISO 13855 as quoted by: light-curtain operating instructions (worked example:
# 640 mm, computed again as 512), an article (worked example 330 mm; C = 128 and 208 mm), manuals of light curtains
# (least distance 100, rule at 500, 850 mm above 40 mm resolution). The last two rows of the first group are derived.
PUBLISHED = [
    (14, 0.32, 512.0),
    (14, 0.165, 330.0),
    (14, 0.0, 100.0),
    (14, 0.25, 500.0),
    (14, 0.26, 500.0),
    (30, 0.1, 200.0 + 128.0),
    (40, 0.1, 200.0 + 208.0),
    (50, 0.1, 160.0 + 850.0),
    (70, 0.5, 800.0 + 850.0),
]


@pytest.mark.parametrize(("resolution", "time", "distance"), PUBLISHED)
def test_distance_of_a_light_curtain(resolution, time, distance):
    """S = K T + C, approach at right angles."""
    assert safety_distance(time, resolution) == pytest.approx(distance)


def test_distance_grows_with_time_and_with_resolution():
    """Never less distance for more time, or for a coarser curtain (derivation: within 40 mm, and from there on)."""
    times = [n / 100 for n in range(101)]
    for resolutions in ((10, 14, 20, 30, 40), (41, 50, 70)):
        table = [[safety_distance(t, d) for t in times] for d in resolutions]
        assert all(row == sorted(row) for row in table)
        assert all(list(column) == sorted(column) for column in zip(*table, strict=True))


@pytest.mark.parametrize(
    ("time", "resolution", "told"),
    [
        (-0.1, 14, "a time of -0.1 s is no stopping time. It must be 0 or more."),
        (0.1, 71, "no distance is known for a resolution of 71 mm. It must be above 0, up to 70."),
        (0.1, 0, "no distance is known for a resolution of 0 mm. It must be above 0, up to 70."),
    ],
)
def test_what_the_formula_does_not_cover(time, resolution, told):
    """A time below 0 and a resolution beyond 70 mm are refused."""
    with pytest.raises(PlantError) as caught:
        safety_distance(time, resolution)
    assert str(caught.value) == told


@pytest.mark.parametrize(("apart", "given"), [(0, True), (499, True), (500, True), (501, False)])
def test_both_hands_within_half_a_second(apart, given):
    """Source: from memory: ISO 13851, type III: synchronous actuation within 0.5 s, again only after both are off."""
    steps = [(100, put(left=True)), (100 + apart, put(right=True))]
    told = milliseconds(TwoHand("th"), steps, 2000)
    assert ((100 + apart, "out", True) in told) is given
