"""The race check on small programs written by hand as pure functions."""

from simplant.kernel.executable import Slot
from simplant.rules import Finding, settles
from simplant.timebase import NEVER, Ns


def check(step, *slots, inputs=(), free_running=()):
    def run(inputs, state, now):
        return step(inputs, state), NEVER

    state = tuple(slot.initial for slot in slots)
    return settles(run, inputs, state, Ns(5), slots, free_running)


LEFT, RIGHT, HIDDEN, BEAT = (
    Slot("left", False),
    Slot("right", True),
    Slot("edge.M", False, shown=False),
    Slot("beat", 0),
)


def test_a_program_at_rest_is_no_finding():
    """A latch, and an edge memory that needs a second scan to settle."""
    assert check(lambda i, s: (s[0] or i[0], s[1]), LEFT, RIGHT, inputs=(True,)) is None
    assert check(lambda i, s: (i[0] and not s[1], i[0]), LEFT, HIDDEN, inputs=(True,)) is None


def test_a_repeated_state_is_a_race_with_its_tags():
    """Two rungs that chase each other repeat every second scan; what rests is not named, block fields come last."""
    found = check(lambda i, s: (not s[2], s[1], not s[2]), LEFT, RIGHT, HIDDEN)
    assert found == Finding(Ns(5), 2, ("left", "edge.M"))
    assert found.is_race
    assert str(found) == "t=5 ns: race: with inputs and time held, left, edge.M repeat every 2 scans"


def test_no_end_is_undecided():
    """A count that never repeats within 1,000 scans."""
    found = check(lambda i, s: (s[0] + 1,), BEAT)
    assert (found.is_race, found.period, found.names) == (False, 0, ("beat",))
    assert str(found) == "t=5 ns: no rest: with inputs and time held, beat still change after 1000 scans"


def test_free_running_tags_are_excepted_but_hide_no_race():
    """A declared heartbeat is no finding; a race beside it still is."""
    assert check(lambda i, s: (s[0] + 1,), BEAT, free_running=("beat",)) is None
    found = check(lambda i, s: (s[0] + 1, not s[1]), BEAT, LEFT, free_running=("beat",))
    assert found == Finding(Ns(5), 2, ("left",))


def test_reals_are_compared_by_bits():
    """A NaN is at rest; 0.0 and -0.0 in turn are a race."""
    value = Slot("x", float("nan"))
    assert check(lambda i, s: s, value) is None
    assert check(lambda i, s: (-s[0],), Slot("x", 0.0)) == Finding(Ns(5), 2, ("x",))
