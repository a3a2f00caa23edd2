"""What an operator panel writes, and how its commands go wrong on the way: lost, repeated, held.

Which memory tags a panel writes stands in machine.toml (`panel`); a machine without has no such faults. Rule: what
arrives is written like any command; the program cannot tell where it comes from.
"""

from collections.abc import Collection
from typing import Final

from simplant.faults import FailureMode
from simplant.kernel.controller import Controller
from simplant.rig.acts import Acts
from simplant.scenario.model import Write
from simplant.timebase import Ns, from_float_seconds, seconds

PANEL: Final = "operator panel"
"""Its name as what fails; no part can be called so by accident."""

_LOST: Final = FailureMode("lost", "line to the panel disturbed", "no command arrives", lasts=seconds(10))
_REPEATED: Final = FailureMode("repeated", "sent again after a missing answer", "each command arrives twice", 1.0, "s")
_HELD: Final = FailureMode(
    "held", "a key or the panel hangs", "a command arrives again and again, each", 0.1, "s", seconds(10)
)
MODES: Final = (_LOST, _REPEATED, _HELD)


class Panel:
    """The panel of one run; `faults` as those of a part.

    Args:
        tags: the memory tags that it writes.
        controller: whose they are.
        acts: where what arrives later is planned.
        notes: where events for the trace are noted.
    """

    def __init__(self, tags: Collection[str], controller: Controller, acts: Acts, notes: list[tuple[Ns, str]]) -> None:
        self.faults: Final[dict[str, float]] = {}
        self._tags, self._controller, self._acts, self._notes = tags, controller, acts, notes

    def write(self, write: Write, now: Ns) -> None:
        """Send a command: it arrives at once, unless it is lost; and again, if it is repeated or held."""
        told = f"from the panel: {write.tag} = {write.value}"
        faults = self.faults if write.tag in self._tags else {}
        if _LOST.kind in faults:
            self._notes.append((now, f"lost {told}"))
            return
        self._arrive(write, now, f"written {told}")
        if _REPEATED.kind in faults:
            again = Ns(now + from_float_seconds(faults[_REPEATED.kind]))
            self._acts.at(again, lambda then: self._arrive(write, then, f"repeated {told}"), after=True)
        if _HELD.kind in faults:
            self._hold(write, now)

    def _hold(self, write: Write, now: Ns) -> None:
        def again(then: Ns) -> None:
            if _HELD.kind in self.faults:
                self._controller.write(write.tag, write.value, then)
                self._hold(write, then)

        self._acts.at(Ns(now + max(from_float_seconds(self.faults[_HELD.kind]), 1)), again, after=True)

    def _arrive(self, write: Write, now: Ns, told: str) -> None:
        self._notes.append((now, told))
        self._controller.write(write.tag, write.value, now)
