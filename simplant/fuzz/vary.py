"""A story a little different: what happens, when, for how long, or a piece of another story.

Which story is varied is steer.py's affair. Nothing here knows a machine but for three sizes. Rule: the same stories
and the same number give the same variation.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.chance import below, stream
from simplant.fuzz.story import BYTES, MOST_NOISE, PHASES, SLOTS, Story, words_of

NEAR: Final = 20
"""Steps of the grid (200 ms) within which something is near something else."""
FEW: Final = 3
"""The most things added to a plain way of play."""


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

    def pick(self, given: Sequence[int]) -> int:
        """Give one of them."""
        return given[self.below(len(given))]


@dataclass(frozen=True, slots=True)
class Variation:
    """How stories of one machine are varied.

    Args:
        whats, plays, instants: as `stories` takes them.
    """

    whats: int
    plays: int
    instants: int

    def of(self, story: Story, other: Story, lively: Sequence[int], dice: Dice) -> Story:
        """Vary a story: most things stay, some come at another time or are replaced, here and there one more comes.

        Args:
            story: the one to be varied.
            other: another one, of which pieces may be taken.
            lively: instants of the grid at which something happened in the run of the story.
            dice: the chance of it.
        """
        slots, spans = [], []
        for slot in range(SLOTS):
            what, when = story.slots[slot] if slot < len(story.slots) else (0, 0)
            span = story.spans[slot]
            match dice.below(10):
                case 0 if what:
                    when = self._when(story, lively, dice)
                case 6 if slot < len(other.slots):
                    (what, when), span = other.slots[slot], other.spans[slot]
                case 0 | 1 | 2 | 3 | 4 | 5:
                    pass
                case _:
                    what, when, span = 1 + dice.below(self.whats), self._when(story, lively, dice), dice.below(16)
            slots.append((what, when))
            spans.append(span)
        words = self._words(story, dice)
        return replace(words, slots=tuple(slots), spans=tuple(spans))

    def few(self, story: Story, lively: Sequence[int], dice: Dice) -> Story:
        """Add one to three things to a story in which nothing happens but a way of play."""
        slots = [(1 + dice.below(self.whats), self._when(story, lively, dice)) for _ in range(1 + dice.below(FEW))]
        noise = dice.below(MOST_NOISE)
        mask, spans = words_of(dice.below(256**BYTES).to_bytes(BYTES, "big"))
        return Story(noise, story.play, dice.below(PHASES), mask, spans, tuple(slots))

    def _when(self, story: Story, lively: Sequence[int], dice: Dice) -> int:
        """Give an instant: anywhere, near one at which something happened, or near another thing of the story."""
        others = [when for what, when in story.slots if what]
        match dice.below(4):
            case 0 | 1 if lively:
                near = dice.pick(lively)
            case 2 if others:
                near = dice.pick(others)
            case _:
                return dice.below(self.instants)
        return min(max(0, near + dice.below(2 * NEAR + 1) - NEAR), self.instants - 1)

    def _words(self, story: Story, dice: Dice) -> Story:
        """Let parameters, way of play, place in the scan or kinds of faults be others, each now and then."""
        if not dice.below(2):
            story = replace(story, noise=dice.below(MOST_NOISE))
        if not dice.below(10):
            story = replace(story, play=dice.below(self.plays))
        if not dice.below(3):
            story = replace(story, phase=dice.below(PHASES))
        if not dice.below(4):
            story = replace(story, mask=words_of(dice.below(256**BYTES).to_bytes(BYTES, "big"))[0])
        return story
