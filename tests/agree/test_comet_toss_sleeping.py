"""The comet_toss machine on the bench: every scan, sleeping, extra wakes and the plain walker make one trace.

Random days of visitors, attendants and faults; programs on a controller alone are test_sleeping.py. Rule: traces are
compared as text, byte for byte.
"""

from functools import cache
from random import Random

import pytest

from simplant.chance import draw
from simplant.faults import Fault
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Power, Scenario, Stimulus
from simplant.timebase import NEVER, Ns, ms, seconds
from tests.agree.twins import walked

LENGTH = seconds(50)


@cache
def comet_toss():
    return Machine.load("programs/comet_toss")


def random_day(seed, faults):
    """A start as by the book, then anybody does anything; instants are on no grid."""
    rnd = Random(seed)
    book = [
        (ms(500), "mode", "select", rnd.choice([1, 2, 3])),
        (seconds(2), "reset", "press", 0.2),
        (seconds(3), "start", "press", 0.2),
    ]
    stimuli = [Stimulus(at, part, do, value) for at, part, do, value in book]
    doers = [(n, a) for n, plan in comet_toss().plans.items() for a in plan.kind.ACTIONS]
    for _ in range(rnd.randint(5, 25)):
        part, action = rnd.choice(doers)
        stimuli.append(Stimulus(Ns(rnd.randrange(LENGTH)), part, action, value_for(rnd, action)))
    broken = [random_fault(rnd) for _ in range(faults)]
    cuts = (Power(Ns(rnd.randrange(LENGTH)), duration=ms(700)),) if rnd.random() < 0.3 else ()
    stimuli.sort(key=lambda s: s.at)
    return Scenario("comet_toss", seed=seed, length=LENGTH, stimuli=tuple(stimuli), faults=tuple(broken), power=cuts)


def value_for(rnd, action):
    return {"select": rnd.randint(0, 3), "dip": 0.1, "press": rnd.choice([None, 0.3])}.get(action)


def random_fault(rnd):
    entry = rnd.choice([e for e in comet_toss().catalogue if e.mode.kind != "swapped"])
    return Fault(entry.target, entry.mode.kind, Ns(rnd.randrange(LENGTH)), Ns(rnd.choice([ms(300), seconds(5), NEVER])))


def text(machine, scenario, **how):
    return Rig(machine, scenario, claims=(), **how).run().trace.text()


@pytest.mark.parametrize("seed", range(12))
def test_one_trace_however_scanned(seed):
    """Sleeping, waking now and then for nothing, and scanning always: the same bytes, with up to two faults."""
    day = random_day(seed, faults=seed % 3)
    every = text(comet_toss(), day, every_scan=True)
    assert text(comet_toss(), day) == every
    assert text(comet_toss(), day, extra_wakes=lambda task, k: draw(seed, task, k) < 0.05) == every


@pytest.mark.slow
def test_the_walker_makes_the_same_trace():
    """A day with tosses, its programs walked plainly at every scan: the same bytes as compiled and asleep."""
    day = random_day(0, faults=0)
    assert text(walked(comet_toss()), day) == text(comet_toss(), day)


def test_the_days_are_lively():
    """The random days come by most of the steps, and one of them does all of a toss."""
    lines = [line.split() for seed in range(12) for line in text(comet_toss(), random_day(seed, seed % 3)).splitlines()]
    steps = {line[2] for line in lines if line[1:2] == ["cycle"]}
    assert steps >= {"aim", "load", "toss", "leave", "air", "jog", "stopping", "tripped"}
