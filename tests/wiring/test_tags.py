"""Tags, addresses and tables of tags: what is taken and what is refused."""

import pytest

from simplant.errors import ProgramError
from simplant.tags import Address, Direction, Tag, name_problem, parse_address
from simplant.values import BOOL, INT, REAL, STRING


@pytest.mark.parametrize(
    ("text", "address", "shown"),
    [
        ("%IX0.0", Address("I", "X", 0, 0), "%IX0.0"),
        ("%QX0.0", Address("Q", "X", 0, 0), "%QX0.0"),
        ("%I1.7", Address("I", "X", 1, 7), "%IX1.7"),
        ("%MW10", Address("M", "W", 10), "%MW10"),
        ("%MB6", Address("M", "B", 6), "%MB6"),
        ("%IW62", Address("I", "W", 62), "%IW62"),
        ("%qd4", Address("Q", "D", 4), "%QD4"),
        ("%ML0", Address("M", "L", 0), "%ML0"),
    ],
)
def test_addresses_are_read_and_written_in_full(text, address, shown):
    """An address has one full form; no size letter means one bit (IEC 61131-3:2003, 2.4.1.1 and Table 15)."""
    assert (parse_address(text), str(address)) == (address, shown)


@pytest.mark.parametrize(
    "text", ["IX0.0", "%", "%IX0", "%IW0.1", "%IX0.8", "%ZX0.0", "%IX0.0.0", "%IX-1.0", "%IXa.0", " %IX0.0"]
)
def test_what_is_no_address_is_refused(text):
    """A bit has a byte and a bit from 0 to 7; anything wider has one number."""
    with pytest.raises(ProgramError):
        parse_address(text)


@pytest.mark.parametrize("name", ["a", "_a", "call_5", "A1", "estop_healthy"])
def test_names_taken(name):
    """An identifier is a letter or an underscore, then letters, digits, underscores (from memory: IEC 61131-3)."""
    assert name_problem(name) == ""


@pytest.mark.parametrize("name", ["", "1a", "a-b", "a__b", "__a", "a_", "ä", "end if", "if", "Ton", "bool"])
def test_names_refused(name):
    """No digit first, no doubled or trailing underscore, no word of the languages (from memory: IEC 61131-3)."""
    assert name_problem(name) != ""
    with pytest.raises(ProgramError):
        Tag(name, BOOL)


def test_a_tag_fills_in_what_follows_from_its_type():
    """The address takes its full form, the initial value that of the type."""
    assert Tag("level", INT, Direction.INPUT, "%iw2") == Tag("level", INT, Direction.INPUT, "%IW2", initial=0)
    assert Tag("gain", REAL, initial=1).initial == 1.0
    assert Tag("x", BOOL).initial is False


@pytest.mark.parametrize(
    ("kind", "direction", "address"),
    [
        (BOOL, Direction.INPUT, "%QX0.0"),
        (BOOL, Direction.OUTPUT, "%MX0.0"),
        (BOOL, Direction.INPUT, "%IW0"),
        (INT, Direction.INPUT, "%IX0.0"),
        (REAL, Direction.MEMORY, "%MW0"),
        (STRING, Direction.MEMORY, "%MB0"),
    ],
)
def test_an_address_must_suit_type_and_direction(kind, direction, address):
    """I is for inputs, Q for outputs, M for memory; the size is the type's."""
    with pytest.raises(ProgramError):
        Tag("x", kind, direction, address)
