"""Steering: stories that showed something new, or came nearest to breaking a rule, are varied further.

How one is varied is vary.py, what is new cover.py. Rule: the same seed and the same machine give the same stories;
nothing is drawn but by number.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.fuzz.cover import Covered, Feature
from simplant.fuzz.story import ONE, Story, story_by_seed
from simplant.fuzz.vary import Dice, Variation
from simplant.timebase import Ns

OF_EIGHT: Final = ("fresh",) * 3 + ("play",) * 3 + ("rare", "near")
"""Where stories come from: drawn anew; a way of play and a few things; what showed something rare; what came near."""
TRIES: Final = 4
"""Of so many kept stories the one that shows the rarest thing is taken."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A story that showed something new: what, and when something happened in its run, in steps of the grid."""

    story: Story
    new: tuple[Feature, ...]
    lively: tuple[int, ...]


class Steering:
    """Gives one story after the other, and learns from what became of each.

    Args:
        seed: of all of them.
        sizes: numbers of whats, plays and instants, as `stories` takes them.
        grid: between two instants, ns.
    """

    def __init__(self, seed: int, sizes: tuple[int, int, int], grid: Ns) -> None:
        """Begin with nothing known."""
        self.seed: Final = seed
        self.sizes: Final = sizes
        self.kept: Final[list[Kept]] = []
        self._grid: Final = grid
        self._plays: Final[dict[int, Kept]] = {}
        self._variation: Final = Variation(*sizes)
        self._seen: Final[Counter[Feature]] = Counter()
        self._nearest: Final[dict[str, tuple[float, Kept]]] = {}
        self._next: Final[list[Story]] = []
        self._first: Final = [Story(play=play) for play in (*range(1, sizes[1]), 0)]

    def story(self, number: int) -> Story:
        """Give the story of that number: first each way of play, from the second on with a few things added."""
        if self._next:
            return self._next.pop(0)
        dice = Dice(self.seed, f"steered story {number}")
        if self._first:
            play = self._first.pop(0)
            return self._variation.few(play, (), dice) if number else play
        match OF_EIGHT[dice.below(len(OF_EIGHT))]:
            case "play":
                kept = list(self._plays.values())[dice.below(len(self._plays))]
                return self._variation.few(kept.story, kept.lively, dice)
            case "rare":
                return self._varied(self._rare(dice), dice)
            case "near" if self._nearest:
                near = list(self._nearest.values())
                return self._varied(near[dice.below(len(near))][1], dice)
            case _:
                return story_by_seed(self.seed, number, *self.sizes)

    def _varied(self, kept: Kept, dice: Dice) -> Story:
        other = self.kept[dice.below(len(self.kept))].story
        return self._variation.of(kept.story, other, kept.lively, dice)

    def learn(self, story: Story, shown: Covered, margins: Mapping[str, float]) -> None:
        """Keep a story if its run showed anything that none did before."""
        new = tuple(feature for feature in shown.features if feature not in self._seen)
        self._seen.update(shown.features)
        lively = tuple(dict.fromkeys(at // self._grid for at in shown.instants))
        kept = Kept(story, new, lively)
        self._plays.setdefault(story.play, Kept(Story(play=story.play), new, lively))
        if new:
            self.kept.append(kept)
        for rule, margin in margins.items():
            if rule not in self._nearest or margin < self._nearest[rule][0]:
                self._nearest[rule] = margin, kept

    def follow(self, stories: Sequence[Story]) -> None:
        """Tell these stories next."""
        self._next.extend(stories)

    def _rare(self, dice: Dice) -> Kept:
        """Take a story that showed something rare."""
        tried = [self.kept[dice.below(len(self.kept))] for _ in range(TRIES)]
        return min(tried, key=lambda kept: min((self._seen[f] for f in kept.new), default=0))


def with_fewer_faults(story: Story) -> Story:
    """Give the story with one fault at most: what broke under more than must be borne may break under one."""
    return replace(story, mask=story.mask & 0xFFFFFF | ONE << 24)
