"""The error catalogue of tags, faults, I/O list and wiring: smallest input, exact text."""

import pytest

from simplant.errors import Place, SimplantError
from simplant.faults import Fault, catalogue, find
from simplant.tags import Direction, Tag, parse_address
from simplant.timebase import ms
from simplant.values import BOOL, INT, STRING
from simplant.wiring.checks import check_devices
from simplant.wiring.devices import Door, Lamp, PushButton, Selector
from simplant.wiring.io_file import parse_io, read_io
from simplant.wiring.supply import Supply

HEAD = "tag,type,direction,address,device"
ALL = HEAD + ",contact,signal,supply,input,filter,safe"
GOOD = "a,BOOL,in,%IX0.0,door.switch"


def told(call, *arguments):
    with pytest.raises(SimplantError) as caught:
        call(*arguments)
    return str(caught.value)


def tag(name="a", kind=BOOL, direction=Direction.INPUT, address="", place=None):
    return Tag(name, kind, direction, address, place=place)


TAGS = [
    (lambda: tag(""), "'' cannot be the name of a tag. It is empty."),
    (
        lambda: tag("1a"),
        "'1a' cannot be the name of a tag. A name is made of letters A to Z, digits and underscores, and does not begin"
        " with a digit.",
    ),
    (
        lambda: tag("a__b", place=Place("p.py", 3)),
        "p.py:3: 'a__b' cannot be the name of a tag. Two underscores in a row and one at the end are not allowed.",
    ),
    (lambda: tag("if"), "'if' cannot be the name of a tag. IF is a word of the standard's languages."),
    (lambda: parse_address("IX0"), "'IX0' is not an address. Write a bit as %IX0.3, a word as %IW2."),
    (lambda: parse_address("%IX0.8"), "address '%IX0.8' has bit 8. A byte has bits 0 to 7."),
    (
        lambda: tag(address="%QX0.0"),
        "tag 'a' cannot have address %QX0.0. Addresses of this direction (input) begin with %I.",
    ),
    (
        lambda: tag(kind=INT, address="%ID0"),
        "tag 'a' cannot have address %ID0. INT is of size W, the address of size D.",
    ),
    (lambda: tag(kind=STRING, address="%IB0"), "tag 'a' cannot have address %IB0. STRING has no fixed size."),
    (lambda: Fault("a", "late", ms(-1)), "fault a.late begins at -1 ms. A run begins at 0 s."),
    (lambda: Fault("a", "late", ms(0), ms(0)), "fault a.late lasts 0.000 s. It must last longer than that."),
    (
        lambda: find(catalogue({"start": PushButton.FAILURES}), "start", "hold"),
        "'start' has no failure mode 'hold'. Close in spelling: held.",
    ),
    (
        lambda: find(catalogue({"start": PushButton.FAILURES}), "stort", "held"),
        "no part or point is named 'stort'. Close in spelling: start.",
    ),
]


@pytest.mark.parametrize(("call", "text"), TAGS)
def test_tags_and_faults(call, text):
    """Each mistake in a tag, a table of tags or a fault has its own words."""
    assert told(call) == text


LISTS = [
    ("", "io.csv: the I/O list is empty. Its first row must name the columns."),
    (HEAD, "io.csv: the I/O list has no points. There is only a header row."),
    ('a,"b\n', "io.csv:1: the I/O list is not a CSV file. Unexpected end of data."),
    ("tag,type,direction,adress,device", "io.csv:1: the header lacks address. These columns are required.\n"
     "io.csv:1:4: there is no column 'adress'. Close in spelling: address."),
    (HEAD + ",adress\n" + GOOD, "io.csv:1:6: there is no column 'adress'. Close in spelling: address."),
    (HEAD + ",tag\n" + GOOD, "io.csv:1:6: column 'tag' is there twice. Remove one."),
    ("tag,type,address\n", "io.csv:1: the header lacks direction, device. These columns are required."),
    (f"{HEAD}\n{GOOD},NC", "io.csv:2: the row has 6 cells, the header names 5 columns."
     " Put text that holds a separator in quotes."),
    (f"{HEAD}\n{GOOD}\nA,BOOL,in,%IX0.1,door.switch", "io.csv:3:1: tag 'A' is there twice. The first is in line 2."
     " Rename or remove one."),
    (f"{HEAD}\n{GOOD}\nb,BOOL,in,%I0.0,door.switch", "io.csv:3:4: address %IX0.0 is there twice. The first is in line"
     " 2. Rename or remove one."),
    (f"{HEAD}\n9,BOOL,in,%IX0.0,door.switch", "io.csv:2:1: column 'tag': '9' cannot be the name of a tag."
     " A name is made of letters A to Z, digits and underscores, and does not begin with a digit."),
    (f"{HEAD}\na,BOL,in,%IX0.0,door.switch", "io.csv:2:2: column 'type': there is no type 'BOL'."
     " Close in spelling: BOOL."),
    (f"{HEAD}\na,BOOL,input,%IX0.0,door.switch", "io.csv:2:3: column 'direction' is 'input'. Write one of: in, out."),
    (f"{HEAD}\na,BOOL,,%IX0.0,door.switch", "io.csv:2:3: column 'direction' is empty. Write one of: in, out."),
    (f"{HEAD}\na,BOOL,in,IX0.0,door.switch", "io.csv:2:4: column 'address': 'IX0.0' is not an address."
     " Write a bit as %IX0.3, a word as %IW2."),
    (f"{HEAD}\na,BOOL,in,%QX0.0,door.switch", "io.csv:2:4: address %QX0.0 does not suit tag 'a'."
     " Addresses of this direction (input) begin with %I."),
    (f"{HEAD}\na,INT,in,%IX0.0,door.switch", "io.csv:2:4: address %IX0.0 does not suit tag 'a'."
     " INT is of size W, the address of size X."),
    (f"{HEAD}\na,BOOL,in,%IX0.0", "io.csv:2:5: column 'device': there is no device."
     " Write part.terminal, for instance door.switch."),
    (f"{HEAD}\na,BOOL,in,%IX0.0,door", "io.csv:2:5: column 'device': 'door' is not a device."
     " Write part.terminal, for instance door.switch."),
    (f"{ALL}\n{GOOD},NX", "io.csv:2:6: column 'contact' is 'NX'. Write one of: NO, NC."),
    (f"{ALL}\n{GOOD},,TTL", "io.csv:2:7: column 'signal' is 'TTL'. Write one of: dry, PNP, NPN, push_pull."),
    (f"{ALL}\n{GOOD},,,,24V", "io.csv:2:9: column 'input' is '24V'. Write one of: type_1, type_2, type_3, logic_5v."),
    (f"{ALL}\n{GOOD},,,,,3", "io.csv:2:10: column 'filter': '3' is not a duration."
     " Write a number with a unit (ns us ms s m h d), for instance \"1.5s\"."),
    (f"{ALL}\n{GOOD},,,,,,1", "io.csv:2:11: column 'safe' is '1' for an input."
     " Only an output has this column. Leave it empty."),
    (f"{ALL}\nq,BOOL,out,%QX0.0,lamp.on,,,,,,yes", "io.csv:2:11: column 'safe' is 'yes'. Write one of: 0, 1."),
    (f"{ALL}\nq,BOOL,out,%QX0.0,lamp.on,NC", "io.csv:2:6: column 'contact' is 'NC' for an output."
     " Only an input has this column. Leave it empty."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), LISTS)
def test_the_io_list(text, words):
    """Each mistake in an I/O list says its row, its cell and how to mend it."""
    assert told(parse_io, text) == words


def test_all_mistakes_of_a_file_are_told_in_its_order():
    """One error; its `what` is the first mistake, its text has one line for each."""
    text = f"{HEAD}\na,BOL,inn,%IX0.0,door.switch\nb,BOOL,in,%IX0.9,door.switch\n"
    with pytest.raises(SimplantError) as caught:
        parse_io(text)
    assert caught.value.what == "column 'type': there is no type 'BOL'"
    assert caught.value.place == Place("io.csv", 2, 2)
    assert str(caught.value) == (
        "io.csv:2:2: column 'type': there is no type 'BOL'. Close in spelling: BOOL.\n"
        "io.csv:2:3: column 'direction' is 'inn'. Write one of: in, out.\n"
        "io.csv:3:4: column 'address': address '%IX0.9' has bit 9. A byte has bits 0 to 7."
    )


def test_files_that_cannot_be_read(tmp_path):
    """A file that is not there, and one in another encoding."""
    path = tmp_path / "io.csv"
    assert told(read_io, path) == (
        f"{path.as_posix()} cannot be read. No such file or directory. Each machine has its I/O list there, its first "
        "row: tag,type,direction,address,device."
    )
    path.write_bytes(b"tag,\xe4")
    assert told(read_io, path) == f"{path.as_posix()}: the I/O list is not UTF-8. Byte 5 is 0xE4. Save it as CSV UTF-8."


def test_a_name_that_is_not_in_the_list():
    """A look-up names the nearest."""
    io = parse_io(f"{HEAD}\nguard_closed,BOOL,in,%IX0.0,door.switch")
    assert (
        told(io.__getitem__, "gard_closed") == "'gard_closed' is not in the I/O list. Close in spelling: guard_closed."
    )


PARTS = {
    "door": Door("door"),
    "horn": Lamp("horn"),
    "s5": Supply("s5", {"volts": 5}),
    "s12": Supply("s12", {"volts": 12}),
}
MACHINES = [
    ("a,BOOL,in,%IX0.0,doors.open", "io.csv:2: 'a' goes to doors.open, but there is no part 'doors'."
     " Close in spelling: door."),
    ("a,BOOL,in,%IX0.0,door.opn", "io.csv:2: 'a' goes to door.opn, but 'door' has no output 'opn'."
     " Close in spelling: open."),
    ("q,BOOL,out,%QX0.0,horn.lit", "io.csv:2: 'q' goes to horn.lit, but 'horn' has no input 'lit'. Known: on, volts."),
    ("q,BOOL,out,%QX0.0,horn.on\nr,BOOL,out,%QX0.1,horn.on", "io.csv:3: 'r' and 'q' both drive horn.on."
     " Give one of them another device."),
    ("a,BOOL,in,%IX0.0,door.switch,door", "io.csv:2: 'a' is fed by 'door', which is not a supply. Known: s12, s5."),
    ("a,BOOL,in,%IX0.0,door.switch,s5", "io.csv:2: 'a': 5 V from 's5' does not surely read as 1. An input of type_1"
     " needs 15 V; 5 V reads off. Choose another type in the column 'input', or another supply."),
    ("a,BOOL,in,%IX0.0,door.switch,s12", "io.csv:2: 'a': 12 V from 's12' does not surely read as 1. An input of type_1"
     " needs 15 V; 12 V reads unsure. Choose another type in the column 'input', or another supply."),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "words"), MACHINES)
def test_the_io_list_against_the_machine(rows, words):
    """A wire that ends nowhere, a terminal with two drivers, a supply that is none or not enough."""
    assert told(check_devices, parse_io(f"{HEAD},supply\n{rows}"), PARTS) == words


ACTIONS = [
    (Supply("s5"), "dip", None, "'s5' cannot dip for None. Say how many seconds, above 0."),
    (Supply("s5"), "dop", None, "'s5' (Supply) cannot 'dop'. Close in spelling: dip."),
    (PushButton("start"), "press", 0.0, "'start' cannot be pressed for 0.0. Say how many seconds, above 0."),
    (Selector("mode", {"positions": 3}), "select", 3, "'mode' has no position 3. Known: 0, 1, 2."),
]


@pytest.mark.parametrize(("part", "action", "value", "words"), ACTIONS)
def test_actions(part, action, value, words):
    """What a device cannot do is refused with what it can."""
    part.begin(0)
    assert told(part.act, action, value, 0) == words
