"""The error catalogue of analogue points: smallest input, exact text."""

import pytest

from simplant.errors import SimplantError
from simplant.plant.tank import Tank
from simplant.rig.machine import Machine
from simplant.wiring.checks import check_devices
from simplant.wiring.devices import Door, Lamp, Selector
from simplant.wiring.io_file import parse_io
from simplant.wiring.supply import Supply

HEAD = "tag,type,direction,address,device,range,scale,safe,contact,filter"
IN, OUT = "a,INT,in,%IW0,tank.level", "q,INT,out,%QW0,drive.speed"


def told(call, *arguments):
    with pytest.raises(SimplantError) as caught:
        call(*arguments)
    return str(caught.value)


LISTS = [
    (
        IN,
        "io.csv:2:2: nothing says what comes over the wire of this INT. Name it in column 'range', for instance 4-20mA"
        " or 0-10V.",
    ),
    (
        f"{IN},4-20",
        "io.csv:2:6: column 'range': '4-20' is not a range. Write for instance 4-20mA, 0-10V, -10..10V or 0..120 degC.",
    ),
    (
        f"{IN},4-20mA mA",
        "io.csv:2:6: column 'range': '4-20mA mA' is not a range. Write for instance 4-20mA, 0-10V, -10..10V "
        "or 0..120 degC.",
    ),
    (
        f"{IN},20-4mA",
        "io.csv:2:6: column 'range': '20-4mA' goes from 20 to 4. Write the lower end first.",
    ),
    (
        f"{IN},4-20mA,10000",
        "io.csv:2:7: column 'scale': '10000' is not a scale. Write the numbers at both ends, for instance 0..10000.",
    ),
    (
        f"{IN},4-20mA,0..10000 counts",
        "io.csv:2:7: column 'scale': '0..10000 counts' is not a scale. Write the numbers at both ends, for "
        "instance 0..10000.",
    ),
    (
        f"{IN},4-20mA,0..40000",
        "io.csv:2:7: column 'scale': 40000 does not fit INT. INT goes from -32768 to 32767. Use DINT or a "
        "value in range.",
    ),
    (
        f"{IN},4-20mA,0.5..100",
        "io.csv:2:7: column 'scale': INT cannot hold 0.5. It is a real number, not a integer. Write a whole number.",
    ),
    (
        f"{IN},4-20mA,5..5",
        "io.csv:2:7: column 'scale': '5..5' has the same number at both ends. Write two that differ.",
    ),
    (
        f"{IN},4-20mA,,5",
        "io.csv:2:8: column 'safe' is '5' for an input. Only an output has this column. Leave it empty.",
    ),
    (
        f"{OUT},4-20mA,,off",
        "io.csv:2:8: column 'safe': 'off' is not a number. Write for instance 0.",
    ),
    (
        f"{OUT},4-20mA,,99999",
        "io.csv:2:8: column 'safe': 99999 does not fit INT. INT goes from -32768 to 32767. Use DINT or a "
        "value in range.",
    ),
    (
        f"{IN},4-20mA,,,NC",
        "io.csv:2:9: column 'contact' is 'NC' for INT. Only a BOOL has this column. Leave it empty.",
    ),
    (
        f"{IN},4-20mA,,,,3ms",
        "io.csv:2:10: column 'filter' is '3ms' for INT. Only a BOOL has this column. Leave it empty.",
    ),
    (
        "b,BOOL,in,%IX0.0,door.open,4-20mA",
        "io.csv:2:6: column 'range' is '4-20mA' for BOOL. Only a number has this column. Leave it empty.",
    ),
    (
        "b,BOOL,in,%IX0.0,door.open,,0..1",
        "io.csv:2:7: column 'scale' is '0..1' for BOOL. Only a number has this column. Leave it empty.",
    ),
    (
        "w,WORD,in,%IW0,tank.level,4-20mA",
        "io.csv:2:2: column 'type': a point cannot be WORD. A wire carries a level or a number. Write BOOL or INT.",
    ),
    (
        "u,USINT,in,%IB0,tank.level,4-20mA",
        "io.csv:2:7: column 'scale': 10000 does not fit USINT. USINT goes from 0 to 255. Use INT or a value in range.",
    ),
]


@pytest.mark.parametrize(("row", "words"), LISTS)
def test_a_number_in_the_io_list(row, words):
    """Range, scale, safe number and foreign columns: each mistake says its cell and how to mend it."""
    assert told(parse_io, f"{HEAD}\n{row}") == words


PARTS = {
    "tank": Tank("tank"),
    "door": Door("door"),
    "horn": Lamp("horn"),
    "mode": Selector("mode"),
    "s5": Supply("s5", {"volts": 5}),
}
DEVICES = [
    (
        "a,INT,in,%IW0,door.open,4-20mA",
        "io.csv:2: 'a' is INT and goes to door.open. It carries no number. Make the tag BOOL, or choose "
        "another terminal.",
    ),
    (
        "b,BOOL,in,%IX0.0,tank.level",
        "io.csv:2: 'b' is BOOL and goes to tank.level. It carries a number. Make the tag a number, for instance INT.",
    ),
    (
        "q,INT,out,%QW0,horn.on,0-10V",
        "io.csv:2: 'q' is INT and goes to horn.on. It carries no number. Make the tag BOOL, or choose another"
        " terminal.",
    ),
]


@pytest.mark.parametrize(("row", "words"), DEVICES)
def test_a_number_against_the_machine(row, words):
    """A number goes to a terminal that carries one, a BOOL to one that is true or false."""
    assert told(check_devices, parse_io(f"{HEAD}\n{row}"), PARTS) == words


def test_what_fits_is_not_told():
    """A curve, a count, a number commanded; a supply of 5 V is no concern of a number."""
    rows = [
        "a,INT,in,%IW0,tank.level,0..2 m,,,,",
        "m,INT,in,%IW1,mode.position,0..3 positions,0..3,,,",
        "q,INT,out,%QW0,horn.volts,0-10V,,,,",
    ]
    check_devices(parse_io("\n".join([HEAD, *rows])), PARTS)
    check_devices(parse_io(f"{HEAD},supply\n{IN},4-20mA,,,,,s5"), PARTS)


FILES = {
    "io.csv": f"{HEAD}\n{IN},0..2 m,,,,\n",
    "logic.py": 'from simplant import Program\n\n\ndef build(tags):\n    return Program("vat", tags)\n',
}
POINTS = [
    (
        "updates = 0.01",
        "vat/machine.toml:6: part 'a' (AnalogInputPoint) has no parameter 'updates'. Close in spelling: update.",
    ),
    (
        "noise = 80.0",
        "vat/machine.toml:6: parameter a.noise = 80 %. It must lie between 0 and 50.",
    ),
    (
        "bounce = 0.01",
        "vat/machine.toml:6: part 'a' (AnalogInputPoint) has no parameter 'bounce'. Known: least_volts, "
        "noise, resolution, update.",
    ),
]


@pytest.mark.parametrize(("line", "words"), POINTS)
def test_parameters_of_a_point(tmp_path, monkeypatch, line, words):
    """What an analogue point does not have, or not so much of."""
    monkeypatch.chdir(tmp_path)
    text = f'[machine]\ntitle = "A vat"\n[parts.tank]\npart = "tank"\n[points.a]\n{line}\n'
    folder = tmp_path / "vat"
    folder.mkdir()
    for name, content in {**FILES, "machine.toml": text}.items():
        (folder / name).write_text(content, encoding="utf-8")
    assert told(Machine.load, folder) == words
