"""Supplies: the voltage domains, how they rise, sag, trip and dip.

What they feed reads `volts`; what stops working below which voltage is the reader's affair.
Rule: voltages are piecewise constant: a rising supply is 0 until its rise time is over.
"""

from typing import ClassVar, Final

from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds

_STEP: Final = 100.0
"""Volts are rounded to 10 mV, so that load and voltage settle on each other within a few rounds."""


class Supply(Part):
    """A supply of any voltage: direct, or alternating by its effective value (mains).

    Up from `rise_delay + rise_time` after its feed came (the order of rising at power-up is made with `rise_delay`)
    until `hold_up` after it went. While up, `volts = nominal - load x resistance`, not below 0, in steps of 10 mV.
    A load above `limit` for `overload_time` switches it off for `retry`, again and again. `healthy` = at least
    `healthy_share` of nominal.

    `feed` is the mains or the supply before it. The actions `off`, `on` and `dip` (seconds) act on the feed;
    a lost output skips `hold_up`.
    """

    INPUTS: ClassVar = {"feed": True, "load": 0.0}
    OUTPUTS: ClassVar = {"volts": 0.0, "healthy": False}
    PARAMETERS: ClassVar = {
        "volts": Parameter(24.0, "V", "nominal voltage without load", 0.02, 0.1, 1000.0),
        "resistance": Parameter(0.0, "ohm", "volts lost per ampere of load", 0.3, 0.0, 100.0),
        "rise_delay": Parameter(0.0, "s", "from feed on to the beginning of the rise", 0.3, 0.0, 60.0),
        "rise_time": Parameter(0.0, "s", "from the beginning of the rise to full voltage", 0.3, 0.0, 60.0),
        "hold_up": Parameter(0.0, "s", "the output outlasts the feed by", 0.3, 0.0, 60.0),
        "limit": Parameter(1e6, "A", "greatest load", 0.1, 0.0),
        "overload_time": Parameter(0.1, "s", "an overload is borne so long", 0.3, 0.001, 60.0),
        "retry": Parameter(1.0, "s", "off after an overload", 0.1, 0.001, 3600.0),
        "healthy_share": Parameter(0.85, "", "healthy from this share of nominal on", 0.0, 0.0, 1.0),
    }
    FAILURES: ClassVar = (
        FailureMode("lost", "fuse, broken wire or dead supply", "0 V"),
        FailureMode("sagging", "ageing, poor terminal or overload elsewhere", "lower by a share of nominal", 30.0, "%"),
        FailureMode("slow_rise", "ageing capacitors, cold", "delay and rise are longer", 5.0, "times", early=True),
    )
    ACTIONS: ClassVar = {
        "dip": "the feed fails for a time (value: seconds)",
        "off": "the feed is switched off",
        "on": "the feed is switched on",
    }

    def begin(self, now: Ns) -> None:
        """Start without voltage, as before power-up."""
        self._fed = self._up = False
        self._fed_at = now
        self._switched = True
        self._turns_at = self._dip_ends = self._trips_at = self._retries_at = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Switch the feed or let it dip."""
        match action, value:
            case "dip", int() | float() if value > 0:
                self._dip_ends = Ns(now + from_float_seconds(value))
            case "dip", _:
                raise PlantError(f"{self.name!r} cannot dip for {value!r}", mend="say how many seconds, above 0")
            case (("off" | "on"), _):
                self._switched = action == "on"
            case _:
                super().act(action, value, now)

    def advance(self, now: Ns) -> None:
        """Rise or fall, trip or try again, if due."""
        if now >= self._dip_ends:
            self._dip_ends = NEVER
        if now >= self._turns_at:
            self._up, self._turns_at = self._fed, NEVER
        if now >= self._trips_at:
            self._trips_at, self._retries_at = NEVER, self._after(now, self.p["retry"])
        if now >= self._retries_at:
            self._retries_at = NEVER

    def command(self, now: Ns) -> None:
        """Follow feed and load."""
        self._follow_feed(now)
        running = self._up and self._retries_at == NEVER
        load = self.number("load")
        if not running or load <= self.p["limit"]:
            self._trips_at = NEVER
        elif self._trips_at == NEVER:
            self._trips_at = self._after(now, self.p["overload_time"])
        share = 1.0 - self.faults.get("sagging", 0.0) / 100.0
        nominal = self.p["volts"]
        volts = self._rounded(nominal * share - load * self.p["resistance"]) if running else 0.0
        self.emit("volts", volts)
        self.emit("healthy", volts >= nominal * self.p["healthy_share"])

    def _rounded(self, exact: float) -> float:
        """Round to a step, but stay where it is within one: so volts and amperes find each other, and stop."""
        before = float(self.outputs["volts"])  # type: ignore[arg-type]  # it says numbers only
        return before if abs(exact - before) < 1 / _STEP else max(round(exact * _STEP) / _STEP, 0.0)

    def _follow_feed(self, now: Ns) -> None:
        lost = "lost" in self.faults
        fed = self.on("feed") and self._switched and self._dip_ends == NEVER and not lost
        if lost:
            self._fed = self._up = False
            self._turns_at = NEVER
        if fed == self._fed and not (fed and now == self._fed_at):  # a fault that is there from the first counts
            return
        if fed != self._fed:
            self._fed, self._fed_at = fed, now
        self._turns_at = self._after(now, *(self._rise() if fed else (self.p["hold_up"],)))
        if self._turns_at <= now:
            self._up, self._turns_at = fed, NEVER

    def _rise(self) -> tuple[float, float]:
        slow = self.faults.get("slow_rise", 1.0)
        return self.p["rise_delay"] * slow, self.p["rise_time"] * slow

    @staticmethod
    def _after(now: Ns, *waits: float) -> Ns:
        return Ns(now + sum(from_float_seconds(wait) for wait in waits))

    def next_due(self) -> Ns:
        """Give the next rise, fall, trip, retry or end of a dip."""
        return min(self._turns_at, self._dip_ends, self._trips_at, self._retries_at)
