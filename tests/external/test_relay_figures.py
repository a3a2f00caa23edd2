"""Relays held against figures of relay data sheets.

Source: data sheets of a small signal relay and of a 30 A relay with a 12 V coil, not named: common practice, no source.
"""

import pytest

from simplant.wiring.relay import Relay
from tests.driving import fault, microseconds, put

SHEETS = {  # operate and release time without bounce (ms), at most
    "small signal": (4, 3),
    "30 A": (10, 10),
}


def edges(parameters, stimuli=()):
    part = Relay("relay", parameters)
    steps = [*stimuli, (0, put(coil=True)), (100_000, put(coil=False))]
    return [(t, value) for t, terminal, value in microseconds(part, steps, 200_000) if terminal == "closed"]


@pytest.mark.parametrize("sheet", SHEETS)
def test_operate_and_release_times_are_exact_and_exclude_bounce(sheet):
    """First touch and first opening come at the stated times, with bounce and without; bounce comes after."""
    operate, release = SHEETS[sheet]
    times = {"operate": operate / 1000, "release": release / 1000}
    assert edges(times) == [(operate * 1000, True), (100_000 + release * 1000, False)]
    bouncing = edges({**times, "bounce": 0.002})
    closing = [edge for edge in bouncing if edge[0] < 100_000]
    opening = [edge for edge in bouncing if edge[0] >= 100_000]
    assert (closing[0], closing[-1]) == ((operate * 1000, True), (operate * 1000 + 2000, True))
    assert (opening[0], opening[-1]) == ((100_000 + release * 1000, False), (102_000 + release * 1000, False))


def test_pick_up_and_drop_out_of_the_12_v_relay():
    """It pulls in by 7.0 V at the latest and lets go at 0.5 V at the latest: within, it stays as it is."""
    table = []
    for volts in (6.9, 7.0, 0.6, 0.5, 0.4):
        part = Relay("relay", {"pick_up": 7.0, "drop_out": 0.5})
        steps = [
            (0, put(coil=True, coil_volts=volts)),
            (50_000, put(coil_volts=12.0)),
            (100_000, put(coil_volts=volts)),
        ]
        at = {t: value for t, terminal, value in microseconds(part, steps, 200_000) if terminal == "closed"}
        table.append((volts, at))
    assert table == [
        (6.9, {60_000: True}),
        (7.0, {10_000: True}),
        (0.6, {60_000: True}),
        (0.5, {60_000: True}),
        (0.4, {60_000: True, 105_000: False}),
    ]


def test_default_times_and_the_stretch_of_a_diode():
    """Defaults 10 ms and 5 ms; a diode at the coil doubles the release. Common practice, no source."""
    assert edges({}) == [(10_000, True), (105_000, False)]
    assert edges({"release": 0.010}) == [(10_000, True), (110_000, False)]


def test_bounce_of_the_usual_length():
    """Bounce lasts 1 to 5 ms: common practice, no source; the failure's default is the longest of these."""
    assert Relay.FAILURES[3].value == 0.005
    for bounce in (0.001, 0.002, 0.005):
        assert edges({}, [(0, fault("bouncing", bounce))])[6] == (10_000 + round(bounce * 1e6), True)
