"""Steering: stories are dealt, and those that showed something rare or came near to breaking a rule are varied.

Dealing is dealt.py, what is new cover.py. Rule: the same seed, the same machine and the same runs give the same
stories; nothing is drawn but by number.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from simplant.fuzz.cover import Covered, Feature
from simplant.fuzz.dealt import Dealer, richest_first
from simplant.fuzz.deck import Deck, Dice
from simplant.fuzz.decode import Decoder
from simplant.fuzz.story import PHASES, Story

SOURCES: Final = ("dealt",) * 10 + ("burst",) * 4 + ("rare", "near")
"""Where stories come from: dealt; dealt into a short time; what showed something rare; what came near to breaking."""
TRIES: Final = 4
"""Of so many kept stories the one that shows the rarest thing is taken."""
ENOUGH: Final = 4
"""A story that is varied gets one act more if it has fewer things."""
FARTHEST: Final = 11
"""Something is moved by less than 2 to the power of this, in steps of the grid (20 s)."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A story that showed something new, and what."""

    story: Story
    new: tuple[Feature, ...]


class Steering:
    """Gives one story after the other, and learns from what became of each.

    Args:
        seed: of all of them.
        decoder: makes scenarios of them.
        bears: for each rule of the machine the most faults under which it must hold.
    """

    def __init__(self, seed: int, decoder: Decoder, bears: Sequence[int]) -> None:
        """Begin with nothing known."""
        self._seed: Final = seed
        self._instants: Final = decoder.sizes[2]
        self._order: Final = richest_first(decoder.plays)
        self._dealer: Final = Dealer(decoder, bears)
        self._sources: Final = Deck(SOURCES)
        self._kept: Final[list[Kept]] = []
        self._seen: Final[Counter[Feature]] = Counter()
        self._nearest: Final[dict[str, tuple[float, Story]]] = {}

    def story(self, number: int) -> Story:
        """Give the story of that number: the machine's own way of play as it is, each one nearly alone, then any."""
        if not number:
            return Story(play=self._order[0])
        dice = Dice(self._seed, f"steered story {number}")
        if number < len(self._order):
            return self._dealer.nearly_alone(self._order[number], dice)
        match self._sources.deal(dice):
            case "rare":
                return self._varied(self._rare(dice), dice)
            case "near" if self._nearest:
                return self._varied(dice.pick(list(self._nearest.values()))[1], dice)
            case "burst":
                return self._dealer.burst(dice)
            case _:
                return self._dealer.story(dice)

    def learn(self, story: Story, shown: Covered, margins: Mapping[str, float]) -> None:
        """Keep a story if its run showed anything that none did before, or came nearer to breaking a rule."""
        self._dealer.learn(story.play, shown)
        new = tuple(feature for feature in shown.features if feature not in self._seen)
        self._seen.update(shown.features)
        if new:
            self._kept.append(Kept(story, new))
        for rule, margin in margins.items():
            if rule not in self._nearest or margin < self._nearest[rule][0]:
                self._nearest[rule] = margin, story

    def _rare(self, dice: Dice) -> Story:
        """Take a story that showed something rare."""
        tried = [dice.pick(self._kept) for _ in range(TRIES)]
        return min(tried, key=lambda kept: min(self._seen[feature] for feature in kept.new)).story

    def _varied(self, story: Story, dice: Dice) -> Story:
        """Move some of a story's things, let others last for another time, add an act or take another way of play."""
        slots, spans = list(story.slots), list(story.spans)
        for slot, (what, when) in enumerate(slots):
            match dice.below(6):
                case 0:
                    slots[slot] = what, self._moved(when, dice)
                case 1:
                    spans[slot] = dice.below(16)
                case 2:
                    slots[slot] = what, self._dealer.when(story.play, slots, dice)
                case _:
                    pass
        more = self._dealer.act(story, dice) if len(slots) < ENOUGH else None
        slots += [more] if more else []
        noise = story.noise if dice.below(2) else self._dealer.noise(dice)
        play = story.play if dice.below(4) else dice.pick(self._order)
        return replace(story, noise=noise, play=play, phase=dice.below(PHASES), spans=tuple(spans), slots=tuple(slots))

    def _moved(self, when: int, dice: Dice) -> int:
        """Give a time earlier or later, by anything from a moment to seconds."""
        most = 2 << dice.below(FARTHEST - 1)
        return min(max(0, when + dice.below(2 * most + 1) - most), self._instants - 1)
