"""Does a scenario fit its machine? Every name in it, held against the names that are there.

The rig gathers the names; the scenario knows the places. Rule: the first wrong name raises,
with the nearest right ones.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from simplant.errors import ScenarioError, nearest
from simplant.faults import SWAPPED, Fault
from simplant.scenario.model import Scenario, State
from simplant.scenario.places import Path
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class Names:
    """What a machine has.

    Args:
        actions: part -> the actions it takes.
        kinds: part or point -> its failure modes.
        partners: point -> the points whose wires can be mixed up with its own.
        points: tags of physical points, which can be forced.
        memory: memory tags, which a panel can write.
        retained: tags kept over a warm restart.
        tags: every tag with a value in the trace (points, memory, program).
        words: tag that reads as words (a first-out) -> its words, by number.
        parameters: `part.parameter`.
        truths: `part.terminal`.
        controllers: by name.
        charts: chart -> its steps.
        rules: by name.
        alarms: by name.
    """

    actions: Mapping[str, Collection[str]] = field(default_factory=dict)
    kinds: Mapping[str, Collection[str]] = field(default_factory=dict)
    partners: Mapping[str, Collection[str]] = field(default_factory=dict)
    points: Collection[str] = ()
    memory: Collection[str] = ()
    retained: Collection[str] = ()
    tags: Collection[str] = ()
    words: Mapping[str, Sequence[str]] = field(default_factory=dict)
    parameters: Collection[str] = ()
    truths: Collection[str] = ()
    controllers: Collection[str] = ("main",)
    charts: Mapping[str, Collection[str]] = field(default_factory=dict)
    rules: Collection[str] = ()
    alarms: Collection[str] = ()


def check_against(scenario: Scenario, names: Names) -> None:
    """Hold every name of a scenario against a machine.

    Raises:
        ScenarioError: a part, action, point, failure mode, tag, parameter, rule, step or alarm is not
            there; with the place and the nearest names.
    """
    check = _Check(scenario)
    for i, s in enumerate(scenario.stimuli):
        check.name("part", s.on, names.actions, ("stimulus", i, "on"))
        check.name(f"action of {s.on}", s.do, names.actions[s.on], ("stimulus", i, "do"))
    check.faults(names)
    for i, force in enumerate(scenario.forces):
        check.name("point", force.tag, names.points, ("force", i, "tag"))
    for i, write in enumerate(scenario.writes):
        check.name("memory tag", write.tag, names.memory, ("write", i, "tag"))
    for i, power in enumerate(scenario.power):
        check.name("controller", power.controller, names.controllers, ("power", i, "controller"))
    check.names("parameter", scenario.parameters, names.parameters, ("set",))
    check.names("retained tag", scenario.retained, names.retained, ("retained",))
    check.names("controller", scenario.scans, names.controllers, ("scans",))
    check.expected(names)


class _Check:
    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario

    def name(self, what: str, name: str, known: Iterable[str], path: Path) -> None:
        if name not in known:
            raise ScenarioError(
                f"there is no {what} {name!r}", mend=nearest(name, known), place=self.scenario.places.of(path)
            )

    def names(self, what: str, given: Iterable[str], known: Iterable[str], path: Path) -> None:
        for name in given:
            self.name(what, name, known, self.key(path, name))

    def key(self, path: Path, name: str) -> Path:
        """Give the path of a dotted name, whether it was written in quotes or not."""
        whole = (*path, name)
        return whole if whole in self.scenario.places.found else (*path, *name.split("."))

    def faults(self, names: Names) -> None:
        for i, fault in enumerate(self.scenario.faults):
            if fault.kind not in names.kinds.get(fault.target, ()):
                self.name("part or point", fault.target, names.kinds, ("fault", i, "on"))
                self.name(
                    f"failure mode of {fault.target}", fault.kind, names.kinds[fault.target], ("fault", i, "kind")
                )
            if fault.other:
                self.name("point", fault.other, names.kinds, ("fault", i, "with"))
            if fault.other or fault.kind == SWAPPED.kind:
                self.pair(fault, names.partners.get(fault.target, ()), i)

    def pair(self, fault: Fault, partners: Collection[str], i: int) -> None:
        """Only `swapped` is a fault between two points, and only wires that lie side by side can be mixed up."""
        swapped = fault.kind == SWAPPED.kind
        if (swapped and fault.other in partners) or not (swapped or fault.other):
            return
        key, mend = "with", f"wires that can be mixed up with it: {', '.join(partners) or 'none'}"
        if not swapped:
            what, why, mend = f"{fault.kind!r} has no 'with'", "it fails one part or point alone", "leave 'with' out"
        elif fault.other:
            what = f"the wires of {fault.target!r} and {fault.other!r} cannot be mixed up unnoticed"
            why = "both must lie in one cable, go the same way, and have one kind of signal and one supply"
        else:
            key, what, why = "kind", f"{fault.target!r} is swapped with nothing", "it takes two wires"
            mend = f'write with = "..."; {mend}'
        raise ScenarioError(what, why, mend, self.scenario.places.of(("fault", i, key)))

    def expected(self, names: Names) -> None:
        expect = self.scenario.expect
        for key in ("broken", "not_exercised", "undecided"):
            for i, rule in enumerate(getattr(expect, key)):
                self.name("rule", rule, names.rules, ("expect", key, i))
        for i, alarm in enumerate(expect.alarms or ()):
            self.name("alarm", alarm, names.alarms, ("expect", "alarms", i))
        if expect.first_out:
            self.name("alarm", expect.first_out, [*names.alarms, "none"], ("expect", "first_out"))
        self.state(expect.end, names, ("expect",))
        for i, (_, state) in enumerate(expect.at):
            self.state(state, names, ("expect", "at", i))

    def state(self, state: State, names: Names, path: Path) -> None:
        self.names("tag", state.tags, names.tags, (*path, "tags"))
        for tag, value in state.tags.items():
            self.word(tag, value, names.words.get(tag, ()), self.key((*path, "tags"), tag))
        self.names("truth", state.truths, names.truths, (*path, "truths"))
        for chart, step in state.steps.items():
            at = self.key((*path, "steps"), chart)
            self.name("chart", chart, names.charts, at)
            self.name(f"step of {chart}", step, names.charts[chart], at)

    def word(self, tag: str, value: Value, words: Sequence[str], path: Path) -> None:
        """A tag that reads as words is expected by a word."""
        if not words or value in words:
            return
        meant = not isinstance(value, bool | float | str) and 0 <= value < len(words)
        mend = f"write {tag} = {words[int(value)]!r}" if meant else f"one of: {', '.join(words)}"
        raise ScenarioError(
            f"{tag} cannot be {value!r}", "it reads as words, as in the trace", mend, self.scenario.places.of(path)
        )
