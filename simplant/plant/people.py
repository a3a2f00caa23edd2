"""Visitors at five spots along an arc: they catch or miss, hold, give back late or never.

Where the balls are is the ball loop's affair (ball_loop.py): this part hears of landings and
answers with counts. Who presses which button is a matter for the scenario.
Rule: what they do follows from seed, parameters, faults and actions alone.
"""

from collections.abc import Mapping
from math import cos, radians, sqrt
from typing import ClassVar, Final

from simplant.chance import draw
from simplant.part import FailureMode, Parameter, Part, Signal
from simplant.timebase import NEVER, Ns, from_float_seconds

SPOTS: Final = 5
"""How many spots are marked along the arc; spot 1 is the leftmost."""


def miss_distance(distance: float, spot_deg: float, landed_range: float, landed_deg: float) -> float:
    """Give the distance in m between a spot and a landing, both as seen from the launcher (law of cosines)."""
    along = 2 * distance * landed_range * cos(radians(landed_deg - spot_deg))
    return sqrt(max(distance * distance + landed_range * landed_range - along, 0.0))


class People(Part):
    """Visitors, one at each spot `distance` from the launcher.

    A ball that lands within `reach` of the nearest spot is caught with probability `catch`; all others are
    missed. A caught ball is given back (`returned`) after `hold_time` with its spread; a missed one is
    fetched and put into the funnel (`fed`) after `fetch_time` with the same spread (0: nobody fetches).
    The answer to a landing comes at the same instant.
    """

    INPUTS: ClassVar[Mapping[str, Signal]] = {"landed": 0, "landed_range": 0.0, "landed_angle": 0.0}
    OUTPUTS: ClassVar[Mapping[str, Signal]] = {
        "catches": 0,
        "misses": 0,
        "returned": 0,
        "fed": 0,
        "holding": 0,
        "spot": 0,
        "aim_error": 0.0,
    }
    PARAMETERS: ClassVar[Mapping[str, Parameter]] = {
        **{
            f"spot_{n}": Parameter(25.0 * (n - 3), "deg", f"direction of spot {n}, + is right", 0.0, -180, 180)
            for n in range(1, SPOTS + 1)
        },
        "distance": Parameter(4.6, "m", "from the launcher to each spot", 0.02, 0.1, 100),
        "reach": Parameter(0.8, "m", "how far from the spot a visitor can catch", 0.2, 0, 10),
        "catch": Parameter(0.9, "", "probability that a ball within reach is caught", 0.0, 0, 1),
        "hold_time": Parameter(2.0, "s", "from catching to giving back", 0.5, 0.001, 3600),
        "fetch_time": Parameter(8.0, "s", "from missing to the ball in the funnel; 0 = nobody fetches", 0.5, 0, 3600),
        "spread": Parameter(0.4, "", "part of these times by which one visitor differs from another", 0.0, 0, 0.99),
    }
    FAILURES: ClassVar[tuple[FailureMode, ...]] = (
        FailureMode("misses", "nobody looks", "every ball is missed"),
        FailureMode("keeps_ball", "a visitor keeps the ball", "a ball caught meanwhile is not given back"),
        FailureMode(
            "late_return", "a visitor plays with the ball", "a ball caught meanwhile is held this long", 60, "s"
        ),
        FailureMode("leaves_ball", "nobody picks it up", "a ball missed meanwhile is not fetched"),
    )
    ACTIONS: ClassVar[Mapping[str, str]] = {
        "catch": "the next ball is caught wherever it lands",
        "miss": "the next ball is missed",
        "keep": "the next ball caught is kept until `give`",
        "give": "a kept ball goes into the funnel",
        "feed": "somebody puts a ball from the floor into the funnel",
    }

    def begin(self, now: Ns) -> None:
        """Stand ready with empty hands."""
        self._landed = self._catches = self._misses = self._returned = self._fed = self._kept = 0
        self._next_catch: bool | None = None
        self._next_keep = False
        self._giving: list[Ns] = []
        self._fetching: list[Ns] = []

    def advance(self, now: Ns) -> None:
        """Give back and fetch what is due."""
        while self._giving and self._giving[0] <= now:
            del self._giving[0]
            self._returned += 1
        while self._fetching and self._fetching[0] <= now:
            del self._fetching[0]
            self._fed += 1
        self._tell()

    def command(self, now: Ns) -> None:
        """Answer every landing."""
        landed = int(self.number("landed"))
        while self._landed < landed:
            self._answer(now)
            self._landed += 1
        self._tell()

    def next_due(self) -> Ns:
        """Give the next instant at which a ball goes into the funnel."""
        return min(self._giving[:1] + self._fetching[:1], default=NEVER)

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Take a stimulus; one that finds no ball does nothing."""
        match action:
            case "catch" | "miss":
                self._next_catch = action == "catch"
            case "keep":
                self._next_keep = True
            case "give":
                self._returned += int(self._kept > 0)
                self._kept = max(0, self._kept - 1)
            case "feed":
                self._fed += 1
            case _:
                super().act(action, value, now)
        self._tell()

    def _answer(self, now: Ns) -> None:
        error, spot = min(self._errors())
        self.emit("spot", spot)
        self.emit("aim_error", error)
        if not self._catch(error):
            self._misses += 1
            if self.p["fetch_time"] > 0 and "leaves_ball" not in self.faults:
                self._later(self._fetching, self.p["fetch_time"], now)
            return
        self._catches += 1
        if self._next_keep or "keeps_ball" in self.faults:
            self._next_keep = False
            self._kept += 1
        else:
            self._later(self._giving, self.p["hold_time"], now)

    def _errors(self) -> list[tuple[float, int]]:
        reach, angle = self.number("landed_range"), self.number("landed_angle")
        return [(miss_distance(self.p["distance"], self.p[f"spot_{n}"], reach, angle), n) for n in range(1, SPOTS + 1)]

    def _catch(self, error: float) -> bool:
        told, self._next_catch = self._next_catch, None
        if "misses" in self.faults:
            return False
        if told is not None:
            return told
        return error <= self.p["reach"] and draw(self.seed, f"{self.name}.catch", self._landed) < self.p["catch"]

    def _later(self, hands: list[Ns], time: float, now: Ns) -> None:
        time *= 1 + self.p["spread"] * (2 * draw(self.seed, f"{self.name}.pace", self._landed) - 1)
        if hands is self._giving:
            time = max(self.faults.get("late_return", time), 1e-6)
        hands.append(Ns(now + max(from_float_seconds(time), 1_000)))
        hands.sort()

    def _tell(self) -> None:
        self.emit("catches", self._catches)
        self.emit("misses", self._misses)
        self.emit("returned", self._returned)
        self.emit("fed", self._fed)
        self.emit("holding", self._kept + len(self._giving))
