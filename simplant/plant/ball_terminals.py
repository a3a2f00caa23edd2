"""The ball loop as seen from outside: terminals, parameters, failure modes, what people can do to it.

How balls move is in ball_loop.py. Rule: data only.
"""

from collections.abc import Mapping
from typing import Final

from simplant.curves import Steady
from simplant.faults import SUN
from simplant.part import FailureMode, Parameter, Signal
from simplant.plant.ball_ledger import Place

INPUTS: Final[Mapping[str, Signal]] = {
    "gate_open": False,
    "gate_holds": True,
    "reach": True,
    "wheel_speed": Steady(0.0),
    "elevation": Steady(0.0),
    "table_angle": Steady(0.0),
    "caught": 0,
    "returned": 0,
    "fed": 0,
}

OUTPUTS: Final[Mapping[str, Signal]] = {
    "at_gate": False,
    **{place.value: 0 for place in Place if place is not Place.GATE},
    "total": 0,
    "in_view": False,
    "settled": False,
    "in_mouth": False,
    "beam": False,
    "released": 0,
    "second_balls": 0,
    "met_no_arm": 0,
    "launched": 0,
    "landed": 0,
    "launch_speed": 0.0,
    "landed_range": 0.0,
    "landed_angle": 0.0,
}

PARAMETERS: Final[Mapping[str, Parameter]] = {
    "balls": Parameter(3, "", "how many balls there are", 0.0, 0, 99),
    "on_floor": Parameter(0, "", "how many of them lie on the floor when the run begins", 0.0, 0, 99),
    "mass": Parameter(0.034, "kg", "mass of a ball", 0.1, 0.001, 1),
    "diameter": Parameter(0.085, "m", "diameter of a ball", 0.03, 0.01, 0.5),
    "drop": Parameter(0.085, "m", "fall of the next ball to the arm", 0.1, 0.001, 1),
    "bounce": Parameter(0.6, "", "coefficient of restitution on the arm", 0.1, 0, 0.9),
    "sight": Parameter(0.02, "m", "height above the arm up to which the sensor sees a ball", 0.2, 0),
    "fall": Parameter(0.10, "m", "fall from the arm to the wheel", 0.05, 0.001, 2),
    "pass_time": Parameter(0.02, "s", "time one ball keeps the next from the wheel", 0.2, 0.001, 1),
    "wheel_radius": Parameter(0.06, "m", "radius of the wheel", 0.01, 0.001, 1),
    "backspin": Parameter(1, "", "1 wheel under the ball, -1 over it, 0 two equal wheels", 0.0, -1, 1),
    "least_speed": Parameter(1.5, "m/s", "speed below which the wheel does not carry a ball out", 0.2, 0.01),
    "height": Parameter(0.2, "m", "release above the hands that catch", 0.1, 0, 10),
    "transit_time": Parameter(2.5, "s", "from the funnel to the beam", 0.1, 0.001, 600),
    "transit_spread": Parameter(0.2, "", "part of it by which one ball differs from another", 0.0, 0, 0.99),
    "beam_least": Parameter(0.015, "s", "shortest time a ball breaks the beam", 0.0, 0.0001, 1),
    "beam_most": Parameter(0.040, "s", "longest time a ball breaks the beam", 0.0, 0.0001, 1),
}

FAILURES: Final[tuple[FailureMode, ...]] = (
    FailureMode("ball_missing", "somebody took a ball along", "one ball leaves the machine at the onset"),
    FailureMode("extra_ball", "somebody brought a ball", "one more ball comes down the return at the onset"),
    FailureMode("stuck_in_return", "soft ball wedged in the tube", "no ball leaves the return tube"),
    FailureMode(
        "beam_blinded",
        "sunlight into the receiver of the return beam",
        "no ball breaks the beam",
        lasts=SUN,
    ),
    FailureMode("slow_return", "dirt in the tube", "a ball entering takes so many times as long", 4.0),
    FailureMode("second_ball", "balls stick together", "the next ball follows a released one whatever the arm does"),
    FailureMode("slips", "dust on the wheel, worn ball", "a ball leaves with this part of the rolling speed", 0.8),
)

ACTIONS: Final[Mapping[str, str]] = {
    "feed_ball": "somebody puts a ball from the floor into the funnel",
    "remove_ball": "somebody takes a ball along (from queue, floor or return, from the gate if that is in reach)",
    "add_ball": "somebody puts a ball into the funnel: one taken earlier, or a new one",
}
