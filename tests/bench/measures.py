"""What is measured: five ratios with the bounds they must keep, and the plain figures behind them.

Timing is clock.py, showing run.py. Rule: a ratio is made of two times taken in turn in one process; bounds are
ratios, since seconds depend on the machine.
"""

import gc
import json
import subprocess
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from hypothesis import HealthCheck, Phase, given, settings

from simplant.fuzz import Decoder
from simplant.fuzz.draw import stories
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.rig.rig import Rig
from simplant.scenario.model import Expect, Scenario
from simplant.scenario.recorder import Recorder
from simplant.timebase import Ns, seconds
from tests.bench.clock import in_turn, seconds_of, side_by_side
from tests.bench.many import listing, stories_against_integers, two_processes
from tests.bench.reading import long_text, read
from tests.bench.recorded import record, scenarios_of
from tests.bench.sweeping import cost_of_faults, cuts_a_second
from tests.bench.twin import CometToss, Inputs

DRAWS = 100
"""Stories drawn in one turn."""
SLICES = 16
"""Parts in which the long run is timed, with short runs between them."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """One ratio: what against what, the bound it must keep, and which way."""

    name: str
    what: str
    value: float
    bound: float
    least: bool = False

    @property
    def kept(self) -> bool:
        """Whether it keeps its bound."""
        return self.value >= self.bound if self.least else self.value <= self.bound


@dataclass
class Bench:
    """One machine with its 60 s scenario; ratios and figures gather here."""

    machine: Machine
    turns: int
    hours: float
    ratios: list[Ratio] = field(default_factory=list)
    figures: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.scenario: Scenario = scenarios_of(self.machine)["good_calls"]

    def run(self, *, every_scan: bool = False) -> Run:
        """Run 60 s with trace and all rules."""
        return run_scenario(self.machine, self.scenario, every_scan=every_scan)

    def all(self) -> None:
        """Measure everything."""
        self.run()
        self.sleeping()
        self.drawing()
        self.compiled()
        self.in_text()
        self.long()
        self.panel()
        self.reading()
        self.many()
        self.sweeping()

    def sweeping(self) -> None:
        """(g) All single faults planned and none active, against none; and a sweep of power cuts."""
        value = cost_of_faults(self.machine, self.scenario, self.turns)
        self.ratios.append(Ratio("g", "60 s with every fault planned and none active, against none", value, 1.05))
        count = 600 if self.turns < 30 else 6000
        pace = cuts_a_second(self.machine, self.scenario, count)
        self.figures |= {f"power cuts of 60 s a second ({count})": pace, "6,000 power cuts, s": 6000 / pace}

    def reading(self) -> None:
        """(e) A line of a file of 10,000 lines of Structured Text, against a line of one of 1,000."""
        short, whole = long_text(1_000), long_text(10_000)
        one, ten = in_turn(2, lambda: read(short), lambda: read(whole))
        lines = whole.count("\n")
        times = ten / lines, one / short.count("\n")
        self.ratios.append(Ratio("(e)", "a line of a long file : of a short one", times[0] / times[1], 3))
        self.figures["lines of Structured Text read, checked and compiled a second"] = lines / ten

    def sleeping(self) -> None:
        """(a) The run with every scan, against the one that sleeps."""
        asleep, awake = in_turn(max(2, self.turns // 3), self.run, lambda: self.run(every_scan=True))
        self.ratios.append(Ratio("a", "60 s with every scan, against sleeping", awake / asleep, 10, least=True))
        run = self.run()
        self.figures |= {
            "60 s with every scan, ms": awake * 1e3,
            "scans in 60 s, asleep": sum(s.run for s in run.scans),
            "scans in 60 s, every": sum(s.run + s.slept for s in run.scans),
            "plant moves in 60 s": run.moves,
            "trace rows in 60 s": sum(1 for _ in run.trace),
        }

    def drawing(self) -> None:
        """(b) The run, against drawing a story with an empty body."""
        decoder = Decoder(self.machine)

        @settings(
            max_examples=DRAWS, deadline=None, database=None, phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        @given(stories(*decoder.sizes))
        def empty(_story: object) -> None:
            pass

        def without_rules() -> None:
            Rig(self.machine, self.scenario, claims=()).run()

        run, draws, bare = in_turn(self.turns, self.run, empty, without_rules)
        draw = draws / DRAWS
        self.ratios.append(Ratio("b", "60 s with trace and all rules, against drawing a story", run / draw, 2))
        self.figures |= {
            "60 s with trace and all rules, ms": run * 1e3,
            "60 s with trace, no rules, ms": bare * 1e3,
            "drawing a story, ms": draw * 1e3,
            "60 s runs a second": 1 / run,
            "us per plant move, all told": run * 1e6 / self.figures["plant moves in 60 s"],
        }

    def compiled(self) -> None:
        """(c) Every scan of the compiled logic, against its plain-Python twin, fed with the same images."""
        scans = [(Inputs._make(s.inputs), s.now) for s in record(self.machine, self.scenario)]
        ((_, executable),) = self.machine.controllers[0].tasks

        def compiled() -> None:
            run, state = executable.run, executable.initial
            for inputs, now in scans:
                state, _ = run(inputs, state, now)

        def twin() -> None:
            scan = CometToss().scan
            for inputs, now in scans:
                scan(inputs, now)

        ours, theirs = in_turn(self.turns, compiled, twin)
        self.ratios.append(Ratio("c", "compiled logic, every scan, against plain Python", ours / theirs, 2))
        self.figures |= {
            "us per scan, compiled": ours * 1e6 / len(scans),
            "us per scan, plain Python": theirs * 1e6 / len(scans),
        }

    def panel(self) -> None:
        """(f) The operator panel at ten times the pace of the clock: its share of a core; how long opening takes."""
        done = subprocess.run([sys.executable, "-m", "tests.bench.panel"], capture_output=True, text=True, check=True)
        told: dict[str, float] = json.loads(done.stdout)
        self.ratios += [
            Ratio("f", "panel at 10 x, processor time against time", told["share of a core"], 0.5),
            Ratio("f", "panel at 10 x, pictures a second", told["pictures a second"], 9.0, least=True),
            Ratio(
                "f",
                "opening the panel, against importing Textual",
                told["opening the panel, s"] / told["importing Textual, s"],
                3,
            ),
        ]
        self.figures |= {f"panel: {name}": value for name, value in told.items()}

    def in_text(self) -> None:
        """(f) Every scan of the same program in Structured Text, against the one authored in Python."""
        text = Machine.load(self.machine.folder, logic=self.machine.folder / "logic.st")
        jobs = [self._scans_of(machine) for machine in (self.machine, text)]
        value = side_by_side(self.turns, *jobs)
        self.ratios.append(Ratio("f", "a scan in Structured Text, against the one authored in Python", value, 1.02))
        asleep = run_scenario(text, self.scenario)
        self.figures["scans in 60 s, asleep, in Structured Text"] = sum(s.run for s in asleep.scans)

    def _scans_of(self, machine: Machine) -> Callable[[], None]:
        scans = [(s.inputs, s.now) for s in record(machine, self.scenario)]
        ((_, executable),) = machine.controllers[0].tasks

        def play() -> None:
            run, state = executable.run, executable.initial
            for inputs, now in scans:
                state, _ = run(inputs, state, now)

        return play

    def long(self) -> None:
        """(d) Hours with the trace to disk: cost of a simulated second against that of 60 s, and memory."""
        play, short = long_play(self.scenario, self.hours), []
        with _to_disk(self.machine, play) as recorder:
            slices, rest = _timed(self.machine, play, recorder, lambda: short.append(seconds_of(self.run)))
        second, of_60 = (sum(slices) + rest) / (self.hours * 3600), median(short) / 60
        self.ratios.append(
            Ratio("d", f"{self.hours:g} h, a simulated second against that of 60 s", second / of_60, 1.2)
        )
        peaks = self.memory(max(2.0, self.hours / 4))
        self.ratios.append(Ratio("d", "peak memory of the last eighth, against the first", peaks[-1] / peaks[0], 1.05))
        self.figures |= {
            f"{self.hours:g} h, s": sum(slices) + rest,
            "of which building and judging, s": rest,
            "times faster than the machine": 1 / second,
            "time of the last eighth, against the first": sum(slices[-2:]) / sum(slices[:2]),
            "peak memory of the first eighth, MB": peaks[0] / 1e6,
            "peak memory of the last eighth, MB": peaks[-1] / 1e6,
        }

    def many(self) -> None:
        """(m) Stories with fault variants, against hypothesis's empty test; two processes; results listed."""
        decoder, turns = Decoder(self.machine), max(2, self.turns // 5)
        runs, integers, each_story = stories_against_integers(self.machine, decoder, turns)
        self.ratios += [
            Ratio("m", "60 s runs a second, against empty tests of one integer", runs / integers, 0.25, least=True),
            Ratio("m", "two processes, against one", two_processes(self.machine, decoder, 1), 1.8, least=True),
            Ratio("m", "100,000 results listed, s", listing(), 1),
        ]
        self.figures |= {
            "60 s runs a second, with fault variants": runs,
            "runs for each drawn story": each_story,
            "empty tests of one integer a second": integers,
        }

    def memory(self, hours: float) -> list[int]:
        """Give the peak of traced memory in each eighth of a run, in bytes.

        An eighth fills the recorder at least once; calls are made as it goes, so that none are stored beforehand.
        """
        peaks: list[int] = []
        minutes = round(hours * 60 / 8)
        calls = [s for s in self.scenario.stimuli if s.on.startswith("spot")]

        def pace(rig: Rig, _until: Ns) -> None:
            for _ in range(8):
                gc.collect()
                tracemalloc.reset_peak()
                for _ in range(minutes):
                    for call in calls:
                        rig.press(call.on, at=Ns(rig.now + call.at), for_=call.duration)
                    rig.run(seconds(60))
                peaks.append(tracemalloc.get_traced_memory()[1])

        play = replace(self.scenario, stimuli=self.scenario.stimuli[: -len(calls)], expect=Expect())
        with _to_disk(self.machine, play) as recorder:
            tracemalloc.start()
            run_scenario(self.machine, play, recorder=recorder, pace=pace)
            tracemalloc.stop()
        return peaks


def _timed(
    machine: Machine, play: Scenario, recorder: Recorder, between: Callable[[], object]
) -> tuple[list[float], float]:
    """Time a run in slices, with something else between them, and apart from it building and judging."""
    slices: list[float] = []
    rest = 0.0
    began = perf_counter()

    def pace(rig: Rig, until: Ns) -> None:
        nonlocal began, rest
        rest = perf_counter() - began
        for part in range(1, SLICES + 1):
            between()
            slices.append(seconds_of(lambda: rig.run_until(Ns(until * part // SLICES))))  # noqa: B023 - called at once
        began = perf_counter()

    run_scenario(machine, play, recorder=recorder, pace=pace)
    return slices, rest + perf_counter() - began


@contextmanager
def _to_disk(machine: Machine, scenario: Scenario) -> Iterator[Recorder]:
    with TemporaryDirectory() as folder:
        yield Recorder(Rig.header_of(machine, scenario), Path(folder) / "long.trace")


def long_play(short: Scenario, hours: float) -> Scenario:
    """Give the scenario with its calls made again each minute, for hours; nothing is expected of it."""
    minutes = round(hours * 60)
    calls = [s for s in short.stimuli if s.on.startswith("spot")]
    again = [replace(s, at=Ns(s.at + n * seconds(60))) for n in range(1, minutes) for s in calls]
    return replace(short, length=Ns(minutes * seconds(60)), stimuli=(*short.stimuli, *again), expect=Expect())
