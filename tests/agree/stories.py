"""Random stories told to random programs: timings, filters, wires, and what happens at which nanosecond.

The programs are programs.py; power cuts, forces, writes and timings are drawn by tests/kernel/random_programs.py.
Rule: a story is data, so the same one can be told to many controllers.
"""

import re
from dataclasses import replace
from random import Random

from simplant.kernel.controller import Controller
from simplant.kernel.setup import ControllerSetup, Filter
from simplant.logic.compile import compile_task
from simplant.logic.layout import layouts
from simplant.logic.program import Program
from simplant.timebase import Ns, ms, us
from simplant.values import INT
from tests.agree.programs import ANALOGUE, FEW, random_program
from tests.kernel.kit import Line, level, play, power
from tests.kernel.random_programs import INPUTS, Case, random_acts, random_timing

EVERY = (*INPUTS, *ANALOGUE)
LENGTH = ms(700)
_PLACE = re.compile(r"\S+:\d+(:\d+)?: ")


def random_story(
    rnd: Random, *, tasks: int = 3, acts: int = 25, opaque: bool = True, calm=None, make=compile_task
) -> Case:
    """A program of up to `tasks` tasks, made into executables by `make`, and up to `acts` things that happen to it."""
    count = rnd.randint(1, tasks)
    program = random_program(rnd, tasks=count, opaque=opaque and rnd.random() < 0.3, calm=calm)
    return story_of(rnd, program, acts=acts, make=make)


def story_of(rnd: Random, program: Program, *, acts: int = 25, make=compile_task) -> Case:
    """Up to `acts` things that happen to a program."""
    bodies = layouts(program)
    timings = [replace(random_timing(rnd, n, len(bodies)), name=body.task) for n, body in enumerate(bodies)]
    outputs = tuple(t.name for t in program.declared.values() if t.direction.value == "output")
    switches = tuple(n for n in outputs if n.startswith("q"))
    setup = ControllerSetup(
        "plc",
        {n: rnd.choice([ms(0), ms(3), us(3_700), Filter(ms(1), ms(8))]) for n in EVERY if rnd.random() < 0.6},
        {n: 0 if kind is INT else 0.0 for n, kind in ANALOGUE.items()},
        output_delay=rnd.choice([ms(0), ms(1), us(300)]),
        boot=rnd.choice([ms(0), ms(25)]),
        restart=rnd.choice(["warm", "cold"]),
        seed=rnd.randint(0, 9),
    )
    executables = [make(body) for body in bodies]
    kept = {(s.name, type(s.initial)) for e in executables for s in e.slots if s.shown and s.name not in outputs}
    happens = [(0, power(True)), *(presses(rnd) if rnd.random() < 0.5 else ())]
    for _ in range(rnd.randint(3, acts)):
        happens += random_acts(rnd, switches, sorted(kept, key=str)) if kept and rnd.random() < 0.5 else [odd_act(rnd)]
    wires = {n: rnd.choice(INPUTS) for n in switches if rnd.random() < 0.3}
    return Case(setup, tuple(zip(timings, executables, strict=True)), outputs, wires, tuple(happens), LENGTH)


def presses(rnd):
    """Every switch goes on and off again, with time between for timers to run out."""
    for name in INPUTS:
        at, value = rnd.randrange(ms(200)), True
        while at < LENGTH:
            yield at, level(name, value)
            at, value = at + rnd.randint(ms(30), ms(200)), not value


def odd_act(rnd):
    """An input changes at an instant that is on no grid."""
    name, at = rnd.choice(EVERY), Ns(rnd.randrange(LENGTH))
    value = rnd.choice(FEW[ANALOGUE[name]]) if name in ANALOGUE else rnd.random() < 0.5
    return at, level(name, value)


def controller_of(case: Case, *, sleep=True, extra=None, kind=Controller) -> Controller:
    """A controller for a story; whole numbers and reals have a safe value of their own type."""
    safe = {n: 0 for n in case.outputs if n.startswith("w")}
    setup = replace(case.setup, sleep=sleep)
    return kind(setup, case.tasks, EVERY, case.outputs, safe, extra_wakes=extra)


def told(case: Case, controller: Controller) -> list[Line]:
    """Everything that can be seen of a controller while the story is told to it, REAL by its bits."""
    lines = play(controller, case.acts, case.until, case.wires)
    return [(at, name, repr(value)) for at, name, value in lines]


def seen(rnd: Random, program: Program) -> list[Line]:
    """What is seen of a story, in one order for what happens at one instant; of an error, not its place."""
    case = story_of(rnd, program)
    return sorted((at, name, _PLACE.sub("", value)) for at, name, value in told(case, controller_of(case)))
