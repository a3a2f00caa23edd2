"""Stories dealt from decks: what was tried least comes next.

Ways of play, acts, cuts, targets of faults and their faults, and places of the program, are each dealt once before any
comes again; of a few deviations from the drawings the least tried is taken. Most rules bear no fault, or one, so a
story is told for one rule after the other and has as many faults as that bears. Rule: what is learnt is only when the
program is where, from runs.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from simplant.fuzz.cover import Covered, Place
from simplant.fuzz.deck import Deck, Dice
from simplant.fuzz.decode import GRID, Decoder
from simplant.fuzz.story import MOST_NOISE, NONE, ONE, PHASES, SLOTS, Story
from simplant.fuzz.whats import Act, Cut, Fail
from simplant.scenario.model import Scenario
from simplant.timebase import Ns, ms

CUT: Final = -1
"""In the deck of what rules bear: a cut of power."""
RULES_A_CUT: Final = 7
"""One cut for so many rules."""
FEW: Final = (0, 0, 0, 1, 2)
MANY: Final = (0, 4, 5, 6, 7, 8)
"""How many acts beside faults, and without: few things leave the play alone, many meet in odd ways."""
NEAR: Final = ms(200)
"""Within it something is near something else."""
TRIES: Final = 4
"""Of so many deviations one is taken."""
Slots = list[tuple[int, int]]


@dataclass(slots=True)
class Timeline:
    """What is known of a way of play: when the program is where, and when it does something."""

    stays: dict[Place, list[tuple[Ns, Ns]]] = field(default_factory=dict)
    instants: tuple[Ns, ...] = ()
    places: Deck[Place] | None = None

    def learn(self, shown: Covered) -> None:
        """Take a run, if it saw more of the program than those before."""
        if len({place for place, _, _ in shown.stays}) > len(self.stays):
            self.stays = {}
            for place, since, until in shown.stays:
                self.stays.setdefault(place, []).append((since, until))
            self.places, self.instants = Deck(tuple(self.stays)), shown.instants


class Dealer:
    """Deals the stories of one machine.

    Args:
        decoder: makes scenarios of them.
        bears: for each rule of the machine the most faults under which it must hold.
    """

    def __init__(self, decoder: Decoder, bears: Sequence[int]) -> None:
        """Shuffle nothing yet: chance comes with each story."""
        self._decoder: Final = decoder
        self._timelines: Final = [Timeline() for _ in decoder.plays]
        self._tried: Final[Counter[object]] = Counter()
        self._plays: Final = Deck(range(len(decoder.plays)))
        numbered = list(enumerate(decoder.whats, 1))
        faults: dict[str, list[int]] = {}
        for number, what in numbered:
            if isinstance(what, Fail):
                faults.setdefault(what.target, []).append(number)
        self._faults: Final = {target: Deck(numbers) for target, numbers in faults.items()}
        self._targets: Final = Deck(tuple(faults))
        self._acts: Final = Deck([number for number, what in numbered if isinstance(what, Act)])
        self._cuts: Final = Deck([number for number, what in numbered if isinstance(what, Cut)])
        self._few, self._many = Deck(FEW), Deck(MANY)
        given = tuple(bears) or (1,)
        self._bears: Final = Deck((*given, *[CUT] * -(-len(given) // RULES_A_CUT)))

    def learn(self, play: int, shown: Covered) -> None:
        """Take in what a run of a way of play has been through."""
        self._timelines[play].learn(shown)

    def nearly_alone(self, play: int, dice: Dice) -> Story:
        """Leave a way of play alone, on the machine as drawn, but for the last third of it."""
        story, instants = self.story(dice), self._decoder.sizes[2]
        slots = tuple((what, instants - 1 - when // 3) for what, when in story.slots)
        return replace(story, noise=0, play=play, slots=slots)

    def burst(self, dice: Dice) -> Story:
        """Leave a way of play alone up to some place of the program; then let everything come within some time."""
        story = self.story(dice)
        return self._after(story, self._in_place(story.play, dice), dice.below(7))

    def story(self, dice: Dice) -> Story:
        """Deal a way of play, faults as the next rule bears them, and acts at any time."""
        play, most = self._plays.deal(dice), self._bears.deal(dice)
        failing = [] if not most else self._failing(1 + dice.below(most) if most > 0 else most, dice)
        slots: Slots = [(what, self._soon(play, dice)) for what in failing]
        for _ in range((self._few if slots else self._many).deal(dice) if self._acts else 0):
            slots.append((self._acts.deal(dice), self.when(play, slots, dice)))
        mask = 0 if len(failing) > 1 else (ONE if failing else NONE) << 24
        spans = tuple(dice.below(16) * (n >= len(failing) or not dice.below(8)) for n in range(SLOTS))
        return Story(self.noise(dice), play, dice.below(PHASES), mask, spans, tuple(slots))

    def act(self, story: Story, dice: Dice) -> tuple[int, int] | None:
        """Give one more act for a story, if anybody can do anything."""
        return (self._acts.deal(dice), self.when(story.play, story.slots, dice)) if self._acts else None

    def when(self, play: int, slots: Sequence[tuple[int, int]], dice: Dice) -> int:
        """Give a time: any, one in the next place of the program, or one near another thing of the story."""
        match dice.below(8):
            case 0 | 1:
                return self._in_place(play, dice)
            case 2 if slots:
                return self._number(dice.pick(slots)[1] * GRID + dice.below(2 * NEAR) - NEAR)
            case _:
                return dice.below(self._decoder.sizes[2])

    def noise(self, dice: Dice) -> int:
        """Of a few deviations give the one in which something was tried least."""
        tried = {
            noise: self._decoder.differs(noise) for noise in (1 + dice.below(MOST_NOISE - 1) for _ in range(TRIES))
        }
        noise = min(tried, key=lambda noise: min((self._tried[each] for each in tried[noise]), default=0))
        self._tried.update(tried[noise])
        return noise

    def _failing(self, count: int, dice: Dice) -> list[int]:
        """Deal a cut, or so many faults; of a machine that has none nothing fails."""
        if count == CUT:
            return [self._cuts.deal(dice)] if self._cuts else []
        return [self._faults[self._targets.deal(dice)].deal(dice) for _ in range(count)] if self._targets else []

    def _in_place(self, play: int, dice: Dice) -> int:
        """Give a time in the next place of the program, near to what it does, or any."""
        known = self._timelines[play]
        match dice.below(8):
            case 0 | 1 if known.instants:
                return self._number(dice.pick(known.instants) + dice.below(2 * NEAR) - NEAR)
            case 2 | 3 | 4 | 5 if known.places:
                since, until = dice.pick(known.stays[known.places.deal(dice)])
                return self._number(since + dice.below(until - since))
            case _:
                return dice.below(self._decoder.sizes[2])

    def _soon(self, play: int, dice: Dice) -> int:
        """Give the earlier of two such times: what fails for good must be there for a while to be seen."""
        return min(self._in_place(play, dice), self._in_place(play, dice))

    def _number(self, at: int) -> int:
        """Give an instant as stories do."""
        return min(max(0, at) // GRID, self._decoder.sizes[2] - 1)

    def _after(self, story: Story, since: int, halved: int = 0) -> Story:
        """Let all that people do come after a time, within what is left, or so many times half of it."""
        within, instants = self._decoder.sizes[2] - since >> halved, self._decoder.sizes[2]
        acts = {what for what, _ in story.slots if isinstance(self._decoder.whats[what - 1], Act)}
        return replace(
            story,
            slots=tuple((w, since + when * within // instants if w in acts else when) for w, when in story.slots),
        )


def richest_first(plays: Sequence[Scenario]) -> list[int]:
    """Order ways of play: the machine's own, then always the one in which most is done that was not done before."""
    acts = [{(s.on, s.do, s.value) for s in play.stimuli} for play in plays]
    order = [min(1, len(plays) - 1)]
    while len(order) < len(plays):
        done = set().union(*(acts[play] for play in order))
        order.append(max(set(range(len(plays))) - set(order), key=lambda play: (len(acts[play] - done), -play)))
    return order
