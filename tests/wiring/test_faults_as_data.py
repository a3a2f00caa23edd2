"""Faults are values; the catalogue of a machine is derived from its parts and points."""

import pytest

from simplant.errors import ScenarioError
from simplant.faults import CatalogueEntry, Fault, catalogue, find
from simplant.timebase import NEVER, ms
from simplant.wiring import STOCK
from simplant.wiring.analog_points import AnalogInputPoint, AnalogOutputPoint
from simplant.wiring.devices import PushButton
from simplant.wiring.points import InputPoint, OutputPoint
from simplant.wiring.relay import Relay


def test_a_fault_ends_after_its_duration_or_never():
    """Onset plus duration; NEVER stays NEVER."""
    assert Fault("a", "late", ms(10), ms(5)).ends == ms(15)
    assert Fault("a", "late", ms(10)).ends == NEVER


def test_the_catalogue_has_one_entry_per_target_and_mode():
    """Every failure mode of every target, in order; entries make faults with the mode's own severity."""
    entries = catalogue({"start": PushButton.FAILURES, "feed": Relay.FAILURES})
    assert [str(e) for e in entries] == [
        "start.held", "start.detached", "feed.welded", "feed.open", "feed.slow", "feed.bouncing",
    ]  # fmt: skip
    slow = find(entries, "feed", "slow")
    assert isinstance(slow, CatalogueEntry)
    assert slow.fault(ms(1)) == Fault("feed", "slow", ms(1), NEVER, 5.0)
    assert slow.fault(ms(1), ms(2), 3.0) == Fault("feed", "slow", ms(1), ms(2), 3.0)


def test_crossed_wires_are_entries_of_their_own():
    """One entry for each pair, after all others; no point is crossed with nothing; either name finds it."""
    entries = catalogue({"a": OutputPoint.FAILURES, "b": OutputPoint.FAILURES}, [("a", "b")])
    assert [str(e) for e in entries] == [
        "a.open_wire", "a.intermittent", "a.stuck_on", "a.stuck_off", "a.late",
        "b.open_wire", "b.intermittent", "b.stuck_on", "b.stuck_off", "b.late",
        "a.swapped with b",
    ]  # fmt: skip
    crossed = entries[-1].fault(ms(1))
    assert crossed == Fault("a", "swapped", ms(1), other="b")
    assert crossed.names == ("a.swapped", "b.swapped")
    assert entries[0].fault(ms(1)).names == ("a.open_wire",)
    assert find(entries, "b", "swapped") is find(entries, "a", "swapped") is entries[-1]


def test_kinds_are_unique_within_each_part_and_say_cause_and_effect():
    """A scenario names a failure mode by its kind, so kinds may not repeat."""
    for part in (*STOCK.values(), InputPoint, OutputPoint, AnalogInputPoint, AnalogOutputPoint):
        kinds = [mode.kind for mode in part.FAILURES]
        assert len(set(kinds)) == len(kinds)
        assert all(mode.cause and mode.effect and (mode.unit or mode.value is None) for mode in part.FAILURES)
        assert all(meaning for meaning in part.ACTIONS.values())


@pytest.mark.parametrize(("onset", "duration"), [(-1, 5), (0, 0), (0, -5)])
def test_impossible_spans_are_refused(onset, duration):
    """A fault begins within the run and lasts some time."""
    with pytest.raises(ScenarioError):
        Fault("a", "late", onset, duration)
