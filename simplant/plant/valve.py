"""Solenoid valves: a spool that takes its time, and air at one port or the other.

What the air moves is cylinder.py, where it comes from air_supply.py; ports are numbered as on the valves (1 in, 2 and
4 out; 14 is the coil that joins 1 to 4). Rule: pressures change only at events.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar, Final

from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds

_STUCK: Final = FailureMode("stuck", "spool gummed up, dirt in the air", "stays as it is")
_SLOW: Final = FailureMode("slow", "cold, dried grease, weak pilot", "switching takes so many times as long", 5.0, "x")
_PILOT: Final = {
    "least_volts": Parameter(20.4, "V", "voltage from which a coil pulls (85 % of 24 V)", 0.05, 0.0, 1000.0),
    "pilot": Parameter(250.0, "kPa", "pressure from which the pilot moves the spool", 0.1, 0.0, 2000.0),
}


class _Spool(Part):
    """A spool with two positions: `shifted` (air at port 4) or not (air at port 2)."""

    OUTPUTS: ClassVar = {"out_4": 0.0, "out_2": 0.0, "shifted": False}

    def begin(self, now: Ns) -> None:
        """Stand in the first position."""
        self.shifted = self.target = self.first()
        self.turns = NEVER

    def first(self) -> bool:
        """Give the position before the first instant."""
        return False

    def wanted(self) -> bool:
        """Give the position that coils, spring and air ask for."""
        raise NotImplementedError

    def takes(self) -> float:
        """Give the time to `target`, s."""
        raise NotImplementedError

    def pulls(self, coil: str, broken: str) -> bool:
        """Say whether a coil's pilot moves the spool."""
        return (
            self.on(coil)
            and broken not in self.faults
            and self.number("volts") >= self.p["least_volts"]
            and self.number("pressure") >= self.p["pilot"]
        )

    def advance(self, now: Ns) -> None:
        """Arrive."""
        if now >= self.turns:
            self.shifted, self.turns = self.target, NEVER

    def command(self, now: Ns) -> None:
        """Obey coils, air and faults."""
        wanted = self.shifted if "stuck" in self.faults else self.wanted()
        if wanted != self.target:
            self.target, self.turns = wanted, NEVER
            if wanted != self.shifted:
                self.turns = Ns(now + from_float_seconds(self.takes() * self.faults.get("slow", 1.0)))
                self.advance(now)
        pressure = self.number("pressure")
        self.emit("out_4", pressure if self.shifted else 0.0)
        self.emit("out_2", 0.0 if self.shifted else pressure)
        self.emit("shifted", self.shifted)

    def next_due(self) -> Ns:
        """Give the spool's arrival."""
        return self.turns


class Valve(_Spool):
    """5/2 valve, one solenoid, returned by its spring: air at port 4 while driven, at port 2 at rest.

    The spool arrives `switch_on` after the coil is driven, `switch_off` after it is not; a drive that ends sooner moves
    nothing. Pilot air below `pilot` does not hold it either. With port 2 plugged it is a 3/2 valve, as a single acting
    cylinder wants it.

    Inputs: `coil`, `volts` (of the coil's circuit), `pressure` (kPa above ambient, at port 1).
    Outputs: `out_4`, `out_2` (kPa), `shifted`.

    Source: default times are common practice, no source; held in `tests/external/test_pneumatics.py`.
    """

    INPUTS: ClassVar = {"coil": False, "volts": 24.0, "pressure": 600.0}
    PARAMETERS: ClassVar = {
        "switch_on": Parameter(0.015, "s", "from coil on to air at port 4", 0.3, 0.0, 2.0),
        "switch_off": Parameter(0.025, "s", "from coil off to air at port 2", 0.3, 0.0, 2.0),
        **_PILOT,
    }
    FAILURES = (
        FailureMode("coil_burnt", "coil burnt out", "is never driven"),
        FailureMode("overridden", "manual override left turned", "is driven whatever the coil does"),
        _STUCK,
        _SLOW,
    )

    def wanted(self) -> bool:
        """Give the driven position while the coil or the override drives it."""
        by_hand = "overridden" in self.faults and self.number("pressure") >= self.p["pilot"]
        return by_hand or self.pulls("coil", "coil_burnt")

    def takes(self) -> float:
        """Give the time to `target`, s."""
        return self.p["switch_on" if self.target else "switch_off"]


class DoubleValve(_Spool):
    """5/2 valve, two solenoids: stays where it was driven last, without coils, voltage or air too.

    With both coils driven it stays as it is: whichever came first keeps the spool. A pulse shorter than `switch` moves
    nothing.

    Inputs: `coil_14` (to port 4), `coil_12` (to port 2), `volts`, `pressure` (kPa).
    Outputs: `out_4`, `out_2` (kPa), `shifted`.

    Source: default time is common practice, no source; held in `tests/external/test_pneumatics.py`.
    """

    INPUTS: ClassVar = {"coil_14": False, "coil_12": False, "volts": 24.0, "pressure": 600.0}
    PARAMETERS: ClassVar = {
        "switch": Parameter(0.012, "s", "from a coil on to air at its port", 0.3, 0.0, 2.0),
        "first": Parameter(0.0, "", "where somebody left it: 1 port 4, 0 port 2", 0.0, 0.0, 1.0),
        **_PILOT,
    }
    FAILURES = (
        FailureMode("coil_14_burnt", "coil burnt out", "is not driven to port 4"),
        FailureMode("coil_12_burnt", "coil burnt out", "is not driven to port 2"),
        _STUCK,
        _SLOW,
    )

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """It may be in either position."""
        return {"first": (0.0, 1.0)}

    def first(self) -> bool:
        """Give the position it was left in."""
        return self.p["first"] >= 0.5

    def wanted(self) -> bool:
        """Give the position of the only driven coil, else where it is."""
        out, back = self.pulls("coil_14", "coil_14_burnt"), self.pulls("coil_12", "coil_12_burnt")
        return self.shifted if out == back else out

    def takes(self) -> float:
        """Give the time to `target`, s."""
        return self.p["switch"]
