"""A part on its own, driven by a list of stimuli: its outputs as a table of changes.

The world that moves many parts is simplant/plant/world.py; here is the least that moves one.
"""

from collections.abc import Callable, Iterable

from simplant.part import Part, Signal
from simplant.timebase import NEVER, Ns

Stimulus = Callable[[Part, Ns], None]
Change = tuple[int, str, Signal]


def put(**inputs: Signal) -> Stimulus:
    """Set input terminals."""
    return lambda part, now: part.inputs.update(inputs)


def fault(kind: str, value: float = 1.0) -> Stimulus:
    """Begin a fault."""
    return lambda part, now: part.faults.update({kind: value})


def mend(kind: str) -> Stimulus:
    """End a fault."""

    def end(part: Part, now: Ns) -> None:
        del part.faults[kind]

    return end


def do(action: str, value: float | str | None = None) -> Stimulus:
    """Act on the part."""
    return lambda part, now: part.act(action, value, now)


def microseconds(part: Part, stimuli: Iterable[tuple[int, Stimulus]], until: int) -> list[Change]:
    """Begin the part, apply stimuli at their instants and give all changes; times in microseconds."""
    table: list[Change] = []
    waiting = sorted(((at * 1000, stimulus) for at, stimulus in stimuli), key=lambda pair: pair[0])
    born = False
    while True:
        now = Ns(min(waiting[0][0] if waiting else NEVER, part.next_due() if born else 0))
        if now > until * 1000:
            return table
        early = [waiting.pop(0)[1] for _ in range(sum(at == now for at, _ in waiting))]
        if not born:
            part.begin(now)
            born = True
        for stimulus in early:
            stimulus(part, now)
        for _ in range(2):  # moving it twice at one instant must change nothing
            part.advance(now)
            part.command(now)
            assert part.next_due() > now
        table += [(now // 1000, terminal, value) for terminal, value in part.changed]
        part.changed.clear()


def milliseconds(part: Part, stimuli: Iterable[tuple[int, Stimulus]], until: int) -> list[Change]:
    """Do the same with all times in milliseconds; changes must fall on whole ones."""
    table = microseconds(part, [(at * 1000, stimulus) for at, stimulus in stimuli], until * 1000)
    assert all(at % 1000 == 0 for at, _, _ in table)
    return [(at // 1000, terminal, value) for at, terminal, value in table]
