"""Reading io.csv: what is taken, in which dialects, and what the points then hold."""

import pytest

from simplant.errors import Place, WiringError
from simplant.tags import Direction, Tag
from simplant.timebase import ms
from simplant.values import BOOL, INT
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.checks import check_devices
from simplant.wiring.devices import Door, Lamp
from simplant.wiring.io_file import parse_io, read_io
from simplant.wiring.io_list import Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, SignalKind
from simplant.wiring.supply import Supply

TEXT = """\
tag,type,direction,address,device,contact,signal,supply,input,filter,safe,description,wire,terminal,cable,range,scale
guard_closed,BOOL,in,%IX0.1,door.switch,NC,,supply24,,3ms,,"guard door, closed",W1,X1:3,K1
table_at_left,bool,IN,%ix0.7,limit_left.seen,no,npn,supply5,logic_5v,,,,,,K1
speed_raw,INT,in,%IW2,wheel.speed,,,,,,,,,,,0-10V,
horn,BOOL,out,%Q1.2,horn.on,,,,,,1,,W9,X2:1,K2
"""
POINTS = (
    Point(
        Tag("guard_closed", BOOL, Direction.INPUT, "%IX0.1", None, False, "guard door, closed", Place("io.csv", 2)),
        "door", "switch", ContactForm.NC, supply="supply24", filter=ms(3), wire="W1", strip="X1:3", cable="K1",
    ),
    Point(
        Tag("table_at_left", BOOL, Direction.INPUT, "%IX0.7", place=Place("io.csv", 3)),
        "limit_left", "seen", ContactForm.NO, SignalKind.NPN, "supply5", INPUT_TYPES["logic_5v"], cable="K1",
    ),
    Point(
        Tag("speed_raw", INT, Direction.INPUT, "%IW2", place=Place("io.csv", 4)),
        "wheel", "speed", span=AnalogSpan(0.0, 10.0, "V", 0.0, 10_000.0),
    ),
    Point(
        Tag("horn", BOOL, Direction.OUTPUT, "%QX1.2", place=Place("io.csv", 5)),
        "horn", "on", safe=True, wire="W9", strip="X2:1", cable="K2",
    ),
)  # fmt: skip


def test_a_full_list_is_read_into_points():
    """Each column has its field; words may be in either letter case; places are file and line."""
    io = parse_io(TEXT)
    assert io.points == POINTS
    assert (io.inputs, io.outputs) == (POINTS[:3], POINTS[3:])
    assert io.tags == tuple(point.tag for point in POINTS)
    assert (io["HORN"], "Horn" in io, "horns" in io, 3 in io, len(io), list(io)) == (
        POINTS[3],
        True,
        False,
        False,
        4,
        list(POINTS),
    )
    assert [(point.device, point.place) for point in io][:1] == [("door.switch", Place("io.csv", 2))]


def semicolons(text):
    return text.replace('"guard door, closed"', '"guard door| closed"').replace(",", ";").replace("|", ",")


@pytest.mark.parametrize(
    "text",
    [
        semicolons(TEXT),
        TEXT.replace("\n", "\r\n"),
        "\ufeff" + TEXT,
        TEXT.replace("\n", "\n\n,,,\n"),
        TEXT.replace("tag,type", " Tag , TYPE "),
        TEXT.replace("\n", ",,\n"),
    ],
    ids=["semicolon", "crlf", "bom", "empty rows", "spaces", "trailing cells"],
)
def test_what_spreadsheets_write_is_the_same_list(text):
    """Separator, line ends, byte order mark, empty rows and cells, and blanks around cells do not matter."""
    fields = [(p.name, p.tag.address, p.device, p.contact, p.signal, p.filter, p.safe, p.cable) for p in POINTS]
    assert [
        (p.name, p.tag.address, p.device, p.contact, p.signal, p.filter, p.safe, p.cable) for p in parse_io(text)
    ] == fields


def test_columns_may_come_in_any_order_and_optional_ones_be_left_out():
    """Only tag, type, direction, address and device are required."""
    io = parse_io("device,address,direction,type,tag\nlamp.on,%QX0.0,out,BOOL,beacon\n")
    assert io.points == (
        Point(Tag("beacon", BOOL, Direction.OUTPUT, "%QX0.0", place=Place("io.csv", 2)), "lamp", "on"),
    )


def test_a_file_is_read_as_utf_8(tmp_path):
    """With or without byte order mark; the place says which file."""
    path = tmp_path / "io.csv"
    for mark in (b"", b"\xef\xbb\xbf"):
        path.write_bytes(mark + TEXT.replace("guard door, closed", "Schutztür").encode())
        point = read_io(path).points[0]
        assert (point.tag.description, point.place) == ("Schutztür", Place(path.as_posix(), 2))


def test_a_quoted_cell_over_two_lines_keeps_the_places_right():
    """A row's place is the line where it begins."""
    text = 'tag,type,direction,address,device,description\na,BOOL,in,%IX0.0,a.b,"two\nlines"\nb,BOOL,in,%IX0.1,a.b,\n'
    assert [point.place for point in parse_io(text)] == [Place("io.csv", 2), Place("io.csv", 4)]


def test_wires_are_swappable_within_one_cable_direction_signal_and_supply():
    """Derived pairs for the catalogue of faults: a wrong cable or another kind of signal is noticed at once."""
    rows = [
        "a,BOOL,in,%IX0.0,x.y,,,K1", "b,BOOL,in,%IX0.1,x.y,,,K1", "c,BOOL,in,%IX0.2,x.y,PNP,,K1",
        "d,BOOL,out,%QX0.0,x.y,,,K1",
        "e,BOOL,in,%IX0.3,x.y,,,K2", "f,BOOL,in,%IX0.4,x.y,,,", "g,BOOL,in,%IX0.5,x.y,,,K1",
        "h,BOOL,in,%IX0.6,x.y,,s,K1",
    ]  # fmt: skip
    io = parse_io("\n".join(["tag,type,direction,address,device,signal,supply,cable", *rows]))
    assert [(one.name, other.name) for one, other in io.swappable()] == [("a", "b"), ("a", "g"), ("b", "g")]


def test_a_list_fits_a_machine_that_has_its_parts():
    """Input tags go to outputs of parts, output tags to inputs, supplies to supplies that can be read."""
    rows = ["guard_closed,BOOL,in,%IX0.0,door.switch,s24,type_1", "horn,BOOL,out,%QX0.0,horn.on,s24,"]
    io = parse_io("\n".join(["tag,type,direction,address,device,supply,input", *rows]))
    check_devices(io, {"door": Door("door"), "horn": Lamp("horn"), "s24": Supply("s24")})
    with pytest.raises(WiringError):
        check_devices(io, {"door": Door("door"), "horn": Lamp("horn"), "s24": Supply("s24", {"volts": 5})})
