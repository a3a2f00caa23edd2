"""What a user reads when a moving part is given numbers that no such part can have."""

import pytest

from simplant.errors import PlantError
from simplant.plant.lift import Lift
from simplant.plant.tank import Tank
from simplant.plant.turntable import Turntable
from simplant.timebase import Ns


def message(action):
    with pytest.raises(PlantError) as caught:
        action()
    return str(caught.value)


@pytest.mark.parametrize(
    ("part", "text"),
    [
        (
            Turntable("table", {"stop_left": 70.0}),
            "part 'table' has no travel: its lower end is 70, its upper end 68",
        ),
        (
            Lift("lift", {"top": 20.0}),
            "part 'lift' has no travel: its lower end is 20, its upper end 20",
        ),
    ],
)
def test_no_travel(part, text):
    """Ends of travel that leave none."""
    assert message(lambda: part.begin(Ns(0))) == text + ". Let the lower end lie below the upper one."


def test_no_flow():
    """A scenario that lets less than nothing flow in."""
    tank = Tank("sump")
    tank.begin(Ns(0))
    assert message(lambda: tank.act("inflow", -1.0, Ns(0))) == (
        "tank 'sump': inflow -1.0 is not a flow. It must be a number of m3/s, >= 0."
    )
