"""Numbers for the kits: the same in every run, and different from one draw to the next.

What they are used for stands in the kit that asks. Rule: a kit draws from one `Dice` only, so its
seed is its whole story.
"""

from collections.abc import Sequence
from typing import Final, TypeVar

from simplant.chance import draw

T = TypeVar("T")


class Dice:
    """A stream of draws."""

    def __init__(self, seed: int, name: str) -> None:
        """Begin at the first draw of the stream `name` under `seed`."""
        self._seed: Final = seed
        self._name: Final = name
        self._count = 0

    def chance(self) -> float:
        """Give a number, evenly spread over [0, 1)."""
        self._count += 1
        return draw(self._seed, self._name, self._count)

    def pick(self, given: Sequence[T]) -> T:
        """Give one of several."""
        return given[int(self.chance() * len(given))]
