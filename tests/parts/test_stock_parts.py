"""Every stock part keeps the contract of parts, and the kit that says so finds each breach of it."""

from typing import ClassVar

import pytest

from simplant.curves import Steady
from simplant.errors import PlantError
from simplant.part import FailureMode, Parameter, Part
from simplant.rig.machine import STOCK
from simplant.testing import check_part
from simplant.timebase import Ns, ms


@pytest.mark.parametrize("name", STOCK)
@pytest.mark.parametrize("seed", [1, 2])
def test_stock_parts_keep_the_contract(name, seed):
    """Whatever inputs, people and faults do to it, each part of the catalogue behaves as a part."""
    check_part(STOCK[name], seed=seed)


class Blinker(Part):
    """A sound part: blinks every 100 ms while `on`, not while `dark`."""

    INPUTS: ClassVar = {"on": False}
    OUTPUTS: ClassVar = {"lit": False, "blinks": 0}
    PARAMETERS: ClassVar = {"half": Parameter(0.1, "s", "half a period", 0.1, 0.01, 10)}
    FAILURES = (FailureMode("dark", "burnt out", "stays dark"),)
    ACTIONS: ClassVar = {"tap": "lit at once"}

    def begin(self, now):
        self.due, self.light, self.count = Ns(2**62), False, 0

    def advance(self, now):
        if now >= self.due:
            self.light, self.count = not self.light, self.count + 1
            self.due = Ns(now + int(self.p["half"] * 1e9))

    def command(self, now):
        if not self.on("on"):
            self.light, self.due = False, Ns(2**62)
        elif self.due == 2**62:
            self.due = Ns(now + int(self.p["half"] * 1e9))
        self.emit("lit", self.light and "dark" not in self.faults)
        self.emit("blinks", self.count)

    def next_due(self):
        return self.due

    def act(self, action, value, now):
        if action not in self.ACTIONS:
            super().act(action, value, now)
        self.light = True


def test_a_sound_part_passes():
    """A part that keeps the contract is not faulted."""
    check_part(Blinker)
    check_part(lambda given: Blinker("mine", given), values={"on": (False, True, True)})


class Counting(Blinker):
    def command(self, now):
        super().command(now)
        self.count += 1


class Overdue(Blinker):
    def next_due(self):
        return Ns(0)


class FloatDue(Blinker):
    def next_due(self):
        return self.due * 1.0


class Dumb(Blinker):
    def command(self, now):
        super().command(now)
        self.outputs["blinks"] = self.count + 1


class Fickle(Blinker):
    def command(self, now):
        super().command(now)
        self.emit("blinks", float(self.count + 0.5))


class Undeclared(Blinker):
    def command(self, now):
        super().command(now)
        self.emit("bright", self.light)


class Shared(Blinker):
    told: ClassVar = []

    def advance(self, now):
        if now >= self.due:
            self.told.append(now)
        super().advance(now)
        self.count = len(self.told)


class Restless(Blinker):
    looked = 0

    def advance(self, now):
        super().advance(now)
        if now > self.looked + ms(1):
            self.looked = now
            self.count += 1


class Brittle(Blinker):
    def command(self, now):
        super().command(now)
        if "dark" in self.faults:
            raise ValueError("it is dark")


class Loose(Blinker):
    PARAMETERS: ClassVar = {"half": Parameter(0.1, "s", "half a period", 0.5, 0.08, 10)}


class Willing(Blinker):
    def act(self, action, value, now):
        self.light = True


class Doubled(Blinker):
    FAILURES = Blinker.FAILURES * 2


class Bounded(Blinker):
    PARAMETERS: ClassVar = {"half": Parameter(0.1, "s", "half a period", 0.1, 0.0, 10)}

    def begin(self, now):
        super().begin(now)
        self.rate = 1 / self.p["half"]


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (Counting, "part 'part' (Counting): called again at the same instant it says [('blinks', 1)]"),
        (Overdue, "part 'part' (Overdue): due at 0, not later than now"),
        (FloatDue, "part 'part' (FloatDue): due at 4.611686018427388e+18, not later than now"),
        (Dumb, "part 'part' (Dumb): an output changed without `emit`"),
        (Fickle, "part 'part' (Fickle): blinks says 0.5, which is no int"),
        (Undeclared, "part 'part' (Undeclared): it raised KeyError: 'bright'"),
        (Shared, "part 'part' (Shared): the same history gives other outputs"),
        (Restless, "part 'part' (Restless): being woken for nothing changes what it says"),
        (Brittle, "part 'part' (Brittle): it raised ValueError: it is dark"),
        (Loose, "part 'part' (Loose): the tolerance of half reaches beyond its bounds. Seen with 0.05"),
        (Willing, "part 'part' (Willing): it takes an action that it does not declare"),
        (Doubled, "part 'part' (Doubled): two failure modes share a name: dark, dark"),
        (Bounded, "part 'part' (Bounded): with half = 0 it raised ZeroDivisionError: float division by zero"),
    ],
)
def test_each_breach_is_found(part, told):
    """A part that breaks one clause of the contract is refused, and the clause is named."""
    with pytest.raises(PlantError) as caught:
        check_part(part)
    assert str(caught.value).startswith(told)


class Tilt(Part):
    """Says whether an angle is above 100."""

    INPUTS: ClassVar = {"angle": Steady(0.0)}
    OUTPUTS: ClassVar = {"high": False}

    def command(self, now):
        assert self.curve("angle").at(now) < 100, "the level was never asked for"


def test_curves_run_to_the_levels_given():
    """`values` are the levels of a curve; without them it stays within 65 of its first level."""
    check_part(Tilt)
    with pytest.raises(PlantError, match="the level was never asked for"):
        check_part(Tilt, values={"angle": (0.0, 120.0)})
