"""Relays, contactors and changeovers: timelines of coil, contact, mirror and failures."""

from simplant.wiring.relay import Changeover, Contactor, Relay
from tests.driving import fault, mend, microseconds, milliseconds, put


def relay(kind=Relay, **parameters):
    part = kind("feed", {"operate": 0.01, "release": 0.005, **parameters})
    part.inputs["line"] = 24.0
    return part


def closed(changes):
    return [(t, value) for t, terminal, value in changes if terminal == "closed"]


def test_contact_mirror_and_line_move_together():
    """Operate 10 ms after coil on, release 5 ms after coil off; the line's voltage follows while closed."""
    steps = [(10, put(coil=True)), (30, put(line=20.0)), (40, put(coil=False)), (60, put(line=24.0))]
    assert milliseconds(relay(), steps, 100) == [
        (20, "closed", True), (20, "mirror", True), (20, "out", 24.0),
        (30, "out", 20.0),
        (45, "closed", False), (45, "mirror", False), (45, "out", 0.0),
    ]  # fmt: skip


def test_a_coil_pulse_shorter_than_operate_moves_nothing():
    """The armature has not moved yet: neither a short pulse nor a short gap is seen."""
    pulse = [(10, put(coil=True)), (19, put(coil=False))]
    assert closed(milliseconds(relay(), pulse, 100)) == []
    gap = [(0, put(coil=True)), (50, put(coil=False)), (54, put(coil=True))]
    assert closed(milliseconds(relay(), gap, 100)) == [(10, True)]


def test_enable_is_in_the_coil_circuit():
    """Without enable (the safety chain) the coil is dead, whatever is commanded."""
    steps = [(0, put(coil=True, enable=False)), (50, put(enable=True)), (80, put(enable=False))]
    assert closed(milliseconds(relay(), steps, 100)) == [(60, True), (85, False)]


def test_a_coil_pulls_in_at_pick_up_and_lets_go_below_drop_out():
    """Between both voltages it stays as it is: a sagging supply holds relays that it could not pull."""
    volts = [(0, 16.7), (20, 16.8), (50, 2.4), (80, 2.3), (110, 16.0)]
    steps = [(0, put(coil=True)), *((t, put(coil_volts=v)) for t, v in volts)]
    assert closed(milliseconds(relay(), steps, 200)) == [(30, True), (85, False)]


def test_a_weld_takes_hold_when_closed_and_the_mirror_shows_it():
    """Welding needs a closed contact; from then on coil off changes nothing; mended, it opens."""
    steps = [(5, fault("welded")), (20, put(coil=True)), (50, put(coil=False)), (90, mend("welded"))]
    assert milliseconds(relay(), steps, 100) == [
        (30, "closed", True), (30, "mirror", True), (30, "out", 24.0),
        (90, "closed", False), (90, "mirror", False), (90, "out", 0.0),
    ]  # fmt: skip
    again = [
        (0, put(coil=True)),
        (20, fault("welded")),
        (30, put(coil=False)),
        (40, mend("welded")),
        (50, fault("welded")),
    ]
    assert closed(milliseconds(relay(), again, 100)) == [(10, True), (40, False)]


def test_found_welded_at_power_up():
    """A weld that is there at the first instant happened before."""
    assert closed(milliseconds(relay(), [(0, fault("welded"))], 50)) == [(0, True)]


def test_open_never_closes_and_wins_over_a_weld():
    """A worn-away contact cannot be welded."""
    assert closed(milliseconds(relay(), [(0, fault("open")), (0, fault("welded")), (1, put(coil=True))], 50)) == []


def test_slow_stretches_both_times():
    """Five times slower by default: 50 ms to operate, 25 ms to release."""
    steps = [(0, fault("slow", 5.0)), (0, put(coil=True)), (100, put(coil=False))]
    assert closed(milliseconds(relay(), steps, 200)) == [(50, True), (125, False)]


def test_bouncing_contacts_take_the_line_with_them():
    """Operate times exclude bounce; the first touch is at 10 ms, rest 5 ms later."""
    changes = microseconds(relay(), [(0, fault("bouncing", 0.005)), (0, put(coil=True))], 100_000)
    assert [(t, value) for t, terminal, value in changes if terminal == "out"] == [
        (10_000, 24.0), (10_500, 0.0), (11_500, 24.0), (12_000, 0.0), (13_500, 24.0), (14_000, 0.0), (15_000, 24.0),
    ]  # fmt: skip


def test_a_contactor_is_a_slower_relay():
    """Defaults: 20 ms and 15 ms (common practice, no source)."""
    part = Contactor("wheel_contactor")
    assert closed(milliseconds(part, [(0, put(coil=True)), (100, put(coil=False))], 200)) == [(20, True), (115, False)]


def out(changes):
    return [(t, value) for t, terminal, value in changes if terminal == "out"]


def test_a_changeover_breaks_before_it_makes():
    """-line at rest; up: 0 from operate - transit to operate, then +line; down likewise."""
    steps = [(20, put(coil=True)), (50, put(coil=False)), (80, put(line=0.0))]
    assert out(milliseconds(relay(Changeover, transit=0.002), steps, 100)) == [
        (0, -24.0), (28, 0.0), (30, 24.0), (53, 0.0), (55, -24.0), (80, 0.0),
    ]  # fmt: skip


def test_a_changeover_without_line_gives_plain_zero():
    """No minus sign before a zero: it would stand in every trace."""
    changes = milliseconds(relay(Changeover), [(10, put(line=0.0)), (20, put(coil=True)), (40, put(coil=False))], 100)
    assert [(t, str(value)) for t, value in out(changes)] == [(0, "-24.0"), (10, "0.0")]


def test_a_changeover_turned_back_in_transit_makes_its_old_side_again():
    """Turned back at 9 ms, one before it makes, it needs its release time again."""
    steps = [(20, put(coil=True)), (29, put(coil=False))]
    assert out(milliseconds(relay(Changeover), steps, 100)) == [(0, -24.0), (28, 0.0), (34, -24.0)]
    steps = [(20, put(coil=True)), (27, put(coil=False))]
    assert out(milliseconds(relay(Changeover), steps, 100)) == [(0, -24.0)]


def test_welded_sides():
    """A welded side stays made and keeps the other from making."""
    up = [(0, put(coil=True)), (20, fault("welded_up")), (30, put(coil=False)), (60, mend("welded_up"))]
    assert out(milliseconds(relay(Changeover), up, 100)) == [(0, -24.0), (8, 0.0), (10, 24.0), (60, -24.0)]
    down = [(10, fault("welded_down")), (20, put(coil=True)), (60, mend("welded_down"))]
    assert out(milliseconds(relay(Changeover), down, 100)) == [(0, -24.0), (60, 24.0)]
