"""An incremental encoder on a shaft: its count as a curve, its index pulse as an event.

Lines A and B change far faster than any scan looks, so they are not told one by one: a counter reads `counts` when it
looks. Rule: every whole number told here was true at the instant it was told.
"""

from math import floor
from typing import ClassVar

from simplant.curves import Curve, Scaled, Steady
from simplant.part import FailureMode, Parameter, Part
from simplant.plant.teeth import Teeth
from simplant.timebase import Ns


class Encoder(Part):
    """Incremental encoder: counts = angle counts_per_turn / 360, both ways, and an index mark each turn.

    The mark lies from `index_at` on over `index_width`.

    Inputs: `angle` (curve, deg), `volts`. Outputs: `counts` (curve; a counter reads its whole part), `index` (its mark
    is seen), `at_index` (the count when the mark last came), `turns` (marks passed forwards less those passed
    backwards), `position` (the count within a turn, 0 to counts_per_turn - 1, told at each edge of the mark and
    whenever the shaft takes up another course: starts, stops, turns about).
    """

    INPUTS: ClassVar = {"angle": Steady(0.0), "volts": 24.0}
    OUTPUTS: ClassVar = {"counts": Steady(0.0), "index": False, "at_index": 0, "turns": 0, "position": 0}
    PARAMETERS: ClassVar = {
        "counts_per_turn": Parameter(4096.0, "", "edges of A and B a turn (4 x its lines)", 0.0, 4.0, 1e6),
        "index_at": Parameter(0.0, "deg", "where its index mark begins", 0.0, -360.0, 360.0),
        "index_width": Parameter(1.0, "deg", "width of the mark", 0.2, 0.01, 180.0),
        "least_volts": Parameter(4.5, "V", "supply below which it tells nothing", 0.1, 0.0, 60.0),
    }
    FAILURES = (
        FailureMode("dead", "disc broken, electronics burnt", "counts no further, no index"),
        FailureMode("swapped_lines", "A and B mixed up", "counts backwards", early=True),
        FailureMode("slipping", "coupling loose", "loses this share of each movement", 0.1),
        FailureMode("index_lost", "mark scratched or dirty", "no index"),
    )

    def begin(self, now: Ns) -> None:
        """Read 0 where the shaft stands at 0 deg."""
        self.teeth = Teeth(360.0, self.p["index_width"])
        self.angle = self.curve("angle")
        self.grip, self.slip = 1.0, 0.0  # the disc stands at grip x angle + slip
        self.rate, self.base = self.p["counts_per_turn"] / 360, 0.0  # and counts rate x disc + base
        self._follow(now)
        self.zero, self.at_index = self.teeth.mark, 0

    def advance(self, now: Ns) -> None:
        """Let an edge of the mark go by."""
        if self.teeth.advance(self.marks, now):
            self.position = self._whole(now)
            if self.teeth.seen:
                self.at_index = self.position

    def command(self, now: Ns) -> None:
        """Take up the shaft's course, and the faults."""
        angle, faults = self.curve("angle"), self.faults
        works = self.number("volts") >= self.p["least_volts"] and "dead" not in faults
        grip, rate = 1 - faults.get("slipping", 0.0), self.p["counts_per_turn"] / 360 if works else 0.0
        rate = -rate if "swapped_lines" in faults else rate
        if grip != self.grip or rate != self.rate:
            self._couple(grip, rate, now)
            self._follow(now)
        if angle is not self.angle:
            self.angle = angle
            self._follow(now)
        marked = works and "index_lost" not in faults
        self.emit("counts", self.counts)
        self.emit("index", marked and self.teeth.seen)
        self.emit("turns", self.teeth.mark - self.zero)
        if marked:
            self.emit("at_index", self.at_index)
        self.emit("position", self.position % round(self.p["counts_per_turn"]))

    def next_due(self) -> Ns:
        """Give the next edge of the index mark."""
        return self.teeth.due

    def _couple(self, grip: float, rate: float, now: Ns) -> None:
        """Go on from the present place and count with another grip and rate."""
        here = self.angle.at(now)
        disc = self.grip * here + self.slip
        count = self.rate * disc + self.base
        self.grip, self.slip = grip, disc - grip * here
        self.rate, self.base = rate, count - rate * disc

    def _follow(self, now: Ns) -> None:
        self.counts: Curve = Scaled(self.angle, self.rate * self.grip, self.rate * self.slip + self.base)
        self.marks: Curve = Scaled(self.angle, self.grip, self.slip - self.p["index_at"])
        self.teeth.follow(self.marks, now)
        self.position = self._whole(now)

    def _whole(self, now: Ns) -> int:
        return floor(self.counts.at(now) + 1e-6)
