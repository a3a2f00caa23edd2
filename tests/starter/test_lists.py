"""I/O lists as people have them: headings, separators, encodings, spare rows; what is changed is told."""

from pathlib import Path

import pytest

from simplant.cli import main
from simplant.errors import WiringError
from simplant.starter.draft import draft
from simplant.starter.lists import as_io
from simplant.starter.trial import run_all
from simplant.wiring.io_file import parse_io

LOCK = """\
Machine: paper-boat lock;;;;;;;
Rev. B;;;;;;;
Tag name;I/O;Address;Device;NO/NC;Comment;Wire no.;Page
start-pb;DI;I0.0;-S1;NO;start button;101;3
stop pb;DI;I0.1;-S2;NC;stop button;102;3
reset pb;DI;I0.2;-S3;n.o.;reset;103;3
estop ok;DI;I0.3;-A1.aux;;safety relay;104;3
gate open;DI;%I0.4;gate.at_front;NO;;105;4
spare;DI;I1.0;;;;;
;DI;I1.1;;;spare;;
water temp;AI;IW2;B7.current;;temperature in °C;120;5
gate cmd;DO;Q0.0;gate_valve.coil;;;201;6
pump cmd;DO;Q0.2;K1.coil;;pump contactor;203;6
red lamp;DO;QX0.4;-H2;;"fault lamp; red";205;6
"""
LOCK_IO = """\
tag,direction,address,device,contact,description,wire,type,range
start_pb,in,%IX0.0,S1.contact,NO,start button,101,BOOL,
stop_pb,in,%IX0.1,S2.contact,NC,stop button,102,BOOL,
reset_pb,in,%IX0.2,S3.contact,NO,reset,103,BOOL,
estop_ok,in,%IX0.3,-A1.aux,,safety relay,104,BOOL,
gate_open,in,%IX0.4,gate.at_front,NO,,105,BOOL,
water_temp,in,%IW2,B7.current,,temperature in °C,120,INT,4-20mA
gate_cmd,out,%QX0.0,gate_valve.coil,,,201,BOOL,
pump_cmd,out,%QX0.2,K1.coil,,pump contactor,203,BOOL,
red_lamp,out,%QX0.4,H2.on,,fault lamp; red,205,BOOL,
"""
NOTES = [
    "headings: Tag name is tag, I/O is direction, NO/NC is contact, Comment is description, Wire no. is wire",
    "columns left out: Page",
    "lines above the headings left out: 1, 2",
    "cells are parted by ;",
    "water_temp has no range in the list: taken as 4-20mA",
    "spare rows left out: 9, 10",
    "tags have letters, digits and _ only: start-pb is start_pb, stop pb is stop_pb, reset pb is reset_pb, estop ok is "
    "estop_ok, gate open is gate_open, water temp is water_temp, gate cmd is gate_cmd, pump cmd is pump_cmd, "
    "red lamp is red_lamp",
    "devices named without a terminal are taken as: S1.contact, S2.contact, S3.contact, H2.on",
]


def rows(text: str) -> list[str]:
    return [line for line in text.splitlines() if line.strip()]


def test_a_list_as_it_is_kept_in_an_office() -> None:
    """Windows text, semicolons, rows above and between, other headings: each row as io.csv has it, each change told."""
    text, notes = as_io(LOCK.encode("cp1252"), "lock.csv")
    assert rows(text) == LOCK_IO.splitlines()
    assert notes == ["the list was read as Windows text (cp1252); io.csv is UTF-8", *NOTES]
    lines = [point.place.line for point in parse_io(text) if point.place]
    assert lines == [4, 5, 6, 7, 8, 11, 12, 13, 14]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("mark", [";", "\t", ","])
def test_the_same_in_other_encodings(encoding: str, mark: str) -> None:
    """Separator and encoding do not change what is read."""
    text = LOCK.replace(";", mark).replace(f'"fault lamp{mark} red"', '"fault lamp; red"')
    made, notes = as_io(text.replace("\n", "\r\n").encode(encoding), "lock.csv")
    assert rows(made) == LOCK_IO.splitlines()
    assert [note for note in notes if "parted by" in note] == (
        [] if mark == "," else [f"cells are parted by {'tabs' if mark == chr(9) else mark}"]
    )


def test_a_strict_list_is_left_as_it_is() -> None:
    for machine in ("comet_toss", "sump_pumps", "stamp_station"):
        data = Path(f"programs/{machine}/io.csv").read_bytes()
        assert as_io(data, "io.csv") == (data.decode("utf-8"), [])


BARE = [
    ("Symbol,Addr,Remarks\nS1,I0.0,start\nK1,Q0.0,contactor\n", ["S1,%IX0.0,S1.contact", "K1,%QX0.0,K1.coil"]),
    ("Name,Dir,Item\nlid,input,lid door\n1st lamp,output,H1\n",
     ["lid,%IX100.0,lid_door.switch", "t_1st_lamp,%QX100.1,H1.on"]),
    ("Tag,I/O,Voltage,Debounce\nseen,DI,24 V DC,3\n", ["seen,%IX100.0,seen.contact"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "wanted"), BARE, ids=["no device", "no address", "no type"])
def test_what_a_bare_list_leaves_out(text: str, wanted: list[str]) -> None:
    """Device from the tag, address in the order of the list, type and direction from the address."""
    points = parse_io(as_io(text.encode(), "list.csv")[0])
    assert [f"{p.name},{p.tag.address},{p.device}" for p in points] == wanted


def test_mistakes_are_told_in_the_lines_of_the_list() -> None:
    """What is not understood after all that is refused, with its line in the user's own file."""
    spoilt = LOCK.replace("gate cmd;DO;Q0.0", "gate cmd;DO;I0.1").replace("estop ok;DI;I0.3", "estop ok;DI;somewhere")
    with pytest.raises(WiringError) as caught:
        as_io(spoilt.encode(), "lock.csv")
    told = str(caught.value).splitlines()
    assert [line.partition(": ")[0].rpartition(":")[0] for line in told] == ["lock.csv:7", "lock.csv:12", "lock.csv:12"]


def test_what_is_no_list_is_told_as_it_stands() -> None:
    with pytest.raises(WiringError, match="there is no column 'to whom it may concern'"):
        as_io(b"To whom it may concern\nhello\n", "letter.csv")


def test_a_draft_of_it_passes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    """From the office's list to scenarios that pass; the safety relay is reset by the reset button, not by S1."""
    monkeypatch.chdir(tmp_path)
    Path("lock.csv").write_bytes(LOCK.encode("cp1252"))
    assert main(["new", "lock", "--io", "lock.csv"]) == 0
    runs = run_all(tmp_path, "lock")
    assert {name: run.findings for name, run in runs.items()} == {
        "guard_opened": (),
        "one_cycle": (),
        "power_up": (),
    }
    plant = Path("programs/lock/machine.toml").read_text(encoding="utf-8")
    for wire in ('reset = "S3.contact"', 'part = "pt100"', '[parts.K1_motor]\npart = "motor"\nvolts = "K1.out"'):
        assert wire in plant
    assert Path("programs/lock/hazards.csv").read_text(encoding="utf-8") == "rule,fault,reason,measure,who,date\n"
    assert "\n\n" not in Path("programs/lock/io.csv").read_text(encoding="utf-8")


def test_a_motor_named_alone_has_its_starter(tmp_path: Path) -> None:
    """Contactor, overload relay with its contact that the trip opens, motor, mains; and the wires between them."""
    (tmp_path / "mill.csv").write_text(
        "tag,type,direction,address,device,contact\nfan_cmd,BOOL,out,%QX0.0,fan.run,\n"
        "fan_ok,BOOL,in,%IX0.0,fan.ok,NC\nfan_on,BOOL,in,%IX0.1,fan.running,NO\nheat,BOOL,out,%QX0.1,K2_heater.coil,\n",
        encoding="utf-8",
    )
    made = draft("mill", tmp_path / "mill.csv")
    parts = [line for line in made.files["programs/mill/machine.toml"].splitlines() if not line.startswith("#")]
    plant = "\n".join(parts)
    for block in (
        '[parts.fan_contactor]\npart = "contactor"\nline = "mains.volts"\nenable = "fan_overload.healthy"\n'
        'coil_volts = "supply24.volts"\n',
        '[parts.fan_overload]\npart = "overload"\ncurrent = "fan.current"\n',
        '[parts.fan]\npart = "motor"\nvolts = "fan_contactor.out"\nrated_volts = 400.0\n',
        '[parts.K2_heater_heater]\npart = "heater"\nvolts = "K2_heater.out"\non = "K2_heater.closed"\n',
        '[parts.mains]\npart = "supply"\nvolts = 400.0\n',
    ):
        assert block in plant
    assert "fan_ok,BOOL,in,%IX0.0,fan_overload.tripped,NC" in made.files["programs/mill/io.csv"]
    assert "fan_on,BOOL,in,%IX0.1,fan_contactor.closed,NO" in made.files["programs/mill/io.csv"]


def test_two_contactors_that_turn_one_motor_either_way(tmp_path: Path) -> None:
    """One motor behind them, never together by a rule; limit switches are no guards; a current is a transmitter."""
    (tmp_path / "dome.csv").write_text(
        "Tag;I/O;Device;NO/NC;Comment\nopen cmd;DO;-K1.coil;;door motor\nclose cmd;DO;-K2.coil;;door motor\n"
        "is open;DI;-B1;NO;limit switch of the door\nmotor ok;DI;-F1.healthy;NC;95-96\nwind;AI;-B5.current;;m/s\n",
        encoding="utf-8",
    )
    made = draft("dome", tmp_path / "dome.csv")
    assert [line for line in made.read if line.startswith(("motor", "overload", "push_button", "level_sensor"))] == [
        "push_button: B1",
        "overload: F1",
        "level_sensor: B5 (?)",
        "motor (added): K1_motor",
    ]
    rules = made.files["programs/dome/rules.toml"]
    assert 'kind = "exclusive"\nmembers = ["open_cmd", "close_cmd"]' in rules
    assert 'claim = "open_cmd AND (F1.tripped)"\nmost = "100ms"' in rules
    assert "motor_ok,in,F1.tripped,NC" in made.files["programs/dome/io.csv"]


@pytest.mark.slow
def test_a_drafted_machine_with_a_float_and_an_emergency_stop_bears_any_story(tmp_path: Path, monkeypatch) -> None:
    """How much flows in, no list says, so chance lets nothing flow; and no story breaks a rule that was drafted."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "soap.csv").write_text(
        "Tag;Type;Address;Device;Contact;Description\nstart;DI;I0.0;S1;NO;start\nstop;DI;I0.1;S2;NC;stop button\n"
        "reset;DI;I0.2;S3;NO;reset button\nestop ok;DI;I0.3;S0;NC;emergency stop\nlow;DI;I0.4;B7;NO;soap is low\n"
        "dipped;DI;I0.5;dipper.at_front;NO;\ndip cmd;DO;Q0.0;dip_valve.coil;;dips the wand\n",
        encoding="utf-8",
    )
    assert main(["new", "soap", "--io", "soap.csv", "--st"]) == 0
    assert main(["fuzz", "soap", "--cases", "150", "--for", "8s"]) == 0
