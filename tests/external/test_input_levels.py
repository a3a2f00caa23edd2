"""Digital inputs held against the input table of IEC 61131-2 (24 V DC, current sinking).

Source: the figures as commonly quoted from IEC 61131-2 (the standard's clause was not seen): common practice, no
source. The last three tables are derived from them. PNP and NPN into sinking inputs: common practice, no source.
"""

import pytest

from simplant.tags import Direction, Tag
from simplant.values import BOOL
from simplant.wiring.io_list import Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, Reading, SignalKind
from simplant.wiring.points import InputPoint

TYPES = {
    "type_1": (5.0, 15.0),
    "type_2": (5.0, 11.0),
    "type_3": (5.0, 11.0),
}  # OFF at most, ON at least (V); ON to 30 V


@pytest.mark.parametrize("kind", TYPES)
def test_off_and_on_voltages(kind):
    """0 is sure from -3 V to the OFF voltage, 1 from the ON voltage to 30 V, nothing is sure between them."""
    off, on = TYPES[kind]
    volts = [-3.0, 0.0, off, off + 0.1, on - 0.1, on, 24.0, 30.0]
    off_, unsure, on_ = Reading.OFF, Reading.UNSURE, Reading.ON
    assert [INPUT_TYPES[kind].reading(v) for v in volts] == [off_, off_, off_, unsure, unsure, on_, on_, on_]


def level(kind, volts, signal=SignalKind.PNP, drop=0.0):
    tag = Tag("seen", BOOL, Direction.INPUT, "%IX0.0")
    part = InputPoint(Point(tag, "eye", "seen", ContactForm.NO, signal, input_type=INPUT_TYPES[kind]), {"drop": drop})
    part.inputs.update(actuated=True, volts=volts)
    part.begin(0)
    part.command(0)
    return part.outputs["level"]


def test_5_v_logic_never_reads_as_1_on_an_input_for_24_v():
    """Derived: 5 V is at most the OFF voltage of every type, so the level is 0 for sure."""
    found = {kind: (INPUT_TYPES[kind].reading(5.0), level(kind, 5.0)) for kind in TYPES}
    assert found == dict.fromkeys(TYPES, (Reading.OFF, False))


def test_12_v_sensors():
    """Derived: undefined at type 1 (here it reads 0), 1 at type 3 with 1 V to spare, gone with more than 1 V drop."""
    assert (INPUT_TYPES["type_1"].reading(12.0), level("type_1", 12.0)) == (Reading.UNSURE, False)
    assert [level("type_3", 12.0, drop=drop) for drop in (0.0, 1.0, 1.1)] == [True, True, False]


def test_24_v_reads_as_1_on_every_type():
    """Derived: 24 V is above every ON voltage, with up to 9 V of drop at type 1."""
    assert [level(kind, 24.0) for kind in TYPES] == [True, True, True]
    assert [level("type_1", 24.0, drop=drop) for drop in (9.0, 9.1)] == [True, False]


def test_an_npn_output_is_taken_to_meet_an_input_that_suits_it():
    """NPN needs a sourcing input or a pull-up; such an input counts current as 1, so it reads like PNP."""
    assert level("type_1", 24.0, SignalKind.NPN) is True


CURRENTS = {"type_1": (0.5, 2.0), "type_2": (2.0, 6.0), "type_3": (1.5, 2.0)}
"""OFF at most, ON at least, mA: as commonly quoted from IEC 61131-2 (clause not seen): common practice, no source."""


@pytest.mark.parametrize("kind", CURRENTS)
def test_a_leak_is_off_up_to_the_off_current_and_on_from_the_on_current(kind):
    """An open contact passes so much: 0 for sure up to OFF, 1 for sure from ON; between them what it was."""
    off, on = CURRENTS[kind]

    def reads(milliamperes, *, before):
        tag = Tag("seen", BOOL, Direction.INPUT, "%IX0.0")
        part = InputPoint(Point(tag, "eye", "seen", input_type=INPUT_TYPES[kind]))
        part.inputs["actuated"] = before
        part.begin(0)
        part.command(0)
        part.inputs["actuated"] = False
        part.faults["leaking"] = milliamperes
        part.command(1)
        return part.outputs["level"]

    found = {ma: (reads(ma, before=False), reads(ma, before=True)) for ma in (off, off + 0.1, on - 0.1, on)}
    assert found == {off: (False, False), off + 0.1: (False, True), on - 0.1: (False, True), on: (True, True)}


def test_a_two_wire_sensor_needs_type_3():
    """Derived: the 1.5 mA that a two-wire sensor draws when off (common practice, no source) may hold a type 1 on."""
    assert {kind: 1.5 <= INPUT_TYPES[kind].off_current for kind in TYPES} == {
        "type_1": False, "type_2": True, "type_3": True,
    }  # fmt: skip
