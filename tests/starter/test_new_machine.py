"""`simplant new`: what is written runs and passes at once, nothing is overwritten, nothing guessed in silence."""

import json
from pathlib import Path

import pytest

from simplant import Machine
from simplant.cli import main
from simplant.errors import InternalError
from simplant.rig.machine import STOCK
from simplant.starter.draft import draft
from simplant.starter.fit import Device, answers_by_name, fit, near
from simplant.starter.place import put
from simplant.starter.station import station
from simplant.starter.trial import run_all

ROOT = Path(__file__).parents[2]
pytest_plugins = "pytester"
HEAD = "tag,type,direction,address,device,contact,description\n"
MIXER = (
    HEAD
    + """\
shut,BOOL,in,%IX0.0,-S5.open,NC,
run_pb,BOOL,in,%IX0.1,-S1.pressed,NO,start
horn,BOOL,out,%QX0.0,horn.on,,
fill_cmd,BOOL,out,%QX0.3,pump.coil,,
pump_ok,BOOL,in,%IX0.6,pump.tripped,NC,
clamp_cmd,BOOL,out,%QX0.4,clamp.coil,,
clamp_closed,BOOL,in,%IX1.0,clamp.at_front,NO,
turn_cmd,BOOL,out,%QX0.5,drum.spin,,
drum_home,BOOL,in,%IX1.1,drum.home,NO,
"""
)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def written(root: Path) -> dict[str, str]:
    return {path.relative_to(root).as_posix(): path.read_text() for path in sorted(root.rglob("*")) if path.is_file()}


def test_the_small_machine_passes_at_once(here: Path, capsys) -> None:
    """Its files are those told; its scenarios pass without a warning, its checks without error or warning."""
    assert main(["new", "jam_press"]) == 0
    told = capsys.readouterr().out.splitlines()
    assert [line.strip() for line in told[1:9]] == list(written(here)) == sorted(station("jam_press"))
    assert told[-3:] == [
        "  simplant dryrun programs/jam_press",
        "  simplant check programs/jam_press",
        "  pytest scenarios/jam_press tests/test_jam_press.py",
    ]
    runs = run_all(here, "jam_press")
    assert {name: (run.findings, run.warnings) for name, run in runs.items()} == {
        "guard_opened": ((), ()),
        "one_part": ((), ()),
    }
    assert main(["check", "programs/jam_press"]) == 0
    assert "0 errors, 0 warnings" in capsys.readouterr().out
    assert main(["replay", "scenarios"]) == 0


def warned(name: str, capsys) -> list[tuple[str, str]]:
    """Give the warnings and errors that check has for a machine: the line of its file, and what."""
    capsys.readouterr()
    assert main(["check", f"programs/{name}", "--json"]) == 0
    (controller,) = json.loads(capsys.readouterr().out)["controllers"]
    told = [(f["place"].removeprefix(f"programs/{name}/"), f["what"]) for f in controller["findings"]]
    return [f for f, whole in zip(told, controller["findings"], strict=True) if whole["severity"] != "note"]


@pytest.mark.parametrize("more", [(), ("--io", "mixer.csv")], ids=["small", "drafted"])
def test_its_program_may_be_structured_text(here: Path, capsys, more: tuple[str, ...]) -> None:
    """With `logic.st` in place of `logic.py`: the same traces but for hidden variables, same warnings."""
    (here / "mixer.csv").write_text(MIXER)
    assert main(["new", "one", *more]) == main(["new", "other", *more, "--st"]) == 0
    assert "logic.py" not in capsys.readouterr().out.partition("programs/other")[2]
    assert not list((here / "programs/other").glob("logic.py"))
    ours, theirs = run_all(here, "one"), run_all(here, "other")
    assert ours.keys() == theirs.keys()
    for name, run in ours.items():
        shown = {row for row in theirs[name].trace if row[1] in {each for _, each, _ in run.trace}}
        assert set(run.trace) == shown
        assert run.findings == theirs[name].findings == ()
    assert warned("one", capsys) == warned("other", capsys)


def test_its_own_tests_pass(here: Path, pytester: pytest.Pytester) -> None:
    """The pytest file and the scenarios of a new machine pass as they are written."""
    assert main(["new", "jam_press", "--into", str(pytester.path)]) == 0
    pytester.runpytest("-q", "scenarios", "tests").assert_outcomes(passed=3)


def test_nothing_is_overwritten(here: Path, capsys) -> None:
    """A second machine of the name is refused, wherever its name is taken, and leaves everything as it was."""
    (here / "tests").mkdir()
    (here / "tests/test_jam_press.py").write_text("mine")
    assert main(["new", "jam_press"]) == 2
    assert capsys.readouterr().err == (
        "simplant: tests/test_jam_press.py is there already. Nothing is overwritten. Choose another name.\n"
    )
    assert written(here) == {"tests/test_jam_press.py": "mine"}


@pytest.mark.parametrize("name", ["Jam", "jam-press", "", "3jam", "../jam"])
def test_a_name_that_is_none(here: Path, capsys, name: str) -> None:
    assert main(["new", name]) == 2
    assert "cannot be a machine's name" in capsys.readouterr().err
    assert written(here) == {}


def test_what_does_not_pass_leaves_nothing(here: Path) -> None:
    """A trial that raises takes back everything, the folder aside included."""

    def trial(root: Path) -> None:
        assert (root / "programs/jam_press/io.csv").is_file()
        raise InternalError("no")

    with pytest.raises(InternalError):
        put(station("jam_press"), "jam_press", here, trial)
    assert list(here.iterdir()) == []


def test_each_stock_part_is_known_by_its_own_terminals() -> None:
    """A device that bears a stock part's name and uses all its levels is that part."""
    for name, kind in STOCK.items():
        reads = tuple(t for t, first in kind.OUTPUTS.items() if isinstance(first, bool))
        drives = tuple(t for t, first in kind.INPUTS.items() if first is False)
        if reads or drives:
            assert fit(Device(f"{name}_7", reads, drives)) == name


FITS = [
    ("start", ("pressed",), (), "push_button"),
    ("S1", ("pressed",), (), "push_button"),
    ("estop", ("pressed",), (), "emergency_stop"),
    ("K1", (), ("coil",), "contactor"),
    ("Y1", (), ("coil",), "valve"),
    ("thing", (), ("coil",), "relay"),
    ("clamp", ("at_front",), (), "cylinder"),
    ("head_valve", (), ("coil_14", "coil_12"), "double_valve"),
    ("beacon_red", (), ("on",), "lamp"),
    ("guard", ("open",), (), "door"),
    ("drum", ("home",), ("spin",), None),
]


@pytest.mark.parametrize(("name", "reads", "drives", "part"), FITS, ids=[row[0] for row in FITS])
def test_a_device_is_told_by_terminals_then_by_its_name(name, reads, drives, part) -> None:
    assert fit(Device(name, reads, drives)) == part


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("E_stop_ok_emergency", "emergency_stop"),
        ("E_stop", "emergency_stop"),
        ("stop_released_stop", "push_button"),
    ],
)
def test_what_is_said_of_a_switch_tells_an_emergency_stop(said: str, part: str) -> None:
    """S is the letter of both: what the row says decides, for an emergency stop is a guard of the draft."""
    assert fit(Device("S0", ("contact",), (), said)) == part


def test_the_nearest_part_to_what_fits_none() -> None:
    assert near(Device("dial", ("bitt_0",), ()))[0] == "selector"


def test_a_draft_says_what_it_read_and_what_is_left(here: Path) -> None:
    """Renamed, split, added, told by terminals alone, stood in for, unwired, unanswered: each has its line."""
    (here / "mixer.csv").write_text(MIXER)
    made = draft("mixer", here / "mixer.csv")
    read, left = "\n".join(made.read), "\n".join(made.left)
    for line in (
        "door: S5 (?)",
        "called otherwise (a part's name has letters, digits and _; io.csv says so now): -S5 is S5, -S1 is S1",
        "called otherwise (a tag is called so; io.csv says so now): horn is horn_part",
        "pump is two parts: contactor pump_contactor and pump pump (io.csv says so now)",
        "clamp is two parts: valve clamp_valve and cylinder clamp (io.csv says so now)",
        "air_supply (added): air",
        "wires go to contacts, so pressed became contact and open became switch: S5, S1",
    ):
        assert line in read
    for line in (
        "drum (home, spin) fits no stock part; the nearest is ",
        "no input answers fill_cmd, turn_cmd: the step ends after 1 s (logic.py)",
        "no push button is named stop or reset: see logic.py",
        "the program does not look at pump_ok, drum_home yet (logic.py)",
    ):
        assert line in left
    plant = made.files["programs/mixer/machine.toml"]
    assert '[parts.clamp]\npart = "cylinder"\nextend = "clamp_valve.out_4"\nretract = "clamp_valve.out_2"\n' in plant
    assert '[parts.drum]\npart = "parts.py:Drum"\n' in plant
    assert "clamp_cmd,BOOL,out,%QX0.4,clamp_valve.coil,," in made.files["programs/mixer/io.csv"]
    program = made.files["programs/mixer/logic.py"]
    assert 'go("clamp", "turn", t.clamp_closed),' in program
    assert 'p.rung(t.clamp_cmd, cycle["clamp"] & healthy)' in program
    rules = made.files["programs/mixer/rules.toml"]
    assert 'claim = "fill_cmd AND (S5.open)"\nmost = "100ms"' in rules
    assert "# stroke = 0.1  # m: from end to end" in plant


@pytest.mark.parametrize("machine", ["comet_toss", "sump_pumps"])
def test_the_lists_of_the_demo_machines_make_drafts_that_pass(here: Path, capsys, machine: str) -> None:
    """Whatever the list, the draft loads, its checks find no error, and its scenarios pass."""
    assert main(["new", "again", "--io", str(ROOT / "programs" / machine / "io.csv")]) == 0
    runs = run_all(here, "again")
    assert "power_up" in runs
    assert {name: (run.findings, run.warnings) for name, run in runs.items()} == dict.fromkeys(runs, ((), ()))
    loaded = Machine.load(here / "programs/again")
    assert [point.name for point in loaded.io] == [p.name for p in Machine.load(ROOT / "programs" / machine).io]
    assert main(["check", "programs/again"]) == 0


def test_a_list_that_cannot_be_read_writes_nothing(here: Path, capsys) -> None:
    """All mistakes of the list at once."""
    (here / "list.csv").write_text(
        "Tag;I/O;Address;Device;Type\nS1;DI;%I0.0;S1.pressed;BOOOL\nS1;DI;nowhere;S2.pressed;BOOL\n"
    )
    assert main(["new", "again", "--io", "list.csv"]) == 2
    assert capsys.readouterr().err.splitlines() == [
        "simplant: list.csv:2:5: column 'type': there is no type 'BOOOL'. Close in spelling: BOOL.",
        "list.csv:3:1: tag 'S1' is there twice. The first is in line 2. Rename or remove one.",
        "list.csv:3:3: column 'address': 'nowhere' is not an address. Write a bit as %IX0.3, a word as %IW2.",
    ]
    assert [path.name for path in here.iterdir()] == ["list.csv"]


def test_two_outputs_to_one_terminal_are_told_in_the_users_own_file(here: Path, capsys) -> None:
    (here / "list.csv").write_text(HEAD + "a,BOOL,out,%QX0.0,h1.on,,\nb,BOOL,out,%QX0.1,h1.on,,\n")
    assert main(["new", "again", "--io", "list.csv"]) == 2
    assert capsys.readouterr().err == (
        "simplant: list.csv:3: 'b' and 'a' both drive h1.on. Give one of them another device.\n"
    )


def test_what_may_answer_is_told_by_its_name() -> None:
    """A limit switch that nothing moves yet is named; a button is no answer."""
    inputs = ("door_is_open", "is_closed", "close_pb", "rain")
    told = [(out, seen) for out in ("open_cmd", "close_cmd") for seen in inputs if answers_by_name(out, seen)]
    assert told == [("open_cmd", "door_is_open"), ("close_cmd", "is_closed")]
