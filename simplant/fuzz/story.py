"""A story: a few words and at most eight slots, from which decode.py makes a whole scenario.

Hypothesis draws one in draw.py; bulk runs take them by seed and number, from here. Nothing here knows a machine but
for three sizes. Rule: 0 everywhere is the simplest story: nothing happens, nothing deviates.
"""

from dataclasses import dataclass
from typing import Final

from simplant.chance import below, stream

SLOTS: Final = 8
"""The most things that happen in one story."""
MOST_NOISE: Final = 2**16
PHASES: Final = 10_000
"""Microseconds between two instants of the grid: how far all slots may be shifted against it."""
CUT, ONE, NONE = 0x30, 0x50, 0xA0
"""From these first bytes of the swarm mask on, a story has one cut of power, one fault, and none, at most."""
BYTES: Final = 8
"""Four for the swarm mask, four for the durations (half a byte for each slot)."""


@dataclass(frozen=True, slots=True)
class Story:
    """One story.

    Args:
        noise: 0 = every parameter nominal; else the seed of the run and of the parameters within tolerance.
        play: which way of play it begins with; 0 = none, the machine just has power.
        phase: shift of all slots against the grid of 10 ms, us.
        mask: swarm mask, 32 bits: how many faults may happen (`most_faults`), and a set bit leaves out a kind of them.
        spans: for each slot which duration, 0 = the usual one, to 15.
        slots: (what, when): which of the machine's whats, 0 = nothing, and at which instant of the grid.
    """

    noise: int = 0
    play: int = 0
    phase: int = 0
    mask: int = 0
    spans: tuple[int, ...] = (0,) * SLOTS
    slots: tuple[tuple[int, int], ...] = ()


def story_by_seed(seed: int, number: int, whats: int, plays: int, instants: int) -> Story:
    """Give the story of a number in a bulk run: evenly spread, without hypothesis, the same for ever.

    Args:
        seed: of the bulk run.
        number: which story, from 0.
        whats: how many things can happen on the machine.
        plays: how many ways of play it has.
        instants: how many instants the grid has.
    """
    base = stream(seed, f"story {number}")
    head = (MOST_NOISE, plays, PHASES, 256**BYTES)
    noise, play, phase, words = (below(base, k, count) for k, count in enumerate(head))
    used = 1 + below(base, 4 + 2 * SLOTS, SLOTS)  # few things leave the play alone, many meet in odd ways
    slots = ((below(base, 4 + 2 * n, whats + 1), below(base, 5 + 2 * n, instants)) for n in range(used))
    return Story(noise, play, phase, *words_of(words.to_bytes(BYTES, "big")), tuple(slots))


def words_of(given: bytes) -> tuple[int, tuple[int, ...]]:
    """Split the bytes of a story: the mask, and half a byte for the duration of each slot."""
    spans = tuple(half for byte in given[4:] for half in (byte >> 4, byte & 15))
    return int.from_bytes(given[:4], "big"), spans


def most_faults(mask: int) -> int:
    """Say how many faults may happen at most; what would be one more is an act.

    Most rules are demanded without faults or with a single one, so most stories have no more.
    """
    first = mask >> 24
    return 0 if first >= NONE else 1 if first >= CUT else SLOTS


def is_cut(mask: int) -> bool:
    """Say whether the one fault that may happen is a cut of power."""
    return CUT <= mask >> 24 < ONE
