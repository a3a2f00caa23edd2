"""From a story to the scenario that it is short for.

The numbers of a story are story.py, what they stand for on a machine whats.py. Rule: the scenario says everything;
written to a file and read back it gives the same run, without the story.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from simplant.errors import UsageError
from simplant.faults import Fault
from simplant.fuzz.deviate import Deviations
from simplant.fuzz.story import Story, is_cut, most_faults
from simplant.fuzz.whats import Act, Cut, Fail, What, whats
from simplant.rig.machine import Machine
from simplant.scenario.model import LENGTH, Expect, Power, Scenario, Stimulus
from simplant.scenario.read import read_scenario
from simplant.timebase import NEVER, Ns, ms, seconds, us
from simplant.wiring.supply import Supply

GRID: Final = ms(10)
"""Between two instants at which things happen in a story."""
SPANS: Final[tuple[Ns | None, ...]] = (
    None, ms(2), ms(5), ms(12), ms(30), ms(60), ms(120), ms(300), ms(600),
    ms(1200), ms(2500), seconds(5), seconds(10), seconds(20), seconds(40), NEVER,
)  # fmt: skip
"""Durations; None = the usual one of what happens. The short ones are near a scan or a filter time."""
TITLE: Final = "A story by chance"


class Decoder:
    """Makes scenarios for one machine.

    Args:
        machine: for which.
        plays: ways of play that stories begin with; by default `ways_of_play(machine)`.
        length: of each run; by default that of the machine's own scenario.
        nominal: leave all parameters as they are, whatever the noise.
    """

    def __init__(
        self,
        machine: Machine,
        plays: Sequence[Scenario] | None = None,
        length: Ns | None = None,
        *,
        nominal: bool = False,
    ) -> None:
        """Number what can happen on the machine; raises `UsageError` if `plays` is empty or the length is no time."""
        self.plays: Final = tuple(ways_of_play(machine) if plays is None else plays)
        if not self.plays or (length is not None and length < GRID):
            raise UsageError("stories need a way of play and a length of at least 10 ms", mend="leave both out")
        self.length: Final = length or self.plays[min(1, len(self.plays) - 1)].length
        self.whats: Final[tuple[What, ...]] = whats(machine, self.plays)
        self._acts: Final = [what for what in self.whats if isinstance(what, Act)] or self.whats
        self._cuts: Final = [what for what in self.whats if isinstance(what, Cut)]
        kinds = dict.fromkeys(what.kind for what in self.whats if isinstance(what, Fail))
        self.bits: Final[Mapping[str, int]] = {kind: 1 << n % 24 for n, kind in enumerate(kinds)}
        """For each kind of faults its bit of the swarm mask."""
        self._deviations: Final = Deviations(None if nominal else machine)

    @property
    def sizes(self) -> tuple[int, int, int]:
        """How many whats, ways of play and instants there are, as `stories` takes them."""
        return len(self.whats), len(self.plays), self.length // GRID

    def scenario(self, story: Story) -> Scenario:
        """Decode a story.

        A fault whose kind the swarm mask leaves out does not happen; nor does one that is there already, nor a second
        mix-up of wires at one point.
        """
        play, differs = self.plays[story.play], self._deviations.of(story.noise)
        stimuli: list[Stimulus] = []
        faults: dict[str, Fault] = {}
        power: list[Power] = []
        for at, what, span in self._happening(story):
            match what:
                case Act():
                    stimuli.append(what.stimulus(at, span))
                case Cut():
                    power.append(what.power(at, span))
                case Fail():
                    ends = [f"{name}.{what.kind}" for name in (what.target, what.other) if name]
                    if not self.bits[what.kind] & story.mask and not any(end in faults for end in ends):
                        faults.update(dict.fromkeys(ends, what.fault(at, span)))
        return replace(
            play,
            title=TITLE,
            seed=story.noise or play.seed,
            phase=Ns(us(story.phase)),
            length=self.length,
            stimuli=(*play.stimuli, *stimuli),
            faults=tuple(dict.fromkeys(faults.values())),
            power=tuple(power),
            parameters={**play.parameters, **differs.parameters},
            retained={**play.retained, **differs.retained},
            scans=differs.scans,
            ties=differs.ties,
            expect=Expect(),
        )

    def differs(self, noise: int) -> tuple[object, ...]:
        """Give what is not as drawn with a noise, but for tolerances."""
        d = self._deviations.of(noise)
        stands = tuple((name, value) for name, value in d.parameters.items() if name in self._deviations.starts)
        return (*stands, *d.retained.items(), *d.scans, bool(d.ties))

    def _fault(self, what: What, number: int, mask: int) -> What:
        """Give a fault as it is, or the cut of power that comes in its place."""
        return self._cuts[number % len(self._cuts)] if self._cuts and is_cut(mask) else what

    def _happening(self, story: Story) -> Iterator[tuple[Ns, What, Ns | None]]:
        """Give what happens, in order of time: when, what, how long."""
        left = most_faults(story.mask)
        happening = []
        for slot, (number, when) in enumerate(story.slots):
            if number:
                what = self.whats[number - 1]
                if isinstance(what, Fail | Cut):
                    left -= 1
                    what = self._fault(what, number, story.mask) if left >= 0 else self._acts[number % len(self._acts)]
                happening.append((Ns(when * GRID), slot, what))
        for at, slot, what in sorted(happening, key=lambda each: each[:2]):
            yield at, what, SPANS[story.spans[slot]]


def ways_of_play(machine: Machine) -> tuple[Scenario, ...]:
    """Give what stories begin with: nothing at all, the machine's own scenario, then its other good ones by name.

    A good one has no faults, cuts, forces or writes of its own, switches no supply, and expects that no alarm comes.
    """
    own = f"{machine.file.machine.scenario}.toml"
    files = sorted(machine.scenario_folder().glob("*.toml"), key=lambda path: (path.name != own, path.name))
    found = [scenario for path in files if _good(scenario := read_scenario(path), machine)]
    length = found[0].length if found else LENGTH
    return Scenario(machine.name, length=length), *found


def _good(scenario: Scenario, machine: Machine) -> bool:
    if scenario.machine != machine.name or scenario.expect.alarms != ():
        return False
    supplies = {name for name, plan in machine.plans.items() if issubclass(plan.kind, Supply)}
    switched = any(stimulus.on in supplies for stimulus in scenario.stimuli)
    return not (scenario.faults or scenario.power or scenario.forces or scenario.writes or switched)
