"""The kit for programs passes sound ones and finds each breach, planted in what it runs."""

from dataclasses import replace

import pytest

from simplant import BOOL, DINT, INT, TIME, Direction, Program, Tag, constant, ms
from simplant.errors import ProgramError
from simplant.testing import check_program
from simplant.testing import program as kit
from simplant.timebase import NEVER, Ns

TAGS = (
    Tag("go", BOOL, Direction.INPUT),
    Tag("count", INT, Direction.INPUT),
    Tag("wait", TIME, Direction.INPUT),
    Tag("lamp", BOOL, Direction.OUTPUT),
)


def sound():
    """A timer, an edge, a sum that wraps."""
    p = Program("sound", TAGS)
    t = p.tags
    late = p.ton("late", t.go, t.wait)
    p.rung(t.lamp, late.Q)
    total = p.memory("total", DINT)
    p.move(total.becomes(total + 1), when=p.rising("edge", t.go))
    return p


def racing():
    """Two rungs that turn each other over."""
    p = Program("racing", TAGS)
    flip = p.memory("flip")
    p.rung(flip, ~flip & p.tags.go)
    return p


def dividing():
    """Divides by an input."""
    p = Program("dividing", TAGS)
    share = p.memory("share", INT)
    p.move(share.becomes(constant(100, INT) / p.tags.count))
    return p


def test_a_sound_program_passes():
    """A timer, an edge and a sum, on any input."""
    check_program(sound())
    check_program(sound(), values={"count": (3, 4)}, seed=5)


def test_a_race_is_found():
    """Inputs and time are held, and yet it does not come to rest; a tag declared free-running may go on."""
    with pytest.raises(ProgramError, match=r"race: with inputs and time held, flip repeat every 2 scans"):
        check_program(racing())
    excused = racing()
    excused.free_running.add("flip")
    check_program(excused)


def test_a_program_that_fails_is_told():
    """A division by an input that may be 0 is an error of the program."""
    with pytest.raises(ProgramError):
        check_program(dividing())
    check_program(dividing(), values={"count": (1, 2)})


def planted(monkeypatch, change):
    """Let the compiled program be changed."""
    compiled = kit.compile_task
    monkeypatch.setattr(kit, "compile_task", lambda layout: change(compiled(layout)))


def run_of(change):
    """Change what one scan gives."""

    def changed(executable):
        return replace(executable, run=lambda i, s, now: change(executable.run(i, s, now), now))

    return changed


def forgetful():
    """Give a scan that differs from call to call."""
    calls = []

    def change(result, now):
        calls.append(now)
        return result[0], Ns(result[1] - (len(calls) % 2) * (result[1] != NEVER and result[1] > now + 2))

    return run_of(change)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (run_of(lambda r, now: ((not r[0][0], *r[0][1:]), r[1])), "compiled and walked differ in"),
        (
            run_of(lambda r, now: (r[0], NEVER)),
            r"due at .*, but already at .* it changes lamp .*, late\.Q",
        ),
        (run_of(lambda r, now: (r[0], now)), "not later than now"),
        (forgetful(), "the same scan twice is due otherwise"),
    ],
)
def test_each_breach_is_found(monkeypatch, change, told):
    """A compiler that gets a value, a due instant or purity wrong is found out."""
    planted(monkeypatch, change)
    with pytest.raises(ProgramError, match=told):
        check_program(sound(), values={"wait": (int(ms(50)),)})
