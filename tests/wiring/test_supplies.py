"""Supplies: rise, sag, trip, dip and failures, as whole tables of changes."""

import pytest

from simplant.errors import PlantError
from simplant.wiring.supply import Supply
from tests.driving import do, fault, mend, milliseconds, put


def volts(parameters, steps, until):
    changes = milliseconds(Supply("supply24", parameters), steps, until)
    return [(t, value) for t, terminal, value in changes if terminal == "volts"]


def test_it_rises_in_one_step_when_its_rise_is_over():
    """0 V until delay and rise are over, then nominal and healthy."""
    part = Supply("supply24", {"rise_delay": 0.1, "rise_time": 0.05})
    assert milliseconds(part, [], 500) == [(150, "volts", 24.0), (150, "healthy", True)]


def test_load_sags_it_in_steps_of_10_mv():
    """volts = nominal - load x resistance; healthy down to 85 % of nominal (20.4 V)."""
    part = Supply("supply24", {"resistance": 0.5})
    steps = [
        (10, put(load=2.0)),
        (20, put(load=7.2)),
        (30, put(load=7.3)),
        (40, put(load=100.0)),
        (50, put(load=1 / 3)),
    ]
    assert milliseconds(part, steps, 100) == [
        (0, "volts", 24.0), (0, "healthy", True), (10, "volts", 23.0), (20, "volts", 20.4), (30, "volts", 20.35),
        (30, "healthy", False), (40, "volts", 0.0), (50, "volts", 23.83), (50, "healthy", True),
    ]  # fmt: skip


def test_an_overload_trips_it_after_a_time_and_it_tries_again():
    """Borne for 100 ms, off for 1 s, again and again while the overload is there; a short inrush does nothing."""
    limit = {"limit": 5.0, "overload_time": 0.1, "retry": 1.0}
    assert volts(limit, [(10, put(load=8.0)), (100, put(load=1.0))], 2000) == [(0, 24.0)]
    assert volts(limit, [(10, put(load=8.0))], 2400) == [
        (0, 24.0),
        (110, 0.0),
        (1110, 24.0),
        (1210, 0.0),
        (2210, 24.0),
        (2310, 0.0),
    ]


def test_a_dip_shorter_than_hold_up_is_not_seen():
    """With 20 ms of hold-up a 15 ms dip is nothing; a longer one costs the rise as well."""
    hold = {"hold_up": 0.02, "rise_delay": 0.1}
    assert volts(hold, [(200, do("dip", 0.015))], 500) == [(100, 24.0)]
    assert volts(hold, [(200, do("dip", 0.05))], 500) == [(100, 24.0), (220, 0.0), (350, 24.0)]


def test_a_dip_while_rising_starts_the_rise_anew():
    """The feed came back at 60 ms, so it is up at 160 ms."""
    assert volts({"rise_delay": 0.1}, [(50, do("dip", 0.01))], 500) == [(160, 24.0)]


def test_off_and_on_and_a_feed_from_another_supply():
    """Switching and the feed terminal both act; each return costs the rise."""
    steps = [(100, do("off")), (200, do("on")), (300, put(feed=False)), (400, put(feed=True))]
    assert volts({"rise_delay": 0.01}, steps, 500) == [(10, 24.0), (100, 0.0), (210, 24.0), (300, 0.0), (410, 24.0)]


def test_failures():
    """Lost is 0 V at once, hold-up or not; sagging is a share; a slow rise takes five times as long."""
    lost = [(200, fault("lost")), (300, mend("lost"))]
    assert volts({"hold_up": 0.02, "rise_delay": 0.1}, lost, 500) == [(100, 24.0), (200, 0.0), (400, 24.0)]
    assert volts({}, [(10, fault("sagging", 30.0)), (20, mend("sagging"))], 50) == [(0, 24.0), (10, 16.8), (20, 24.0)]
    assert volts({"rise_time": 0.02}, [(0, fault("slow_rise", 5.0))], 500) == [(100, 24.0)]


@pytest.mark.parametrize(("action", "value"), [("dip", None), ("dip", 0.0), ("dip", "long"), ("explode", None)])
def test_what_it_cannot_do_is_refused(action, value):
    """A dip needs seconds above 0; other actions are not known."""
    part = Supply("supply24")
    part.begin(0)
    with pytest.raises(PlantError):
        part.act(action, value, 0)
