"""What every claim has: a name, a text for people, the faults under which it must hold, a place.

The claims themselves are in files of their own (always, until, holds, order, amounts, groups,
ready). Rule: a claim is checked where the author wrote it, and never changes afterwards.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from typing import Final, Literal, Self, TypedDict, get_args

from simplant.errors import Place, RuleError, nearest
from simplant.expr import Binary, Const, Elapsed, Expr, Op, Ref, StepActive, TimerElapsed, Truth, Unary
from simplant.place import written_at
from simplant.rules.monitor import Monitor
from simplant.timebase import Ns, show
from simplant.values import BOOL

Faults = Literal["none", "single", "pair"]
"""Under how many faults at a time a rule must hold: none, any single one, any pair."""

TRUE: Final = Const(True, BOOL)  # noqa: FBT003 - a signal, not a flag
"""Rises at the start of the run: the trigger of a claim that has no other."""


class Label(TypedDict, total=False):
    """Keywords that every builder takes.

    `name` (default: the text), `text` (default: made from the expressions), `faults` (default "none"),
    `scale` and `unit` of a margin in physical terms (default: the level compared with, no unit).
    """

    name: str
    text: str
    faults: Faults
    scale: float
    unit: str


class Words(TypedDict):
    """A label with nothing left out, and the author's line."""

    name: str
    text: str
    faults: Faults
    scale: float | None
    unit: str
    place: Place | None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Claim(ABC):
    """A demand on a run; `monitor()` makes what watches over it.

    Args:
        name: unique in a book of rules.
        text: what is demanded, for people.
        faults: under which faults it must hold.
        place: the author's line.
        scale: what counts as 1 in a physical margin; None: the level compared with.
        unit: unit of a physical margin.
    """

    name: str
    text: str
    faults: Faults = "none"
    place: Place | None = None
    scale: float | None = None
    unit: str = ""

    @abstractmethod
    def propositions(self) -> tuple[Expr, ...]:
        """Give the Boolean expressions whose values `Monitor.update` takes, in that order."""

    @abstractmethod
    def monitor(self) -> Monitor:
        """Make a fresh monitor for one run."""

    def looked_at(self) -> tuple[Expr, ...]:
        """Give expressions that are evaluated only when a proposition changes (sampled at a trigger)."""
        return ()

    def measured(self) -> tuple[str, ...]:
        """Give the numeric signals of its margin: it is updated whenever one takes another value or curve."""
        return ()

    def names(self) -> tuple[str, ...]:
        """Give the names of all tags, charts and truths it speaks of, each once, in order."""
        return names_in(*self.propositions(), *self.looked_at())

    def called(self, name: str) -> Self:
        """Give the same claim under another name."""
        return replace(self, name=name)


def names_in(*expressions: Expr) -> tuple[str, ...]:
    """Give the names that expressions speak of, each once, in order of first mention."""
    found: dict[str, None] = {}
    for node in (node for each in expressions for node in each.walk()):
        match node:
            case Ref() | Truth():
                found[node.name] = None
            case StepActive():
                found[node.chart] = None
            case _:
                pass
    return tuple(found)


def fail(what: str, why: str = "", mend: str = "") -> RuleError:
    """Make an error at the author's line."""
    return RuleError(what, why, mend, written_at())


def described(text: str, label: Label) -> Words:
    """Complete a label; raises `RuleError` on an unknown keyword or fault class."""
    for key in label:
        if key not in Label.__annotations__:
            raise fail(f"a rule has no {key!r}", mend=nearest(key, Label.__annotations__))
    faults, scale, text = label.get("faults", "none"), label.get("scale"), label.get("text", text)
    if faults not in get_args(Faults):
        raise fail(f"faults={faults!r} is not a class of faults", mend='write "none", "single" or "pair"')
    if scale is not None and not scale > 0:
        raise fail(f"scale={scale!r} measures nothing", mend="give a number above 0")
    name = label.get("name", text)
    return Words(name=name, text=text, faults=faults, scale=scale, unit=label.get("unit", ""), place=written_at())


def boolean(what: str, value: object) -> Expr:
    """Check that an argument is a Boolean expression without a running time; raises `RuleError`."""
    if isinstance(value, Expr) and value.type is BOOL:
        running = next((node for node in value.walk() if isinstance(node, Elapsed | TimerElapsed)), None)
        if running is None:
            return value
        why = f"{running} runs by itself, so no change of a signal tells when to look"
        raise fail(f"{what} looks at a running time", why, "demand at_most_for, holds_for or within instead")
    found = f"'{value}' is {value.type.name}" if isinstance(value, Expr) else f"it is {value!r}"
    raise fail(f"{what} must be true or false", found, "give a BOOL tag, a step, or a comparison such as speed > 40.0")


def span(what: str, value: object, least: int = 0) -> Ns:
    """Check that an argument is a duration of at least so many nanoseconds; raises `RuleError`."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise fail(f"{what} must be a duration but is {value!r}", mend='write ms(250) or seconds("1.5")')
    if value < least:
        raise fail(f"{what} is {show(value)}", "it must not be negative" if least == 0 else "it must be above 0")
    return Ns(value)


def interval(between: tuple[Ns, Ns]) -> tuple[Ns, Ns]:
    """Check a closed interval of durations; raises `RuleError`."""
    if not isinstance(between, tuple) or len(between) != 2:
        raise fail(f"between={between!r} is not an interval", mend='write between=(ms(20), seconds("1.5"))')
    first, last = span("between[0]", between[0]), span("between[1]", between[1])
    if first > last:
        raise fail(f"between=({show(first)}, {show(last)}) ends before it begins", mend="swap the two")
    return first, last


def implication(claim: Expr) -> tuple[Expr, Expr] | None:
    """Take `A.implies(B)` apart into A and B; None for anything else."""
    match claim:
        case Binary(op=Op.OR, left=Unary(op=Op.NOT, operand=condition), right=conclusion) if claim.type is BOOL:
            return condition, conclusion
        case _:
            return None


def said(claim: Expr) -> str:
    """Give a proposition for people: `A implies B` as it was written."""
    parts = implication(claim)
    return f"{parts[0]} implies {said(parts[1])}" if parts else str(claim)


def triggered(after: Expr | None) -> tuple[Expr, str]:
    """Give the trigger of a claim (the start, if there is none) and its words."""
    if after is None:
        return TRUE, "the start"
    return boolean("after", after), str(after)
