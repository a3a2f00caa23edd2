"""What a part of the machine is: terminals, explicit state, and failure modes as data.

The parts themselves are in plant/ (mechanics, balls, people) and wiring/ (points, relays,
supplies); the world that moves them is plant/world.py. Nothing here knows simpy or time units.
Rule: a part changes only in `advance` and `command`, and speaks only through `emit`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Final

from simplant.curves import Curve
from simplant.errors import PlantError, nearest
from simplant.faults import FailureMode
from simplant.timebase import NEVER, Ns

__all__ = ["FailureMode", "Parameter", "Part", "Signal", "Whole", "check_parameter", "evenly", "whole"]

Signal = bool | int | float | str | Curve
"""What a terminal carries: a level, a number, a word, or a curve (a continuous truth over time)."""

_NUMBER: Final = (bool, int, float)  # a tuple: a union would be built anew at each of millions of calls


@dataclass(frozen=True, slots=True)
class Parameter:
    """One number of a part.

    Args:
        default: nominal value in `unit`.
        unit: SI unit, or deg, rpm, V, A, %, "" for a count.
        tolerance: fraction by which a real one may differ either way (0.1 = ten per cent).
        meaning: what it is, in the trade's words.
        least, most: physical bounds; outside them the value is refused.
    """

    default: float
    unit: str
    meaning: str
    tolerance: float = 0.0
    least: float = float("-inf")
    most: float = float("inf")


class Whole(dict[str, float]):
    """All parameters of one part, checked: made once for many runs."""


class Part:
    """Base of all parts: a name, parameters, terminals, active faults.

    A subclass declares `INPUTS` and `OUTPUTS` (terminal -> value before anything is wired),
    `PARAMETERS` and `FAILURES`, sets up its state in `begin`, and overrides:

    * `advance(now)`: bring the state to `now`; do what was due. Called before `command`,
      and only at an instant when the part is due or an input or a fault changed.
    * `command(now)`: obey `self.inputs` and `self.faults` as they now are.
    * `next_due()`: the next instant at which it moves by itself, or `NEVER`.

    Inputs are read from `self.inputs[...]`; they hold the values from before this round. Changes of those named in
    `self.deaf_to` do not call it: it takes them as they are when it next moves.
    """

    INPUTS: ClassVar[Mapping[str, Signal]] = {}
    OUTPUTS: ClassVar[Mapping[str, Signal]] = {}
    PARAMETERS: ClassVar[Mapping[str, Parameter]] = {}
    FAILURES: ClassVar[tuple[FailureMode, ...]] = ()
    ACTIONS: ClassVar[Mapping[str, str]] = {}
    """Stimulus word -> meaning, for parts that people act on (`press`, `open`)."""

    def __init__(self, name: str, parameters: Mapping[str, float] | None = None) -> None:
        """Check the parameters against `PARAMETERS` and set every terminal to its first value."""
        self.name: Final = name
        given = parameters if isinstance(parameters, Whole) else whole(type(self), name, parameters or {})
        self.p: dict[str, float] = dict(given)
        self.inputs: dict[str, Signal] = dict(self.INPUTS)
        self.outputs: dict[str, Signal] = dict(self.OUTPUTS)
        self.faults: dict[str, float] = {}
        self.changed: list[tuple[str, Signal]] = []
        self.deaf_to: frozenset[str] = frozenset()
        self.seed = 0

    @classmethod
    def anywhere(cls, p: Mapping[str, float]) -> Mapping[str, Sequence[float]]:
        """Give where it may stand when a run begins: parameter -> values, from all its parameters; most give none."""
        return {}

    def begin(self, now: Ns) -> None:
        """Set up the state at the first instant (parameters, `seed` and initial inputs are known)."""

    def advance(self, now: Ns) -> None:
        """Bring the state to `now` and do what was due."""

    def command(self, now: Ns) -> None:
        """Obey the inputs and faults as they now are."""

    def next_due(self) -> Ns:
        """Give the next instant at which this part moves by itself (`NEVER` if none)."""
        return NEVER

    def act(self, action: str, value: float | str | None, now: Ns) -> None:
        """Take a stimulus (one of `ACTIONS`); raises `PlantError` if it has none such."""
        raise PlantError(
            f"{self.name!r} ({type(self).__name__}) cannot {action!r}",
            mend=nearest(action, self.ACTIONS),
        )

    def ledger(self) -> list[tuple[str, str, Ns]]:
        """Give what it keeps account of: (what, where it is, since when); empty for most parts."""
        return []

    def emit(self, terminal: str, value: Signal) -> None:
        """Set an output terminal; others see it in the next round of this instant."""
        said = self.outputs[terminal]
        if said is not value and said != value:  # most are the same object: curves need not be compared
            self.outputs[terminal] = value
            self.changed.append((terminal, value))

    def on(self, terminal: str) -> bool:
        """Give a Boolean input."""
        return bool(self.inputs[terminal])

    def number(self, terminal: str) -> float:
        """Give a numeric input (volts, amperes, degrees)."""
        value = self.inputs[terminal]
        if type(value) is float:  # as mostly
            return value
        assert isinstance(value, _NUMBER), f"{self.name}.{terminal} carries {value!r}, not a number"
        return float(value)

    def curve(self, terminal: str) -> Curve:
        """Give an input that carries a curve."""
        value = self.inputs[terminal]
        assert isinstance(value, Curve), f"{self.name}.{terminal} carries {value!r}, not a curve"
        return value


def evenly(low: float, high: float, count: int = 9) -> tuple[float, ...]:
    """Give so many values from least to most, both ends included."""
    return tuple(float(f"{low + (high - low) * k / (count - 1):.6g}") for k in range(count))


def whole(kind: type[Part], name: str, given: Mapping[str, float]) -> Whole:
    """Check the parameters that are given for a part, and add the defaults of the others; raises `PlantError`."""
    for key, value in given.items():
        check_parameter(kind, name, key, value)
    return Whole({key: float(given.get(key, known.default)) for key, known in kind.PARAMETERS.items()})


def check_parameter(kind: type[Part], name: str, key: str, value: float) -> None:
    """Raise `PlantError` if a part has no such parameter or the value is out of its bounds."""
    known = kind.PARAMETERS
    if key not in known:
        raise PlantError(f"part {name!r} ({kind.__name__}) has no parameter {key!r}", mend=nearest(key, known))
    bound = known[key]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise PlantError(f"parameter {name}.{key} is {value!r}", f"it must be a number ({bound.unit or 'count'})")
    if not bound.least <= value <= bound.most:
        raise PlantError(
            f"parameter {name}.{key} = {value:g} {bound.unit}".rstrip(),
            f"it must lie between {bound.least:g} and {bound.most:g}",
        )
