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
    timers = [f"t{number}{i}" for i in range(rnd.randint(0, 2))]
    slots = [Slot(n, False, retain=n[0] == "m" and rnd.random() < 0.5) for n in cells[: len(cells) - len(shared)]]
    slots += [Slot(n, False, retain=n == "s0") for n in shared]
    slots += [Slot(n, -1, shown=False) for n in timers]
    slots += [
        Slot(f"n{number}", 0, retain=True),
        Slot(f"r{number}", 0.0, shown=False),
        Slot(f"e{number}", False, shown=False),
    ]
    where = {slot.name: len(inputs) + p for p, slot in enumerate(slots)}
    sources = [*range(len(inputs)), *(where[n] for n in cells)]
    steps = [random_step(rnd, sources, where, cells, timers, number) for _ in range(rnd.randint(2, 7))]

    def run(image, state, now):
        env, dues = [*image, *state], [NEVER]
        for step in steps:
            step(env, now, dues)
        return tuple(env[len(inputs) :]), min(dues)

    return program(inputs, slots, run, owned, shared)


def random_step(rnd, sources, where, cells, timers, number):
    """One statement: reads some cells, writes one."""
    x, y, z = (rnd.choice(sources) for _ in range(3))
    target, table = where[rnd.choice(cells)], rnd.getrandbits(8)
    kind = rnd.choice(["table", "table", "table", "timer", "edge", "count", "real", "clock", "error"])

    def by_table(env, now, dues):
        env[target] = bool(table >> (env[x] << 2 | env[y] << 1 | env[z]) & 1)

    def by_edge(env, now, dues):
        memory = where[f"e{number}"]
        env[target], env[memory] = bool(env[x] and not env[memory]), env[x]

    def by_count(env, now, dues):
        n = where[f"n{number}"]
        env[n] += bool(env[x]) and env[n] < 5
        env[target] = env[n] >= 5

    def by_sign(env, now, dues):
        r = where[f"r{number}"]
        env[r] = -env[r] if env[x] else env[r]
        env[target] = copysign(1.0, env[r]) < 0

    def by_clock(env, now, dues):
        """Volatile while x is on: it reads the clock."""
        if env[x]:
            env[target] = bool(now // ms(7) & 1)
            dues.append(now + 1)

    def by_error(env, now, dues):
        if env[x] and env[y] and env[z] and table < 20:
            raise ProgramError("a random program meant to fail")

    if kind == "timer" and timers:
        return timer_step(where[rnd.choice(timers)], x, target, rnd.choice([ms(5), ms(13), ms(20), us(33_333)]))
    return {"edge": by_edge, "count": by_count, "real": by_sign, "clock": by_clock, "error": by_error}.get(
        kind, by_table
    )


def timer_step(start, x, target, preset):
    """An on-delay: keeps its start, reports when its output will change."""

    def by_timer(env, now, dues):
        if not env[x]:
            env[start], env[target] = -1, False
            return
        if env[start] < 0:
            env[start] = now
        env[target] = now - env[start] >= preset
        if not env[target]:
            dues.append(env[start] + preset)

    return by_timer


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
