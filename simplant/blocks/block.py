"""What a function block is to whoever runs it: named fields, one pure step, one due instant.

The blocks themselves are timers.py, counters.py, edges.py and bistables.py; the compiler and
the walker are logic/. Rule: a block's whole memory is its state tuple, and all it knows of
time is `now`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from simplant.timebase import NEVER, Ns
from simplant.values import ElementaryType, Value

State = tuple[Value, ...]
"""The stored values of one instance; a NamedTuple of the block's own."""


@dataclass(frozen=True, slots=True)
class Field:
    """One input, output or internal value of a block.

    Args:
        name: the standard's spelling (`IN`, `CV`); internals in small letters, but for the standard's `M`.
        type: its elementary type.
        initial: value after a cold restart.
    """

    name: str
    type: ElementaryType
    initial: Value


@dataclass(frozen=True, slots=True)
class BlockType:
    """One standard function block, or one of the user's own.

    Args:
        name: the keyword, for instance `TON`.
        inputs: in the standard's order.
        outputs: what a program may read.
        stored: the whole state between calls: the inputs first, in order and as last given, then stored outputs and
            internals. ET is an output but not stored.
        state: the NamedTuple class of the state, with the names of `stored`.
        step: (state with the new inputs already put in, now) -> state; pure.
        due: (state after the step, now) -> first later instant at which time alone could make the same call come out
            differently; `NEVER` if none, and then ET stands still too. (A call that changed the state, such as one
            that saw an edge, may come out differently the very next time.)
        elapsed: (state, now) -> ET, for timers; else None.
        edge: it remembers its input from call to call, so a call that is skipped loses or invents an edge.
        memory: the stored fields whose old value the step looks at, besides inputs not given anew; None = in doubt,
            all but the inputs.
    """

    name: str
    inputs: tuple[Field, ...]
    outputs: tuple[Field, ...]
    stored: tuple[Field, ...]
    state: Callable[..., State]
    step: Callable[[Any, Ns], State]  # Any: each step takes its own state class only
    due: Callable[[Any, Ns], Ns]
    elapsed: Callable[[Any, Ns], Ns] | None = None
    edge: bool = False
    memory: tuple[str, ...] | None = None

    @property
    def remembers(self) -> tuple[str, ...]:
        """The fields that carry over from call to call."""
        if self.memory is not None:
            return self.memory
        return tuple(field.name for field in self.stored[len(self.inputs) :])

    @property
    def initial(self) -> State:
        """The state after a cold restart."""
        return self.state(*(field.initial for field in self.stored))

    def call(self, state: State, inputs: tuple[Value, ...], now: Ns) -> State:
        """Put the inputs into the state and step once."""
        return self.step(self.state(*inputs, *state[len(self.inputs) :]), now)

    def read(self, state: State, now: Ns) -> tuple[Value, ...]:
        """Give the outputs in order, ET as of `now`."""
        known = {field.name: value for field, value in zip(self.stored, state, strict=True)}
        if self.elapsed is not None:
            known["ET"] = self.elapsed(state, now)
        return tuple(known[field.name] for field in self.outputs)


def fields(**types: ElementaryType) -> tuple[Field, ...]:
    """Name several fields at once, each with the default of its type: `fields(IN=BOOL, PT=TIME)`."""
    return tuple(Field(name, type_, type_.default) for name, type_ in types.items())


def never_due(_state: object, _now: Ns) -> Ns:
    """Say that time alone changes nothing: the `due` of every block that is no timer."""
    return NEVER
