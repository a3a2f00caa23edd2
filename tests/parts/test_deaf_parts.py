"""Parts that are deaf to some inputs: `check_part` finds the one that hears them all the same."""

from typing import ClassVar

import pytest

from simplant import Part, PlantError
from simplant.testing import check_part


class Sampler(Part):
    """Says its level as it was when the gate last opened."""

    INPUTS: ClassVar = {"gate": False, "level": 0.0}
    OUTPUTS: ClassVar = {"held": 0.0}

    def begin(self, now):
        self.open = False
        self.deaf_to = frozenset({"level"})

    def command(self, now):
        if self.on("gate") and not self.open:
            self.emit("held", self.number("level"))
        self.open = self.on("gate")


class Follower(Sampler):
    """Claims to be deaf to its level, and follows it."""

    def command(self, now):
        self.emit("held", self.number("level"))


def test_what_is_only_taken_when_it_moves():
    """Nothing is said for a change that need not wake it."""
    check_part(Sampler)


def test_what_claims_to_be_deaf_and_is_not():
    """Found, with the instant at which it said something."""
    with pytest.raises(PlantError, match="a change that it says it is deaf to changes what it says"):
        check_part(Follower)
