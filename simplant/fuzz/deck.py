"""Chance with a memory: numbers from a stream, and cards dealt from shuffled decks.

Drawing each of N things anew finds the one that matters after N draws on average, dealing them after N/2, and never
later than N. Rule: the same seed, the same cards.
"""

from collections.abc import Sequence
from typing import Final, Generic, TypeVar

from simplant.chance import below, stream

Card = TypeVar("Card")


class Dice:
    """Numbers drawn one after another from one stream."""

    def __init__(self, seed: int, name: str) -> None:
        """Begin the stream of that name."""
        self._base: Final = stream(seed, name)
        self._count = 0

    def below(self, count: int) -> int:
        """Give a number from 0 to `count` - 1."""
        self._count += 1
        return below(self._base, self._count, count)

    def pick(self, given: Sequence[Card]) -> Card:
        """Give one of them."""
        return given[self.below(len(given))]


class Deck(Generic[Card]):
    """Cards that are all dealt once, in any order, before any is dealt again.

    Args:
        cards: what is in it twice is dealt twice; an empty deck is false.
    """

    def __init__(self, cards: Sequence[Card]) -> None:
        """Begin with a full deck."""
        self._cards: Final = tuple(cards)
        self._left: list[Card] = []

    def __bool__(self) -> bool:
        """Say whether there are cards in it at all."""
        return bool(self._cards)

    def deal(self, dice: Dice) -> Card:
        """Give one that is left."""
        if not self._left:
            self._left = list(self._cards)
        place = dice.below(len(self._left))
        self._left[place], self._left[-1] = self._left[-1], self._left[place]
        return self._left.pop()
