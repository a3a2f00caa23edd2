"""One run as a value: machine, seed, length, everything that happens to it, what is expected.

Read from TOML by read.py, written back by write.py, held against a machine's names by check.py.
Nothing here knows a machine. Rule: all chance and all stimulus of a run stand in this one
value, so the same value gives the same trace.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final, Literal

from simplant.errors import ScenarioError
from simplant.faults import POWER_CUT, Fault
from simplant.scenario.places import Places
from simplant.timebase import NEVER, Ns, seconds
from simplant.values import Value

Span = tuple[float, float]
"""Least and most of a number that need not be met exactly."""

OPPOSITES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "press": "release",
        "release": "press",
        "open": "close",
        "close": "open",
        "keep": "give",
        "remove_ball": "add_ball",
        "interrupt": "leave",
    }
)
"""The action that ends another; what a stimulus with `for` does at the end of its time."""


LENGTH: Final = seconds(60)
"""How long a run is if nothing is said."""


@dataclass(frozen=True, slots=True)
class Stimulus:
    """Somebody acts on a part.

    Args:
        at: when, ns.
        on: the part.
        do: one of the part's `ACTIONS`.
        value: what the action takes (position of a selector), None if nothing.
        duration: after this time the opposite follows, ns; `NEVER` = it does not.

    Raises:
        ScenarioError: a duration is given to an action without an opposite.
    """

    at: Ns
    on: str
    do: str
    value: float | str | None = None
    duration: Ns = NEVER

    def __post_init__(self) -> None:
        """Refuse a time for an action that nothing ends."""
        if self.duration != NEVER and self.do not in OPPOSITES:
            raise ScenarioError(
                f"{self.do!r} cannot be given a time",
                "no action is known to end it",
                "leave out 'for' and write what follows as a stimulus of its own",
            )


@dataclass(frozen=True, slots=True)
class Force:
    """The bench holds a point at a value, from `at` for `duration` (ns, `NEVER` = to the end)."""

    at: Ns
    tag: str
    value: Value
    duration: Ns = NEVER

    @property
    def ends(self) -> Ns:
        """The instant at which it is let go; `NEVER` if it stays."""
        return NEVER if self.duration == NEVER else Ns(self.at + self.duration)


@dataclass(frozen=True, slots=True)
class Write:
    """An operator panel writes a memory tag at `at` (ns); the program may overwrite it."""

    at: Ns
    tag: str
    value: Value


Restart = Literal["warm", "cold"]


@dataclass(frozen=True, slots=True)
class Power:
    """A controller loses its supply at `at` for `duration` (ns, `NEVER` = it stays off), then restarts."""

    at: Ns
    controller: str = "main"
    duration: Ns = NEVER
    restart: Restart = "warm"

    @property
    def fault(self) -> Fault:
        """The fault that it is, for judging what comes of it."""
        return Fault(self.controller, POWER_CUT.kind, self.at, self.duration)


@dataclass(frozen=True, slots=True)
class Scans:
    """How a controller scans in a run: its period, and the greatest delay of a scan's start (0 = as it is set), ns."""

    period: Ns = Ns(0)  # noqa: RUF009 - an int
    jitter: Ns = Ns(0)  # noqa: RUF009 - an int


@dataclass(frozen=True, slots=True)
class State:
    """What is expected at one instant: tags, active steps of charts, truths (a value, or least and most)."""

    tags: Mapping[str, Value] = field(default_factory=dict)
    steps: Mapping[str, str] = field(default_factory=dict)
    truths: Mapping[str, Value | Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Expect:
    """What is expected of a run; whatever is left out is not judged.

    Args:
        broken: rules expected broken (each an accepted hazard, named in the hazard list).
        not_exercised: rules whose trigger must not occur; none need be listed.
        undecided: rules expected open at the end.
        alarms: exactly these came, in this order; None = not judged.
        first_out: the alarm that came first; None = not judged.
        end: state at the end.
        at: states at instants, in order of time.
    """

    broken: tuple[str, ...] = ()
    not_exercised: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    alarms: tuple[str, ...] | None = None
    first_out: str | None = None
    end: State = field(default_factory=State)
    at: tuple[tuple[Ns, State], ...] = ()


@dataclass(frozen=True, slots=True)
class Scenario:
    """One run.

    Args:
        machine: folder name under `programs/`.
        title: one line for people.
        seed: of all chance in the run, 0 or more.
        length: machine time, ns, more than 0.
        stimuli, faults, forces, writes, power: what happens, in the order written.
        parameters: `part.parameter` -> value in the parameter's unit.
        retained: retained tag or chart -> value at the start; then the first start is a warm one.
        phase: by so much later everything comes from outside, expectations and length left as they are, ns. It is how
            a story meets every place in a scan.
        ties: what comes at one instant comes in an order drawn with this seed; 0 = in the order declared and written.
        scans: controller -> how it scans, where that is not as the machine says.
        expect: what the run is judged by.
        places: where each key was written; no part of the value.
    """

    machine: str
    title: str = ""
    seed: int = 1
    length: Ns = LENGTH
    stimuli: tuple[Stimulus, ...] = ()
    faults: tuple[Fault, ...] = ()
    forces: tuple[Force, ...] = ()
    writes: tuple[Write, ...] = ()
    power: tuple[Power, ...] = ()
    parameters: Mapping[str, float] = field(default_factory=dict)
    retained: Mapping[str, Value] = field(default_factory=dict)
    phase: Ns = Ns(0)  # noqa: RUF009 - an int
    ties: int = 0
    scans: Mapping[str, Scans] = field(default_factory=dict)
    expect: Expect = field(default_factory=Expect)
    places: Places = field(default_factory=Places, compare=False, repr=False)

    @property
    def all_faults(self) -> tuple[Fault, ...]:
        """Its faults, and the cuts of power, which are some too."""
        return (*self.faults, *(power.fault for power in self.power))

    def shifted(self) -> "Scenario":
        """Give the same with everything from outside later by `phase`, and no phase: what happens in the run."""
        if not self.phase:
            return self
        by = self.phase
        return replace(
            self,
            phase=Ns(0),
            stimuli=tuple(replace(s, at=Ns(s.at + by)) for s in self.stimuli),
            faults=tuple(replace(f, onset=Ns(f.onset + by)) for f in self.faults),
            forces=tuple(replace(f, at=Ns(f.at + by)) for f in self.forces),
            writes=tuple(replace(w, at=Ns(w.at + by)) for w in self.writes),
            power=tuple(replace(p, at=Ns(p.at + by)) for p in self.power),
        )

    def acts(self) -> tuple[Stimulus, ...]:
        """Give every single action in order of time, the opposite of each `for` included.

        Actions of one instant keep the order written; an opposite comes after those written for its instant.
        """
        ends = [Stimulus(Ns(s.at + s.duration), s.on, OPPOSITES[s.do]) for s in self.stimuli if s.duration != NEVER]
        starts = [Stimulus(s.at, s.on, s.do, s.value) for s in self.stimuli]
        return tuple(sorted(starts + ends, key=lambda act: act.at))


def as_expected(expected: Value | Span, actual: Value) -> bool:
    """Say whether a value is as expected: equal, or from least to most inclusive."""
    if isinstance(expected, tuple):
        return not isinstance(actual, str) and expected[0] <= actual <= expected[1]
    return expected == actual
