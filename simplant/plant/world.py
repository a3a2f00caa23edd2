"""The world: parts, the wires between them, and the one queue of what happens next (simpy).

Parts are explicit state (simplant/part.py); nothing moves unless it is due or something it
reads changed. The rig says which instant comes next. Rule: within an instant all parts move
on the values from before, in declared order, round after round, until nothing changes.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import simpy

from simplant.chance import below, stream
from simplant.errors import PlantError, nearest
from simplant.part import Part, Signal
from simplant.timebase import NEVER, Ns, show

_EMPTY: Final = float("inf")

MOST_ROUNDS: Final = 100
"""Rounds within one instant after which the plant is said not to settle."""


@dataclass(frozen=True, slots=True)
class Wire:
    """One connection: what an output terminal says, an input terminal hears."""

    source: str
    part: str
    terminal: str


class Sum(Part):
    """Adds what its terminals carry: a supply's load from several consumers (amperes)."""

    OUTPUTS: Final = {"total": 0.0}  # type: ignore[misc]

    def __init__(self, name: str, terms: int) -> None:
        """Make a sum of `terms` numbers on the terminals `term_0`, `term_1` ..."""
        super().__init__(name)
        self.inputs = {f"term_{n}": 0.0 for n in range(terms)}

    def command(self, now: Ns) -> None:
        """Add up."""
        self.emit("total", float(sum(self.number(t) for t in self.inputs)))


@dataclass(frozen=True, slots=True)
class Network:
    """All connections of a machine, by number: made once, used by every world of that machine.

    Attributes:
        fans: for each part, its terminals: the signal's name ("" if nobody outside listens) and who hears it.
    """

    fans: tuple[Mapping[str, tuple[str, tuple[tuple[int, str], ...]]], ...]


def network(parts: Mapping[str, Part], wires: Iterable[Wire], listened: Collection[str] | None = None) -> Network:
    """Check the wires and number them.

    Args:
        parts: the parts by name, in declared order.
        wires: the connections.
        listened: signals (`part.terminal`) whose changes are wanted outside; None = all.

    Raises:
        PlantError: a wire names a part or terminal that is not there, or an input has two sources.
    """
    index = {name: n for n, name in enumerate(parts)}
    taken: set[tuple[str, str]] = set()
    heard: dict[str, list[tuple[int, str]]] = {}
    for wire in wires:
        _check(wire, parts)
        if (wire.part, wire.terminal) in taken:
            raise PlantError(f"{wire.part}.{wire.terminal} has two sources, one of them {wire.source}")
        taken.add((wire.part, wire.terminal))
        heard.setdefault(wire.source, []).append((index[wire.part], wire.terminal))

    def fan(signal: str) -> tuple[str, tuple[tuple[int, str], ...]]:
        wanted = listened is None or signal in listened
        return signal if wanted else "", tuple(heard.get(signal, ()))

    return Network(tuple({t: fan(f"{part.name}.{t}") for t in part.outputs} for part in parts.values()))


def _check(wire: Wire, parts: Mapping[str, Part]) -> None:
    source, _, terminal = wire.source.partition(".")
    mine = f"wire {wire.source} -> {wire.part}.{wire.terminal}"
    for name in (source, wire.part):
        if name not in parts:
            raise PlantError(f"{mine}: there is no part {name!r}", mend=nearest(name, parts))
    if terminal not in parts[source].outputs:
        raise PlantError(
            f"{mine}: {source!r} has no output {terminal!r}", mend=nearest(terminal, parts[source].outputs)
        )
    if wire.terminal not in parts[wire.part].inputs:
        raise PlantError(
            f"{mine}: {wire.part!r} has no input {wire.terminal!r}",
            mend=nearest(wire.terminal, parts[wire.part].inputs),
        )


class World:
    """All parts of a machine on one simpy environment.

    Args:
        parts: the parts by name, in declared order: the order of ties.
        wires: the connections, or the network made of them beforehand.
    """

    def __init__(self, parts: Mapping[str, Part], wires: Iterable[Wire] | Network) -> None:
        """Lay out the parts; raises `PlantError` as `network` does."""
        self.parts: Final = dict(parts)
        self.env: Final = simpy.Environment(initial_time=0)
        self.changes: list[tuple[str, Signal]] = []
        """What changed since this was last cleared: (`part.terminal`, value)."""
        self.dirty: set[int] = set()
        """Numbers of the parts that must move in the next round."""
        self.due = NEVER
        """When a part next moves by itself."""
        self.moves = 0
        self.ties = 0
        """A seed: parts that move at one instant do so one after the other, in an order drawn with it, each seeing
        what those before it said. 0 = all of a round at once."""
        self._order: Final[Sequence[Part]] = list(self.parts.values())
        self._index: Final = {name: n for n, name in enumerate(self.parts)}
        self._due: list[int] = [NEVER] * len(self._order)
        self._arrived: Final = _arrival(self._due, self.dirty)
        self._fans: Final = (wires if isinstance(wires, Network) else network(parts, wires)).fans

    def begin(self) -> None:
        """Carry every terminal's first value over the wires, let every part set up, and settle instant 0."""
        for index, part in enumerate(self._order):
            self._carry(index, list(part.outputs.items()))
        for part in self._order:
            part.begin(Ns(0))
        self.dirty.update(range(len(self._order)))
        self.changes.clear()
        self.settle(Ns(0))

    def next_due(self) -> Ns:
        """Give the next instant at which anything in the plant moves by itself."""
        return self.due

    def advance(self, now: Ns) -> None:
        """Take from the queue all that is due up to `now`; the parts move when `settle` is called."""
        env = self.env
        while (due := env.peek()) <= now:
            env.step()
        self.due = NEVER if due == _EMPTY else Ns(int(due))

    def feed(self, part: str, terminal: str, value: Signal) -> None:
        """Set an input terminal from outside the plant (a controller's output)."""
        number = self._index[part]
        inputs = self._order[number].inputs
        if inputs[terminal] != value:
            inputs[terminal] = value
            self.dirty.add(number)

    def touch(self, part: str) -> None:
        """Let a part look again at its faults and parameters in the next round."""
        self.dirty.add(self._index[part])

    def settle(self, now: Ns) -> None:
        """Move parts in rounds until nothing changes: all dirty ones move, then what they said is carried.

        Raises:
            PlantError: still changing after 100 rounds; the parts are named.
        """
        dirty, order, planned = self.dirty, self._order, self._due
        for turn in range(MOST_ROUNDS * (len(order) if self.ties else 1)):
            if not dirty:
                return
            batch = [dirty.pop()] if len(dirty) == 1 else self._batch(now, turn)
            self.moves += len(batch)
            for index in batch:
                part = order[index]
                part.advance(now)
                part.command(now)
            for index in batch:
                part = order[index]
                if part.changed:
                    self._carry(index, part.changed)
                    part.changed.clear()
                due = part.next_due()
                if due != planned[index]:
                    self._schedule(index, due, now)
        names = ", ".join(sorted(self._order[n].name for n in dirty))
        raise PlantError(
            f"the plant does not settle at t={show(now)}",
            f"after {MOST_ROUNDS} rounds within one instant these parts still change: {names}",
            "look for a loop of parts without any delay between them",
        )

    def _batch(self, now: Ns, turn: int) -> list[int]:
        """Take the parts that move next: all that must, or with shuffled ties one of them."""
        batch = sorted(self.dirty)
        if self.ties:
            batch = [batch[below(stream(self.ties, "parts of one instant"), now + turn, len(batch))]]
        self.dirty.difference_update(batch)
        return batch

    def _carry(self, index: int, changed: list[tuple[str, Signal]]) -> None:
        fan, order = self._fans[index], self._order
        for terminal, value in changed:
            name, heard = fan[terminal]
            if name:
                self.changes.append((name, value))
            for number, their_terminal in heard:
                part = order[number]
                part.inputs[their_terminal] = value
                if their_terminal not in part.deaf_to:
                    self.dirty.add(number)

    def _schedule(self, index: int, due: Ns, now: Ns) -> None:
        """Plan an event for a part; when it comes, it counts only if the part is still due then."""
        self._due[index] = due
        if due == NEVER:
            return
        if not isinstance(due, int) or due <= now:
            raise PlantError(
                f"part {self._order[index].name!r} is due at {due!r}, not later than now ({now})",
                "a part must be due at a whole number of nanoseconds after the present instant",
                "check its next_due()",
            )
        env = self.env
        event = simpy.Timeout(env, due - env._now, index)  # `env.now` would cost a property call per event
        event.callbacks.append(self._arrived)
        if due < self.due:
            self.due = due


def _arrival(due: list[int], dirty: set[int]) -> Callable[[simpy.Event], None]:
    """Give what notes that a part's time has come. It knows no world, so that one that is over goes at once."""

    def arrived(event: simpy.Event) -> None:
        index: int = event._value  # `event.value` checks for what cannot be here
        if due[index] == event.env._now:
            due[index] = NEVER
            dirty.add(index)

    return arrived
