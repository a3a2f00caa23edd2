"""Two-hand control, light curtain, guard lock, as tables of changes; they prove nothing about safety functions."""

import pytest

from simplant.errors import PlantError
from simplant.timebase import Ns
from simplant.wiring.guard_lock import GuardLock
from simplant.wiring.light_curtain import LightCurtain
from simplant.wiring.two_hand import TwoHand
from tests.driving import do, fault, mend, milliseconds, put

ON, OFF = put(left=True, right=True), put(left=False, right=False)


def outs(steps, until=9000, **parameters):
    told = milliseconds(TwoHand("th", parameters), steps, until)
    return [(t, value) for t, name, value in told if name == "out"]


def test_two_hands_together_and_both_off_before_the_next_time():
    """Both within 0.5 s give it; either off ends it; the other one must be off too before it comes again."""
    steps = [
        (100, put(left=True)), (600, put(right=True)), (1000, put(left=False)), (1100, put(left=True)),
        (1200, OFF), (1300, ON), (1400, OFF),
        (2000, put(left=True)), (2501, put(right=True)), (2600, OFF), (2700, put(right=True)), (3000, put(left=True)),
    ]  # fmt: skip
    assert outs(steps, 4000) == [(600, True), (1000, False), (1300, True), (1400, False), (3000, True)]


def test_a_tied_down_button_gives_nothing():
    """The left one tied down, the right one gives nothing, however often; nor do hands that are there at power-up."""
    tied = [(100, put(left=True)), *((n, put(right=n % 2000 == 1000)) for n in range(1000, 9000, 1000))]
    assert outs(tied) == []
    assert outs([(0, ON), (500, put(right=False)), (600, put(right=True))], 2000) == []
    assert outs([(100, ON), (200, put(volts=0.0)), (300, put(volts=24.0)), (400, OFF), (500, ON)], 2000) == [
        (100, True), (200, False), (500, True),
    ]  # fmt: skip


def test_failures_of_a_two_hand_relay():
    """Dead it gives nothing; welded it goes on without hands, once it has been given."""
    assert outs([(0, fault("dead")), (100, ON)]) == []
    assert outs([(0, fault("welded")), (100, ON), (200, OFF), (300, mend("welded"))]) == [(100, True), (300, False)]


def test_its_lamp_says_that_it_waits():
    """One hand in time waits for the other; after that it is barred until both are off."""
    told = milliseconds(TwoHand("th"), [(100, put(left=True)), (900, put(right=True)), (1000, OFF)], 2000)
    assert told == [(100, "waits", True), (1000, "waits", False)]


def clears(steps, until=5000, **parameters):
    told = milliseconds(LightCurtain("lc", parameters), steps, until)
    assert [(t, not value) for t, name, value in told if name == "clear"] == [
        (t, value) for t, name, value in told if name == "interrupted"
    ]
    return [(t, value) for t, name, value in told if name == "clear"]


def test_a_hand_is_in_the_field_whatever_the_curtain_says():
    """`occupied` is the truth: bypassed, and without supply too."""
    steps = [(500, fault("bypassed")), (1000, do("interrupt", 0.5)), (2000, put(volts=0.0)), (2500, do("interrupt"))]
    told = milliseconds(LightCurtain("lc"), steps, 3000)
    assert [(t, value) for t, name, value in told if name == "occupied"] == [(1000, True), (1500, False), (2500, True)]


def test_a_light_curtain_responds_and_comes_back():
    """On 80 ms after power, off 14 ms after a hand, on 80 ms after it; a body of 10 ms is missed."""
    steps = [(1000, do("interrupt")), (1500, do("leave")), (2000, do("interrupt", 0.01)), (3000, do("interrupt", 0.05))]
    assert clears(steps) == [(80, True), (1014, False), (1580, True), (3014, False), (3130, True)]


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ([(1000, fault("misaligned")), (2000, mend("misaligned"))], [(1014, False), (2080, True)]),
        ([(1000, fault("bypassed")), (1500, do("interrupt")), (3000, mend("bypassed"))], [(3000, False)]),
        ([(1000, fault("flickering", 1.5)), (4500, mend("flickering"))], [(2500, False), (2580, True), (4000, False),
                                                                          (4080, True)]),
        ([(1000, put(volts=10.0)), (2000, put(volts=24.0))], [(1000, False), (2080, True)]),
    ],
    ids=["misaligned", "bypassed", "flickering", "no supply"],
)  # fmt: skip
def test_failures_of_a_light_curtain(steps, said):
    """Each from 1 s on, on a curtain that is clear."""
    assert clears(steps) == [(80, True), *said]


def test_a_light_curtain_takes_no_other_word():
    """A time that is none is refused and changes nothing."""
    part = LightCurtain("lc")
    part.begin(Ns(0))
    for wrong in (0, -1.0, "long"):
        with pytest.raises(PlantError) as caught:
            part.act("interrupt", wrong, Ns(0))
        assert str(caught.value) == f"'lc' cannot be reached into for {wrong!r}. Say how many seconds, above 0."
    with pytest.raises(PlantError, match="cannot 'intrude'"):
        part.act("intrude", None, Ns(0))


def guards(steps, **parameters):
    told = milliseconds(GuardLock("g", parameters), steps, 3000)
    assert [(t, not value) for t, name, value in told if name == "closed"] == [
        (t, value) for t, name, value in told if name == "switch"
    ]
    return [change for change in told if change[1] != "switch"]


def test_a_guard_lock_opens_only_when_told():
    """Locked from the start; pulled in vain; unlocked the bolt is out 50 ms later; open it does not lock."""
    steps = [
        (100, do("open")), (200, put(unlock=True)), (300, do("open")), (400, put(unlock=False)), (500, do("close")),
        (1000, put(unlock=True)), (1020, put(unlock=False)), (2000, do("open")),
    ]  # fmt: skip
    assert guards(steps) == [
        (0, "locked", True), (100, "pulled", 1), (250, "locked", False), (300, "closed", False), (300, "open", True),
        (500, "closed", True), (500, "open", False), (550, "locked", True), (2000, "pulled", 2),
    ]  # fmt: skip


def test_power_to_lock_frees_the_door_without_power():
    """The solenoid holds the bolt in: without volts it is out, whatever the program says."""
    steps = [(1000, put(volts=0.0)), (1200, do("open")), (1300, do("close")), (2000, put(volts=24.0))]
    assert guards(steps, power_to_lock=1.0) == [
        (50, "locked", True), (1050, "locked", False), (1200, "closed", False), (1200, "open", True),
        (1300, "closed", True), (1300, "open", False), (2050, "locked", True),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("bolt_stuck", [(1200, "pulled", 1)]),
        ("bolt_broken", [(1050, "locked", False), (1200, "closed", False), (1200, "open", True)]),
        ("defeated", [(1050, "locked", False), (1200, "open", True), (1450, "locked", True)]),
        ("solenoid_burnt", [(1200, "pulled", 1)]),
    ],
)
def test_failures_of_a_guard_lock(kind, said):
    """Failed from 0.5 s on; told to unlock at 1 s, pulled at 1.2 s, told to lock at 1.4 s."""
    steps = [(500, fault(kind)), (1000, put(unlock=True)), (1200, do("open")), (1400, put(unlock=False))]
    assert guards(steps) == [(0, "locked", True), *said]


def test_a_broken_bolt_says_locked_and_opens():
    """The contact of the bolt tells of the bolt, not of the door."""
    assert guards([(100, fault("bolt_broken")), (200, do("open"))]) == [
        (0, "locked", True),
        (200, "closed", False),
        (200, "open", True),
    ]


def test_every_failure_has_a_test():
    """The lists of failures are those above."""
    assert [f.kind for f in TwoHand.FAILURES] == ["dead", "welded"]
    assert [f.kind for f in LightCurtain.FAILURES] == ["misaligned", "bypassed", "flickering"]
    assert [f.kind for f in GuardLock.FAILURES] == ["bolt_stuck", "bolt_broken", "defeated", "solenoid_burnt"]
