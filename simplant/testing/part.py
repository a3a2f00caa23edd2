"""One suite over any part: does it keep the contract of `simplant.part.Part`?

What a particular part should do is its own test's affair. Rule: a part is driven as the world
drives it (plant/world.py), with inputs, actions and faults that are the same in every run.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from simplant.curves import Curve, Line, Steady, followed
from simplant.errors import PlantError
from simplant.part import Part, Signal
from simplant.testing.dice import Dice
from simplant.timebase import Ns, ms, seconds, show, to_seconds, us

Make = Callable[[Mapping[str, float]], Part]
"""Builds a part with some parameters given; for a class the kit makes this itself."""

_PAUSES: Final = (us(1), ms(1), ms(7), ms(20), ms(300), seconds(2), seconds(30))
_NUMBERS: Final = (0.0, 1.0, 5.0, 12.0, 24.0, 48.0)
_STEPS: Final = (0.0, 1.0, -10.0, 10.0, -65.0, 65.0)
"""How far from its first level an input curve goes."""
_RUNS: Final = (ms(50), seconds(1), seconds(10))
_MOST_DUES: Final = 400
"""Instants by itself within one pause; a part with more is left until the next."""


def check_part(
    part: type[Part] | Make, *, values: Mapping[str, Sequence[Signal]] | None = None, steps: int = 200, seed: int = 1
) -> None:
    """Drive a part through a few hundred changes and hold it against the contract.

    Checked: called twice at one instant it says nothing the second time; `next_due` is a whole number of nanoseconds
    later than now; only declared terminals speak, each with one type, and only through `emit`; a change of what stands
    in `deaf_to` changes nothing it says; an unknown action is refused; each failure mode can come and go; each
    parameter works at both ends of its tolerance, and at its bounds is taken or refused with a `PlantError`; the same
    history gives the same outputs, also if the part is woken in between for nothing.

    Args:
        part: the class, or a function from parameters to a part.
        values: input terminal -> values to choose from (for a curve: the levels it runs to); by default levels flip,
            counts count up, numbers are common voltages and curves run to and fro without a jump.
        steps: changes from outside in one story.
        seed: of the story.

    Raises:
        PlantError: the first breach, with the instant, inputs and faults that show it.
    """
    make: Make = (lambda given: part("part", given)) if isinstance(part, type) else part
    given = dict(values or {})
    _check_declared(make({}))
    told = _Drive(make({}), given, seed).story(steps)
    again = _Drive(make({}), given, seed).story(steps)
    _same(make({}), told, again, "the same history gives other outputs")
    woken = _Drive(make({}), given, seed, wake=True).story(steps)
    _same(make({}), told, woken, "being woken for nothing changes what it says")
    deaf = _Drive(make({}), given, seed, deaf=True).story(steps)
    _same(make({}), told, deaf, "a change that it says it is deaf to changes what it says")
    for mode in make({}).FAILURES:
        _Drive(make({}), given, seed).fault(mode.kind, 1.0 if mode.value is None else mode.value)
    _check_parameters(make, given, seed)


def _check_declared(part: Part) -> None:
    kinds = [mode.kind for mode in part.FAILURES]
    _demand(part, len(set(kinds)) == len(kinds), f"two failure modes share a name: {', '.join(kinds)}")
    for name in (*part.inputs, *part.outputs):
        _demand(part, name.isidentifier(), f"{name!r} is no name for a terminal")
    part.begin(Ns(0))
    try:
        part.act("no such action", None, Ns(0))
    except PlantError:
        return
    raise PlantError(f"{_who(part)}: it takes an action that it does not declare")


def _check_parameters(make: Make, values: Mapping[str, Sequence[Signal]], seed: int) -> None:
    nominal = make({})
    for name, parameter in nominal.PARAMETERS.items():
        for side in (-1, 1):
            value = nominal.p[name] * (1 + side * parameter.tolerance)
            inside = parameter.least <= value <= parameter.most
            _demand(nominal, inside, f"the tolerance of {name} reaches beyond its bounds", f"{value:g}")
            _Drive(make({name: value}), values, seed).story(12)
        for value in (parameter.least, parameter.most):
            if abs(value) != float("inf"):
                _check_bound(make, nominal, name, value)


def _check_bound(make: Make, nominal: Part, name: str, value: float) -> None:
    try:
        make({name: value}).begin(Ns(0))
    except PlantError:
        return  # it does not go together with the other parameters, and says so
    except Exception as error:
        raise PlantError(
            f"{_who(nominal)}: with {name} = {value:g} it raised {type(error).__name__}: {error}"
        ) from error


def _demand(part: Part, holds: bool, what: str, *shown: object) -> None:  # noqa: FBT001 - the condition itself
    if not holds:
        seen = f"seen with {', '.join(str(each) for each in shown)}" if shown else ""
        raise PlantError(f"{_who(part)}: {what}", seen)


def _who(part: Part) -> str:
    return f"part {part.name!r} ({type(part).__name__})"


def _same(part: Part, one: "list[Said]", other: "list[Said]", what: str) -> None:
    if one == other:
        return
    here = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    sides = [told[here] if here < len(told) else "nothing more" for told in (one, other)]
    raise PlantError(f"{_who(part)}: {what}", f"first {sides[0]}, then {sides[1]}")


Said = tuple[Ns, str, Signal]


class _Drive:
    """One part in one story.

    With `wake` it is moved at instants of no concern to it, too; with `deaf` not for changes that it is deaf to.
    """

    def __init__(
        self, part: Part, values: Mapping[str, Sequence[Signal]], seed: int, *, wake: bool = False, deaf: bool = False
    ) -> None:
        self.part, self.values, self.wake, self.deaf = part, values, wake, deaf
        self.dice: Final = Dice(seed, "part")
        self.now = Ns(0)
        self.said: list[Said] = []
        self.first: Final = dict(part.inputs)
        self.shown: Final = dict(part.outputs)
        self.types: Final = {name: _kind(value) for name, value in part.outputs.items()}
        part.seed = seed
        part.begin(self.now)
        self.move()

    def story(self, steps: int) -> list[Said]:
        for _ in range(steps):
            self.run(self.dice.pick(_PAUSES))
            if self.disturb() or not self.deaf:
                self.move()
        return self.said

    def fault(self, kind: str, severity: float) -> None:
        """Let one fault come and go twice."""
        for _ in range(2):
            self.part.faults[kind] = severity
            self.move()
            self.story(12)
            self.part.faults.pop(kind, None)
            self.move()
            self.story(6)

    def run(self, pause: Ns) -> None:
        end = Ns(self.now + pause)
        for _ in range(_MOST_DUES):
            due = self.part.next_due()
            if due >= end:
                break
            if self.wake:
                self.look_in(Ns(self.now + (due - self.now) // 2))
            self.now = due
            self.move()
        else:
            end = Ns(self.now + 1)
        if self.wake:
            self.look_in(Ns(self.now + (end - self.now) // 2))
        self.now = end

    def look_in(self, at: Ns) -> None:
        if at > self.now:
            self.now = at
            self.move()

    def disturb(self) -> bool:
        """Change something; say whether the part hears it."""
        part, dice = self.part, self.dice
        choice = dice.chance()
        if choice < 0.15 and part.FAILURES:
            mode = dice.pick(part.FAILURES)
            if mode.kind in part.faults:
                del part.faults[mode.kind]
            else:
                part.faults[mode.kind] = 1.0 if mode.value is None else mode.value
        elif (choice < 0.4 or not part.inputs) and part.ACTIONS:
            action, value = dice.pick(list(part.ACTIONS)), dice.pick((None, 1, 2.0))
            self.act(action, value)
        elif part.inputs:
            name = dice.pick(list(part.inputs))
            part.inputs[name] = self.value(name)
            return name not in part.deaf_to
        return True

    def act(self, action: str, value: float | None) -> None:
        before = dict(self.part.outputs)
        try:
            self.part.act(action, value, self.now)
        except PlantError:
            _demand(self.part, self.part.outputs == before, f"it refuses {action!r} {value!r} and yet changes", self)

    def value(self, name: str) -> Signal:
        value, dice = self.part.inputs[name], self.dice
        if name in self.values and not isinstance(value, Curve):
            return dice.pick(self.values[name])
        match value:
            case bool():
                return not value
            case int():
                return value + dice.pick((1, 1, 2))
            case float():
                return dice.pick(_NUMBERS)
            case Curve():
                return self.curve(name, value)
            case _:
                return value

    def curve(self, name: str, curve: Curve) -> Curve:
        """Go on without a jump to another level, and stay there."""
        first = self.first[name]
        assert isinstance(first, Curve), "a terminal keeps its type"
        around = [first.at(Ns(0)) + step for step in _STEPS]
        at, level, time = curve.at(self.now), self.dice.pick(self.values.get(name) or around), self.dice.pick(_RUNS)
        assert isinstance(level, int | float), "levels of a curve are numbers"
        if level == at:
            return Steady(at)
        run = Line(self.now, at, (level - at) / to_seconds(time))
        return followed(run, self.now, Ns(self.now + time), Steady(level))

    def move(self) -> None:
        self.said += [(self.now, name, value) for name, value in self.step()]
        due = self.part.next_due()
        more = self.step()
        _demand(self.part, not more, f"called again at the same instant it says {more}", self)
        _demand(self.part, self.part.next_due() == due, "called again at the same instant it is due otherwise", self)

    def step(self) -> list[tuple[str, Signal]]:
        part = self.part
        try:
            part.advance(self.now)
            part.command(self.now)
            due = part.next_due()
        except Exception as error:
            raise PlantError(f"{_who(part)}: it raised {type(error).__name__}: {error}", f"seen with {self}") from error
        said, part.changed = part.changed, []
        self.shown.update(said)
        _demand(part, self.shown == part.outputs, "an output changed without `emit`", self)
        for name, value in said:
            right = self.types.get(name) == _kind(value)
            _demand(part, right, f"{name} says {value!r}, which is no {self.types.get(name)}", self)
        whole = isinstance(due, int) and not isinstance(due, bool)
        _demand(part, whole and due > self.now, f"due at {due!r}, not later than now", self)
        return said

    def __str__(self) -> str:
        inputs = ", ".join(f"{name} = {value}" for name, value in self.part.inputs.items())
        return f"t={show(self.now)}, inputs: {inputs or 'none'}, faults: {', '.join(self.part.faults) or 'none'}"


def _kind(signal: Signal) -> str:
    return "curve" if isinstance(signal, Curve) else type(signal).__name__
