"""Random controllers, programs and stories for the laws of the sleeping scan.

A program is a list of small statements over Boolean cells: truth tables of three cells, on-delay timers
that keep their start and report their due, edges, a counter, a REAL that changes only its sign bit, an error.
Rule: everything is drawn from the `Random` given, so hypothesis and plain seeds share one generator.
"""

from dataclasses import dataclass
from math import copysign

from simplant.errors import ProgramError
from simplant.kernel.executable import Executable, Slot
from simplant.kernel.setup import ControllerSetup, Filter, TaskSetup
from simplant.timebase import NEVER, ms, us
from tests.kernel.kit import force, hang, level, power, program, start, stop, write

INPUTS = ("a", "b", "c", "d")
SHARED = ("s0", "s1")


@dataclass(frozen=True)
class Case:
    """A controller, its programs, and what happens to it."""

    setup: ControllerSetup
    tasks: tuple
    outputs: tuple
    wires: dict
    acts: tuple
    until: int


def random_task(rnd, number, owned) -> Executable:
    """One program: some inputs, its own cells, shared ones, outputs of its own (`owned`)."""
    inputs = tuple(n for n in INPUTS if rnd.random() < 0.6) or INPUTS[:1]
    shared = tuple(n for n in SHARED if rnd.random() < 0.7)
    cells = [f"m{number}{i}" for i in range(rnd.randint(1, 3))] + list(owned) + list(shared)
    slots = [Slot(n, False, retain=n[0] == "m" and rnd.random() < 0.5) for n in cells[: len(cells) - len(shared)]]
    slots += [Slot(n, False, retain=n == "s0") for n in shared]
    slots += [
        Slot(f"t{number}", -1, shown=False),
        Slot(f"n{number}", 0, retain=True),
        Slot(f"r{number}", 0.0, shown=False),
        Slot(f"e{number}", False, shown=False),
    ]
    where = {slot.name: len(inputs) + p for p, slot in enumerate(slots)}
    sources = [*range(len(inputs)), *(where[n] for n in cells)]
    steps = [random_step(rnd, sources, where, cells, number) for _ in range(rnd.randint(2, 7))]

    def run(image, state, now):
        env, dues = [*image, *state], [NEVER]
        for step in steps:
            step(env, now, dues)
        return tuple(env[len(inputs) :]), min(dues)

    return program(inputs, slots, run, owned, shared)


@dataclass(frozen=True)
class Step:
    """One statement: reads the cells x, y, z, writes the cell `target`; the other cells are its stores."""

    x: int
    y: int
    z: int
    target: int
    table: int
    timer: int
    preset: int
    count: int
    real: int
    edge: int

    def table_of(self, env, now, dues):
        env[self.target] = bool(self.table >> (env[self.x] << 2 | env[self.y] << 1 | env[self.z]) & 1)

    def on_edge(self, env, now, dues):
        env[self.target], env[self.edge] = bool(env[self.x] and not env[self.edge]), env[self.x]

    def on_count(self, env, now, dues):
        env[self.count] += bool(env[self.x]) and env[self.count] < 5
        env[self.target] = env[self.count] >= 5

    def on_sign(self, env, now, dues):
        """Only the sign bit of a zero changes, which `==` does not see."""
        env[self.real] = -env[self.real] if env[self.x] else env[self.real]
        env[self.target] = copysign(1.0, env[self.real]) < 0

    def on_clock(self, env, now, dues):
        """Volatile while x is on: it reads the clock."""
        if env[self.x]:
            env[self.target] = bool(now // ms(7) & 1)
            dues.append(now + 1)

    def on_delay(self, env, now, dues):
        """An on-delay: keeps its start, reports when its output will change."""
        if not env[self.x]:
            env[self.timer], env[self.target] = -1, False
            return
        if env[self.timer] < 0:
            env[self.timer] = now
        env[self.target] = now - env[self.timer] >= self.preset
        if not env[self.target]:
            dues.append(env[self.timer] + self.preset)

    def fail(self, env, now, dues):
        if env[self.x] and env[self.y] and env[self.z] and self.table < 20:
            raise ProgramError("a random program meant to fail")


def random_step(rnd, sources, where, cells, number):
    """One statement, with the stores of its task (where two share a timer or edge, that is a program like any)."""
    x, y, z = (rnd.choice(sources) for _ in range(3))
    step = Step(
        x, y, z, where[rnd.choice(cells)], rnd.getrandbits(8), where[f"t{number}"],
        rnd.choice([ms(5), ms(13), ms(20), us(33_333)]), where[f"n{number}"], where[f"r{number}"], where[f"e{number}"],
    )  # fmt: skip
    kinds = (
        [step.table_of] * 3
        + [step.on_delay] * 2
        + [step.on_edge, step.on_count, step.on_sign, step.on_clock, step.fail]
    )
    return rnd.choice(kinds)


def random_case(rnd, *, tasks=3, acts=30) -> Case:
    """A whole case of up to `tasks` tasks and `acts` stimuli over 600 ms."""
    count = rnd.randint(1, tasks)
    outputs = tuple(f"q{i}" for i in range(count))
    timings = [random_timing(rnd, i, count) for i in range(count)]
    programs = [random_task(rnd, i, (outputs[i],)) for i in range(count)]
    setup = ControllerSetup(
        "plc",
        {n: rnd.choice([ms(0), ms(3), Filter(ms(1), ms(8))]) for n in INPUTS if rnd.random() < 0.6},
        output_delay=rnd.choice([ms(0), ms(1), us(300)]),
        boot=rnd.choice([ms(0), ms(25)]),
        restart=rnd.choice(["warm", "cold"]),
        seed=rnd.randint(0, 9),
    )
    wires = {n: rnd.choice(INPUTS) for n in outputs if rnd.random() < 0.3}
    memory = sorted(
        {(slot.name, type(slot.initial)) for p in programs for slot in p.slots if slot.shown}
        - {(n, bool) for n in outputs},
        key=str,
    )
    stimuli = [(0, power(True))]
    for _ in range(rnd.randint(3, acts)):
        stimuli += random_acts(rnd, outputs, memory)
    return Case(setup, tuple(zip(timings, programs, strict=True)), outputs, wires, tuple(stimuli), ms(600))


def random_timing(rnd, number, count) -> TaskSetup:
    """Mostly such that the controller may sleep."""
    if rnd.random() < 0.15:
        return TaskSetup(
            f"task{number}", ms(10), rnd.randint(1, 3), execution=ms(rnd.randint(1, 12)), execution_jitter=ms(2),
            start_jitter=rnd.choice([ms(0), ms(2)]), watchdog=ms(rnd.choice([11, 100])),
        )  # fmt: skip
    busy = rnd.choice([0, 100, 400])
    return TaskSetup(
        f"task{number}", ms(rnd.choice([5, 10, 20])), rnd.randint(1, 3), phase=ms(rnd.choice([0, 0, 2])),
        execution=us(busy), execution_jitter=us(rnd.choice([0, busy])),
        start_jitter=us(rnd.choice([0, 0, 700])) if count == 1 else us(0), watchdog=ms(50),
    )  # fmt: skip


def random_acts(rnd, outputs, memory):
    """One stimulus, or going and coming back; most of them on the grid, where ties are."""
    at = ms(rnd.randint(1, 599)) if rnd.random() < 0.7 else us(rnd.randint(1, 599_999))
    back = at + ms(rnd.choice([1, 10, 37, 60]))
    kind = rnd.random()
    if kind < 0.6:
        return [(at, level(rnd.choice(INPUTS), rnd.random() < 0.5))]
    if kind < 0.78:
        name, value = rnd.choice(INPUTS + outputs), rnd.random() < 0.5
        return [(at, force(name, value)), (back + ms(20), force(name, None))]
    if kind < 0.9:
        name, sort = rnd.choice(memory)
        return [(at, write(name, sort(rnd.randint(0, 1))))]
    pairs = [
        (power(False), power(True)),
        (power(False), power(True, cold=True)),
        (stop(), start()),
        (hang(True), hang(False)),
    ]
    go, come = rnd.choice(pairs)
    return [(at, go), (back, come)]
