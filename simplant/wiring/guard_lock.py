"""A guard door whose switch holds it locked: it opens only when told to unlock.

A door without a lock is door of devices.py.
Rule: it is there to test logic around it; a simulation proves nothing about safety functions.
"""

from typing import ClassVar

from simplant.part import FailureMode, Parameter, Part
from simplant.timebase import NEVER, Ns, from_float_seconds


class GuardLock(Part):
    """Door switch with guard locking: a bolt that a spring drives in and a solenoid draws out (or the other way round).

    Power to unlock (`power_to_lock` 0): the bolt is out while `unlock` and enough `volts`. Power to lock (1): it is in
    while not `unlock`, with volts; without them the door is free. The bolt takes `bolt_time` and goes in only with the
    door closed. A locked door that somebody pulls stays closed.

    Inputs: `unlock`, `volts`. Outputs: `open` (the truth), `closed`, `switch` (the door's contacts: says closed, says
    open), `locked` (the bolt's contact), `pulled` (how often somebody pulled in vain, a count).
    """

    INPUTS: ClassVar = {"unlock": False, "volts": 24.0}
    OUTPUTS: ClassVar = {"closed": True, "switch": False, "open": False, "locked": False, "pulled": 0}
    PARAMETERS: ClassVar = {
        "bolt_time": Parameter(0.05, "s", "from one end of the bolt's way to the other", 0.5, 0.0, 5.0),
        "power_to_lock": Parameter(0.0, "", "1: the solenoid holds the bolt in; 0: the spring does", 0.0, 0.0, 1.0),
        "least_volts": Parameter(20.4, "V", "voltage below which the solenoid does not draw", 0.05, 0.0, 1000.0),
    }
    FAILURES: ClassVar = (
        FailureMode("bolt_stuck", "dirt, door sagging on the bolt", "the bolt stays where it is"),
        FailureMode("bolt_broken", "pulled off by force", "the door opens although it says locked"),
        FailureMode("defeated", "a spare actuator sticks in the switch", "says closed and can lock, door open or not"),
        FailureMode("solenoid_burnt", "coil open", "the bolt is where its spring drives it"),
    )
    ACTIONS: ClassVar = {"open": "pull the door open (in vain while it is locked)", "close": "close it"}

    def begin(self, now: Ns) -> None:
        """Start closed; the spring has done its work."""
        self._open, self._pulled = False, 0
        self._bolt = self._goal = self.p["power_to_lock"] < 0.5
        self._arrives = NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Pull or close."""
        if action not in self.ACTIONS:
            super().act(action, value, now)
        if action == "close":
            self._open = False
        elif self._bolt and not self._open and not {"bolt_broken", "defeated"} & self.faults.keys():
            self._pulled += 1
        else:
            self._open = True

    def advance(self, now: Ns) -> None:
        """Let the bolt arrive."""
        if now >= self._arrives:
            self._bolt, self._arrives = self._goal, NEVER

    def command(self, now: Ns) -> None:
        """Drive the bolt."""
        seems_closed = not self._open or "defeated" in self.faults
        goal = self._bolt if "bolt_stuck" in self.faults else self._wanted() and (seems_closed or self._bolt)
        if goal != self._goal:
            self._goal, self._arrives = goal, NEVER
            if goal != self._bolt:
                self._arrives = Ns(now + from_float_seconds(self.p["bolt_time"]))
                self.advance(now)
        self.emit("closed", seems_closed)
        self.emit("switch", not seems_closed)
        self.emit("open", self._open)
        self.emit("locked", self._bolt)
        self.emit("pulled", self._pulled)

    def next_due(self) -> Ns:
        """Give the bolt's arrival."""
        return self._arrives

    def _wanted(self) -> bool:
        """Say whether spring and solenoid want the bolt in."""
        holds = self.p["power_to_lock"] >= 0.5
        draws = self.number("volts") >= self.p["least_volts"] and "solenoid_burnt" not in self.faults
        return draws and not self.on("unlock") if holds else not (draws and self.on("unlock"))
