"""What the controller runs: one task's program as a pure function, and the layout of its state.

Made by logic/compile.py (fast) or logic/walk.py (plain); run by kernel/controller.py. Nothing
here knows how a program is written. Rule: `run` touches nothing but its arguments.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from simplant.timebase import Ns
from simplant.values import Value

Run = Callable[[tuple[Value, ...], tuple[Value, ...], Ns], tuple[tuple[Value, ...], Ns]]
"""(inputs, state, now) -> (state after, due).

`due` is the first later instant at which a scan with the same inputs and the state it left
could come out differently: `NEVER` if none, `now + 1` if it read something volatile.
"""


@dataclass(frozen=True, slots=True)
class Slot:
    """One stored value.

    Args:
        name: tag name (`run_cmd`), block field (`warn.Q`) or chart (`cycle`, the active step's number).
        initial: value after a cold restart, and after a warm one unless retained.
        retain: kept over a warm restart.
        shown: appears in the trace (named tags and charts; block internals do not).
        words: for an enumerated slot, the name of each number; empty otherwise.
    """

    name: str
    initial: Value
    retain: bool = False
    shown: bool = True
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Executable:
    """One task's program.

    Args:
        inputs: names of the input tags it reads, in the order `run` takes them.
        slots: its state, in order; every value that a scan may read before writing is here.
        outputs: positions in `slots` of output tags.
        shared: positions in `slots` of tags that other tasks of the controller also use.
        run: one scan.
        carried: positions in `slots` that a scan may read before it writes them; if these are as they were, the next
            scan with the same inputs leaves the same state. None: all.
        restless: why this program can never sleep (it has opaque code), or "".
        tried: the same scan for those who only try what it would do, where `run` tells somebody; None: `run`.
    """

    inputs: tuple[str, ...]
    slots: tuple[Slot, ...]
    outputs: tuple[int, ...]
    shared: tuple[int, ...]
    run: Run
    restless: str = ""
    carried: tuple[int, ...] | None = None
    tried: Run | None = None
    initial: tuple[Value, ...] = field(init=False, repr=False, compare=False)
    """The state after a cold restart."""

    def __post_init__(self) -> None:
        """Put the first values together."""
        object.__setattr__(self, "initial", tuple(slot.initial for slot in self.slots))
