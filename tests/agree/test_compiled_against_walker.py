"""The compiled program and the plain walk of its core agree in every stored value, at every scan.

Whole random programs (programs.py) on random inputs, at instants of any distance. What sleeping makes of the
compiled program's due instants is test_sleeping.py. Rule: values are compared by type and bits, errors in full.
"""

from random import Random

import pytest
from hypothesis import given

from simplant.errors import ProgramError
from simplant.kernel.same import same
from simplant.logic.compile import compile_task
from simplant.logic.layout import layouts
from simplant.logic.walk import walk_task
from simplant.timebase import NEVER, Ns, ms
from tests.agree.programs import TIMES, random_image, random_program, randoms


def outcome(executable, image, state, now):
    """The state after, by name, with the due instant; or what was raised, and where."""
    try:
        after, due = executable.run(image, state, now)
    except ProgramError as error:
        return (error.what, error.why, error.mend, error.place), None
    return after, due


def alike(a, b):
    return len(a) == len(b) and all(type(x) is type(y) and same(x, y) for x, y in zip(a, b, strict=True))


def scans(rnd, layout, count=40):
    """Image, state and instant of some scans of a task: inputs change now and then, other tasks write, time jumps."""
    executable = compile_task(layout)
    state, image, now = executable.initial, random_image(rnd, layout.inputs), 0
    for _ in range(count):
        yield image, state, Ns(now)
        after, due = outcome(executable, image, state, Ns(now))
        state = state if due is None else after
        if rnd.random() < 0.4:
            image = random_image(rnd, layout.inputs)
        jump = rnd.choice([ms(10), ms(10), 1, rnd.choice(TIMES) + 1])
        now = due if due not in (None, NEVER) and rnd.random() < 0.3 else now + jump


def check(rnd, tasks):
    """Hold every task of one program, walked and compiled, together."""
    for layout in layouts(random_program(rnd, tasks=tasks)):
        fast, plain = compile_task(layout), walk_task(layout)
        assert (fast.slots, fast.initial, fast.inputs) == (plain.slots, plain.initial, plain.inputs)
        for image, state, now in scans(rnd, layout):
            made, wanted = outcome(fast, image, state, now), outcome(plain, image, state, now)
            names = [s.name for s in layout.slots]
            assert (made[1] is None) == (wanted[1] is None), (made, wanted)
            if made[1] is None:
                assert made == wanted
            else:
                differing = {
                    n: (a, b) for n, a, b in zip(names, made[0], wanted[0], strict=True) if not alike((a,), (b,))
                }
                assert differing == {}


@given(randoms())
def test_compiled_and_walked_agree(rnd):
    """Compiled and walked, a program leaves the same values in every slot, or raises the same at the same place."""
    check(rnd, rnd.randint(1, 2))


@pytest.mark.parametrize("seed", range(60))
def test_compiled_and_walked_agree_on_plain_seeds(seed):
    """The same law on programs of full size, which hypothesis draws seldom."""
    check(Random(seed), seed % 3 + 1)


@pytest.mark.parametrize("seed", range(60))
def test_nothing_turns_before_it_is_due(seed):
    """After a quiet scan, a scan at any later instant before its due leaves the same state; so says the walker."""
    rnd = Random(seed)
    for layout in layouts(random_program(rnd, tasks=seed % 3 + 1, opaque=False)):
        fast, plain = compile_task(layout), walk_task(layout)
        for image, state, now in scans(rnd, layout):
            after, due = outcome(fast, image, state, now)
            if due is None or not alike(after, state) or due <= now + 1:
                continue
            last = min(due - 1, now + ms(500))
            for later in {now + 1, last, rnd.randint(now + 1, last), min(now + ms(10), last)}:
                assert alike(outcome(plain, image, state, Ns(later))[0], state), (later, due)
