"""The race check: held inputs and a held clock must bring a program to rest.

Who calls it, and when, is the rig's affair. Rule: a copy is iterated, never the running program.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.kernel.executable import Run, Slot
from simplant.timebase import Ns, show
from simplant.values import Value

RACE: Final = "race"
"""How the event of a certain race begins."""

UNREST: Final = "no rest"
"""How the event of an undecided one begins."""

MOST_SCANS: Final = 1000
"""After so many scans without rest or repetition the check gives up."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A program that does not come to rest.

    Args:
        time: the held instant.
        period: after how many scans its state repeats; 0 = not within `MOST_SCANS`: undecided.
        names: the tags, charts and block fields that keep changing, those of the trace first.
    """

    time: Ns
    period: int
    names: tuple[str, ...]

    @property
    def is_race(self) -> bool:
        """Whether it is a race for certain."""
        return self.period > 1

    def __str__(self) -> str:
        """Say when, whether it is a race, and what keeps changing."""
        return f"t={show(self.time)}: {RACE if self.is_race else UNREST}: {self.told()}"

    def told(self) -> str:
        """Say what keeps changing."""
        names = ", ".join(self.names[:8]) + (", ..." if len(self.names) > 8 else "")
        if self.is_race:
            return f"with inputs and time held, {names} repeat every {self.period} scans"
        return f"with inputs and time held, {names} still change after {MOST_SCANS} scans"


def settles(
    run: Run,
    inputs: tuple[Value, ...],
    state: tuple[Value, ...],
    now: Ns,
    slots: Sequence[Slot],
    free_running: Collection[str] = (),
) -> Finding | None:
    """Iterate a program with inputs and time held.

    Args:
        run: one scan, as in `Executable`.
        inputs: the held input image.
        state: the state to begin with.
        now: the held instant.
        slots: what the state consists of, as in `Executable`.
        free_running: names that may change for ever (a heartbeat).

    Returns:
        None if it comes to rest, else what does not.
    """
    kept = [i for i, slot in enumerate(slots) if slot.name not in free_running]
    key = _key(state, kept)
    seen = {key: 0}
    states = [key]
    for scan in range(1, MOST_SCANS + 1):
        state, _ = run(inputs, state, now)
        key = _key(state, kept)
        if key == states[-1]:
            return None
        if key in seen:
            return Finding(now, scan - seen[key], _changing(states[seen[key] :], slots, kept))
        seen[key] = scan
        states.append(key)
    return Finding(now, 0, _changing(states[-MOST_SCANS // 2 :], slots, kept))


def _key(state: tuple[Value, ...], kept: Sequence[int]) -> tuple[object, ...]:
    """Give the state so that equal means the same bits (0.0 and -0.0 differ, a NaN is itself)."""
    return tuple(value.hex() if isinstance(value := state[i], float) else value for i in kept)


def _changing(states: Sequence[tuple[object, ...]], slots: Sequence[Slot], kept: Sequence[int]) -> tuple[str, ...]:
    moving = [slots[kept[i]] for i, values in enumerate(zip(*states, strict=True)) if len(set(values)) > 1]
    return tuple(slot.name for slot in sorted(moving, key=lambda slot: not slot.shown))
