"""The error catalogue of a machine's folder: the smallest mistake, and the exact words it is answered with.

Each case spoils one file of a copy of comet_toss and runs `simplant dryrun`: exit code 2, one clear message on
standard error, and nothing half-written left behind.
"""

import shutil
from pathlib import Path

import pytest

from simplant.cli import main

ROOT = Path(__file__).parents[2]
NO_ACCESS = "No such file or directory"

# (file, what is replaced, by what, the message); None as replacement: the file is written whole or taken away; LINE is
# the line that was spoilt
CASES = {
    "misspelt key of a controller": (
        "machine.toml", 'period = "10ms"', 'perod = "10ms"',
        "programs/comet_toss/machine.toml:LINE: there is no key 'controller.perod'. "
        "Close in spelling: period, periods.",
    ),
    "misspelt key of the machine": (
        "machine.toml", "title =", "titel =",
        "programs/comet_toss/machine.toml:LINE: there is no key 'machine.titel'. Close in spelling: title.",
    ),
    "misspelt parameter": (
        "machine.toml", "rise_time = 0.3", "rise_tme = 0.3",
        "programs/comet_toss/machine.toml:LINE: part 'supply48' (supply) has no 'rise_tme'. "
        "Close in spelling: rise_time, rise_delay, resistance.",
    ),
    "parameter of the wrong type": (
        "machine.toml", "rise_time = 0.3", 'rise_time = "fast"',
        "programs/comet_toss/machine.toml:LINE: parameter supply48.rise_time is 'fast'. It must be a number (s).",
    ),
    "impossible parameter": (
        "machine.toml", "volts = 48.0", "volts = -48.0",
        "programs/comet_toss/machine.toml:LINE: parameter supply48.volts = -48 V. It must lie between 0.1 and 1000.",
    ),
    "unknown stock part": (
        "machine.toml", 'part = "turntable"', 'part = "turntabel"',
        "there is no stock part 'turntabel'. Close in spelling: turntable; your own: \"file.py:Class\".",
    ),
    "wire from a part that is not there": (
        "machine.toml", '\nangle = "table.angle"', '\nangle = "tabel.angle"',
        "limit_left.angle is wired to 'tabel.angle', but there is no part 'tabel'. Close in spelling: table.",
    ),
    "wire from a terminal that is not there": (
        "machine.toml", '\nangle = "table.angle"', '\nangle = "table.angel"',
        "part 'table' has no output 'angel'. Close in spelling: angle.",
    ),
    "a curve where a count is heard": (
        "machine.toml", 'caught = "people.catches"', 'caught = "wheel.speed"',
        "balls.caught cannot be wired to 'wheel.speed'. wheel.speed says a curve over time, balls.caught does not. "
        "Wire another terminal.",
    ),
    "a level where a curve is heard": (
        "machine.toml", 'angle = "table.angle"', 'angle = "table.moving"',
        "limit_left.angle cannot be wired to 'table.moving'. limit_left.angle hears a curve over time, table.moving "
        "does not. Wire another terminal.",
    ),
    "a chart of what is not there": (
        "machine.toml", '"lift.elevation"', '"lift.elevatoin"',
        "machine.toml:11: machine.chart names 'lift.elevatoin', which is not there. Close in spelling: lift.elevation",
    ),
    "a count of what is not there": (
        "machine.toml", 'tosses = "balls.launched"', 'tosses = "balls.lauched"',
        "machine.counts.tosses names 'balls.lauched', which is not there. Close in spelling: balls.launched",
    ),
    "not a duration": (
        "machine.toml", 'period = "10ms"', 'period = "10 parsec"',
        "controller.period: '10 parsec' is not a duration. Write a number with a unit (ns us ms s m h d), "
        'for instance "1.5s".',
    ),
    "a range of periods that is none": (
        "machine.toml", 'period = "10ms"', 'periods = ["12ms", "8ms"]',
        "programs/comet_toss/machine.toml:LINE: controller.periods goes from 12 ms to 8 ms. Write the least and the "
        'most: periods = ["8ms", "12ms"].',
    ),
    "a number where text is wanted": (
        "machine.toml", 'period = "10ms"', "period = 10",
        "programs/comet_toss/machine.toml:LINE: controller.period: expected text in quotes, got a whole number.",
    ),
    "not TOML": (
        "machine.toml", None, b"[machine\ntitle=",
        "programs/comet_toss/machine.toml is not TOML. Expected ']' at the end of a table declaration (at line 1, "
        "column 9). Mend that line: texts and times stand in quotes.",
    ),
    "not UTF-8": (
        "machine.toml", None, b"\xff\xfe[machine]",
        "programs/comet_toss/machine.toml is not UTF-8. Byte 1 is wrong. Save it as UTF-8.",
    ),
    "no machine.toml": (
        "machine.toml", None, None,
        f"machine.toml cannot be read. {NO_ACCESS}. A machine is a folder with io.csv and machine.toml.",
    ),
    "I/O list: a part that is not there": (
        "io.csv", "limit_left.seen", "limit_lft.seen",
        "io.csv:9: 'table_at_left' goes to limit_lft.seen, but there is no part 'limit_lft'. "
        "Close in spelling: limit_left, limit_right, lift.",
    ),
    "I/O list: duplicate address": (
        "io.csv", "%IX0.1", "%IX0.0",
        "io.csv:3:4: address %IX0.0 is there twice. The first is in line 2. Rename or remove one.",
    ),
    "I/O list: unknown column": (
        "io.csv", "contact,", "contakt,", "io.csv:1:6: there is no column 'contakt'. Close in spelling: contact.",
    ),
    "I/O list: not a table": ("io.csv", None, b"hello", "io.csv:1:1: there is no column 'hello'. Known: address,"),
    "unknown tag in the logic": (
        "logic.py", "t.table_at_left & t.table_at_right", "t.table_at_lft & t.table_at_right",
        "the I/O list has no tag 'table_at_lft'. Close in spelling: table_at_left, table_at_right, table_right_cmd.",
    ),
    "logic that raises": (
        "logic.py", "    t = p.tags\n", "    t = p.tags\n    1/0\n",
        "it raised ZeroDivisionError: division by zero.",
    ),
    "logic that is not Python": (
        "logic.py", "    t = p.tags\n", "    t = = p.tags\n", "invalid syntax. Python cannot read the file.",
    ),
    "no logic file": (
        "logic.py", None, None,
        "there is no file programs/comet_toss/logic.py. It is the file of "
        "'machine.logic'. Known: pulses.py, rules.py.",
    ),
    "no logic file of another controller": (
        "pulses.py", None, None,
        "there is no file programs/comet_toss/pulses.py. It is the file of 'controllers.pulses.logic'. "
        "Close in spelling: rules.py.",
    ),
    "no rules file": (
        "machine.toml", 'rules = "rules.py"', 'rules = "rule.py"',
        "programs/comet_toss/machine.toml:LINE: there is no file programs/comet_toss/rule.py. It is the file of "
        "'machine.rules'. Close in spelling: rules.py, pulses.py.",
    ),
    "no hazard list": (
        "hazards.csv", None, None,
        "there is no file programs/comet_toss/hazards.csv. It is the file of "
        "'machine.hazards'. Close in spelling: matrix.csv.",
    ),
    "no I/O list": (
        "io.csv", None, None,
        f"programs/comet_toss/io.csv cannot be read. {NO_ACCESS}. Each machine has its I/O list there, its first row: "
        "tag,type,direction,address,device.",
    ),
    "logic without build": (
        "logic.py", "def build(tags)", "def bild(tags)",
        "programs/comet_toss/logic.py: it has no function build(). Write def build(...) in it.",
    ),
    "build that forgets its program": (
        "logic.py", "    return p\n", "    return None\n",
        "build() in logic.py gave None. End it with: return program.",
    ),
    "`not` in place of ~": (
        "logic.py", "~t.mode_2)", "(not t.mode_2))",
        "the expression mode_2 was used as a Python truth value. `and`, `or`, `not`, `if` and chained comparisons "
        "decide at once; an expression is decided at each scan. Use & for AND, | for OR, ~ for NOT, and parentheses "
        "around comparisons.",
    ),
    "rule on a truth that is not there": (
        "rules.py", 'truth("wheel.speed")', 'truth("wheel.sped")',
        "there is no truth 'wheel.sped'. Close in spelling: wheel.speed, wheel.current, wheel_contactor.closed.",
    ),
    "hazard for a rule that is not there": (
        "hazards.csv", "wheel at speed", "wheel at spee",
        "programs/comet_toss/hazards.csv:2: there is no rule 'wheel at spee'. Close in spelling: wheel at speed.",
    ),
}  # fmt: skip


@pytest.fixture
def copied(tmp_path, monkeypatch):
    skip = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "programs" / "comet_toss", tmp_path / "programs" / "comet_toss", ignore=skip)
    shutil.copytree(ROOT / "scenarios" / "comet_toss", tmp_path / "scenarios" / "comet_toss", ignore=skip)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def spoil(path, old, new):
    if old is not None:
        text = path.read_text(encoding="utf-8")
        assert old in text, f"{path.name} no longer has {old!r}: mend the case"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
    elif new is None:
        path.unlink()
    else:
        path.write_bytes(new)


def refused(capsys, *arguments):
    """Run a command that must fail with exit code 2 and leave nothing behind; give its message."""
    assert main(arguments) == 2
    left = [p.name for p in Path("runs").glob("*")] if Path("runs").exists() else []
    assert left == [], "something half-written was left"
    return " ".join(capsys.readouterr().err.split())


@pytest.mark.parametrize("case", CASES)
def test_a_spoilt_file_is_told_exactly(case, copied, capsys):
    """Each mistake in a machine's folder is told with place, reason and mend, and nothing is written."""
    file, old, new, message = CASES[case]
    path = copied / "programs" / "comet_toss" / file
    line = 0 if old is None else path.read_text(encoding="utf-8").partition(old)[0].count("\n") + 1
    spoil(path, old, new)
    told = refused(capsys, "dryrun", "programs/comet_toss")
    assert told.startswith("simplant: ")
    assert message.replace("LINE", str(line)) in told


ARGUMENTS = {
    ("dryrun", "programs/comet_tos"): "there is no machine at programs/comet_tos. "
    "Close in spelling: programs/comet_toss.",
    ("dryrun", "programs/comet_toss", "--scenario", "good_cals"): "comet_toss has no scenario 'good_cals'. "
    "Close in spelling: good_calls, good_tour.",
    ("dryrun", "programs/comet_toss", "--trace", "nowhere/x.trace"): "cannot be written. There is no folder nowhere. "
    "Make the folder first.",
    ("replay", "nowhere"): "there is no file or folder nowhere. Name scenario files or folders of them.",
}


@pytest.mark.parametrize("arguments", ARGUMENTS)
def test_a_wrong_argument_is_told_exactly(arguments, copied, capsys):
    """What is asked for and is not there is answered with the nearest that is."""
    assert ARGUMENTS[arguments] in refused(capsys, *arguments)


@pytest.mark.parametrize(
    "arguments",
    [
        ("dryrun", "m", "--for", "10"),
        ("fuzz", "m", "--for", "10"),
        ("sweep", "m", "--for", "10"),
        ("chart", "m", "--from", "10"),
        ("rungs", "m", "--at", "10"),
        ("table", "f", "--scan", "10"),
        ("compare", "a", "b", "--scan", "10"),
    ],
)
def test_a_wrong_time_is_told_with_its_option(arguments, capsys):
    """A time without a unit names the option it was given to, before anything is read."""
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert (
        f"argument {arguments[-2]}: '10' is not a duration. Write a number with a unit (ns us ms s m h d), "
        'for instance "1.5s".'
    ) in capsys.readouterr().err


FLIP = '''from simplant import Part


class Flip(Part):
    """Says the opposite of what it hears, at once."""

    INPUTS = {"a": False}
    OUTPUTS = {"b": False}

    def command(self, now):
        self.emit("b", not self.on("a"))
'''


def test_a_plant_that_never_settles_names_its_parts(copied, capsys):
    """A loop of parts without delay is stopped after 100 rounds, and the parts in it are named."""
    folder = copied / "programs" / "comet_toss"
    (folder / "own.py").write_text(FLIP, encoding="utf-8")
    spoil(
        folder / "machine.toml",
        "[parts.supply24]",
        '[parts.flip]\npart = "own.py:Flip"\na = "flip.b"\n\n[parts.supply24]',
    )
    told = refused(capsys, "dryrun", "programs/comet_toss")
    assert (
        "the plant does not settle at t=0.000 s. After 100 rounds within one instant these parts still change: flip."
        in told
    )


def test_a_program_that_fails_in_a_scan_is_a_finding_with_its_line(copied, capsys):
    """Plain Python that raises in a scan stops the controller safely; the run tells where, exit code 1."""
    spoil(
        copied / "programs" / "comet_toss" / "logic.py",
        "    # outputs: each has one writer",
        "    p.python(lambda pressed: 1 // (not pressed), reads=[t.start_pressed], "
        "writes=[p.memory('quotient', INT)])\n"
        "    # outputs: each has one writer",
    )
    assert main(["dryrun", "programs/comet_toss"]) == 1
    told = " ".join(capsys.readouterr().out.split())
    assert "the program raised ZeroDivisionError: integer division or modulo by zero" in told
    assert "programs/comet_toss/logic.py:" in told
