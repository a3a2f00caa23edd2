"""The error catalogue of scenario and trace files: the smallest input of each, and the exact text."""

import pytest

from simplant.errors import ScenarioError, UsageError
from simplant.files import write_text
from simplant.scenario.check import Names, check_against
from simplant.scenario.model import Scenario
from simplant.scenario.read import parse_scenario, read_scenario
from simplant.scenario.trace import Trace, TraceFile

SCENARIO = {
    "unknown key": ('machin = "m"', "f.toml:1:1: unknown key 'machin'. Close in spelling: machine."),
    "unknown table": (
        'machine = "m"\n[[fualt]]\nat = "1s"',
        "f.toml:2:1: unknown key 'fualt'. Close in spelling: fault.",
    ),
    "unknown key of a table": (
        'machine = "m"\n[[fault]]\nat = "1s"\non = "x"\nkindd = "k"',
        "f.toml:5:1: unknown key 'kindd'. Close in spelling: kind.",
    ),
    "unknown key of an inline table": (
        'machine = "m"\nstimulus = [\n  # a comment, with ] and }\n  { at = "1s", on = "a", doo = "x" },\n]',
        "f.toml:4:26: unknown key 'doo'. Close in spelling: do.",
    ),
    "unknown key of what is expected": (
        'machine = "m"\n[expect]\nalarm = []',
        "f.toml:3:1: unknown key 'alarm'. Close in spelling: alarms.",
    ),
    "unknown key of what is expected at an instant": (
        'machine = "m"\nexpect.at = [{ at = "1s", tag = {} }]',
        "f.toml:2:27: unknown key 'tag'. Close in spelling: tags.",
    ),
    "no machine": ("", "f.toml: the scenario has no 'machine'. Add a line 'machine = ' with its value."),
    "no part": (
        'machine = "m"\n[[stimulus]]\nat = "1s"',
        "f.toml:2:1: this stimulus has no 'on'. Add a line 'on = ' with its value.",
    ),
    "wrong type": ("machine = 1", "f.toml:1:1: 'machine' is the number 1. It must be text."),
    "text wanted": ('machine = "m"\ntitle = true', "f.toml:2:1: 'title' is true. It must be text."),
    "whole number wanted": (
        'machine = "m"\nseed = 1.5',
        "f.toml:2:1: 'seed' is the number 1.5. It must be a whole number.",
    ),
    "time as a number": (
        'machine = "m"\nlength = 60',
        "f.toml:2:1: 'length' is the number 60. It must be text. Write a time with its unit, for instance \"60s\".",
    ),
    "table in place of a list": (
        'machine = "m"\n[stimulus]\nat = "1s"',
        "f.toml:2:1: 'stimulus' is a table. It must be a list [...]. Write [[stimulus]] in place of [stimulus].",
    ),
    "number in a list of tables": (
        'machine = "m"\nwrite = [3]',
        "f.toml:2:10: 'write' is the number 3. It must be a table.",
    ),
    "list as a value": (
        'machine = "m"\n[retained]\ntosses = [1]',
        "f.toml:3:1: 'tosses' is a list. It must be true, false, a number or text.",
    ),
    "date as a value": (
        'machine = "m"\n[expect.tags]\nlamp = 1979-05-27',
        "f.toml:3:1: 'lamp' is a date or time. It must be true, false, a number or text.",
    ),
    "text as a parameter": (
        'machine = "m"\n[set]\n"wheel.radius" = "0.1"',
        "f.toml:3:1: 'wheel.radius' is the text '0.1'. It must be a finite number.",
    ),
    "not a number": ('machine = "m"\n[expect.tags]\nx = nan', "f.toml:3:1: 'x' is nan. Only finite numbers are taken."),
    "number as a step": (
        'machine = "m"\n[expect.steps]\ncalls = 3',
        "f.toml:3:1: 'calls' is the number 3. It must be the name of a step, as text.",
    ),
    "range the wrong way round": (
        'machine = "m"\n[expect.truths]\nlift.angle = [2, 1]',
        "f.toml:3:1: 'angle' ranges from 2 to 1. A range is [least, most].",
    ),
    "range of three": (
        'machine = "m"\n[expect.truths]\nlift.angle = [1, 2, 3]',
        "f.toml:3:1: 'angle' is a list of 3. A range is [least, most].",
    ),
    "negative time": (
        'machine = "m"\n[[write]]\nat = "-1s"\ntag = "t"\nvalue = 1',
        "f.toml:3:1: '-1s' is negative. A run begins at 0 s.",
    ),
    "past the end": (
        'machine = "m"\nlength = "10s"\n[[write]]\nat = "11s"\ntag = "t"\nvalue = 1',
        "f.toml:4:1: 11.000 s is past the end of the run. The run is 10.000 s long. "
        "Make it earlier, or the length greater.",
    ),
    "not a time": (
        'machine = "m"\nlength = "10 sec"',
        "f.toml:2:1: '10 sec' is not a duration. Write a number with a unit (ns us ms s m h d), for instance \"1.5s\".",
    ),
    "finer than the clock": (
        'machine = "m"\nlength = "1.5ns"',
        "f.toml:2:1: 1.5 ns is not a whole number of nanoseconds. Round it first.",
    ),
    "too long": (
        'machine = "m"\nlength = "9999999999h"',
        "f.toml:2:1: '9999999999h' is too long. The clock ends after 292 years.",
    ),
    "no length": (
        'machine = "m"\nlength = "0s"',
        'f.toml:2:1: the run is 0 s long. Write for instance length = "60s".',
    ),
    "lasts no time": (
        'machine = "m"\n[[fault]]\nat = "1s"\non = "x"\nkind = "k"\nfor = "0s"',
        "f.toml:6:1: it lasts 0 s. Leave out 'for' if it stays for good.",
    ),
    "no opposite": (
        'machine = "m"\n[[stimulus]]\nat = "1s"\non = "mode"\ndo = "select"\nfor = "1s"',
        "f.toml:6:1: 'select' cannot be given a time. No action is known to end it. "
        "Leave out 'for' and write what follows as a stimulus of its own.",
    ),
    "negative ties": ('machine = "m"\nties = -1', "f.toml:2:1: the seed of ties is -1. It must be 0 or more."),
    "negative seed": ('machine = "m"\nseed = -1', "f.toml:2:1: the seed is -1. It must be 0 or more."),
    "unknown restart": (
        'machine = "m"\n[[power]]\nat = "1s"\nrestart = "hot"',
        "f.toml:4:1: 'restart' is the text 'hot'. It must be \"warm\" or \"cold\".",
    ),
    "not TOML": (
        'machine = "m"\nseed =',
        "f.toml:2: this is not TOML. Invalid value. Texts and times stand in quotes.",
    ),
    "not TOML within": (
        "machine ! 3\n",
        "f.toml:1:9: this is not TOML. Expected '=' after a key in a key/value pair. Texts and times stand in quotes.",
    ),
}


@pytest.mark.parametrize(("text", "message"), SCENARIO.values(), ids=SCENARIO)
def test_scenario(text, message):
    """A wrong scenario is refused with its place, what is wrong and how to mend it."""
    with pytest.raises(ScenarioError) as error:
        parse_scenario(text, "f.toml")
    assert str(error.value) == message


NAMES = Names(
    actions={"start": ("press", "release")},
    kinds={"table_at_left": ("stuck_on", "stuck_off"), "table_at_right": ("stuck_on", "swapped")},
    partners={"table_at_right": ("gate_seen", "return_beam")},
    points=("table_at_left", "wheel_run_cmd"),
    memory=("speed_set",),
    retained=("tosses",),
    tags=("table_at_left", "wheel_run_cmd", "speed_set", "tosses", "alarm_first_out"),
    words={"alarm_first_out": ("none", "no_ball", "gate_jam")},
    parameters=("wheel.radius",),
    truths=("balls.held",),
    charts={"calls": ("idle", "aim")},
    rules=("warned",),
    alarms=("lift_late",),
)

MISFITS = {
    "part": (
        '[[stimulus]]\nat="1s"\non="strat"\ndo="press"',
        "4:1: there is no part 'strat'. Close in spelling: start.",
    ),
    "action": (
        '[[stimulus]]\nat="1s"\non="start"\ndo="pres"',
        "5:1: there is no action of start 'pres'. Close in spelling: press.",
    ),
    "faulty": (
        '[[fault]]\nat="1s"\non="table_at_lft"\nkind="stuck_on"',
        "4:1: there is no part or point 'table_at_lft'. Close in spelling: table_at_left, table_at_right.",
    ),
    "failure mode": (
        '[[fault]]\nat="1s"\non="table_at_left"\nkind="stuk_on"',
        "5:1: there is no failure mode of table_at_left 'stuk_on'. Close in spelling: stuck_on, stuck_off.",
    ),
    "other point": (
        '[[fault]]\nat="1s"\non="table_at_right"\nkind="swapped"\nwith="table_at_left_"',
        "6:1: there is no point 'table_at_left_'. Close in spelling: table_at_left, table_at_right.",
    ),
    "swapped with nothing": (
        '[[fault]]\nat="1s"\non="table_at_right"\nkind="swapped"',
        "5:1: 'table_at_right' is swapped with nothing. It takes two wires."
        ' Write with = "..."; wires that can be mixed up with it: gate_seen, return_beam.',
    ),
    "swapped with a far one": (
        '[[fault]]\nat="1s"\non="table_at_right"\nkind="swapped"\nwith="table_at_left"',
        "6:1: the wires of 'table_at_right' and 'table_at_left' cannot be mixed up unnoticed. Both must lie in one"
        " cable, go the same way, and have one kind of signal and one supply."
        " Wires that can be mixed up with it: gate_seen, return_beam.",
    ),
    "alone": (
        '[[fault]]\nat="1s"\non="table_at_left"\nkind="stuck_on"\nwith="table_at_right"',
        "6:1: 'stuck_on' has no 'with'. It fails one part or point alone. Leave 'with' out.",
    ),
    "forced": (
        '[[force]]\nat="1s"\ntag="speed_set"\nvalue=1',
        "4:1: there is no point 'speed_set'. Known: table_at_left, wheel_run_cmd.",
    ),
    "written": (
        '[[write]]\nat="1s"\ntag="speed_st"\nvalue=1',
        "4:1: there is no memory tag 'speed_st'. Close in spelling: speed_set.",
    ),
    "controller": (
        '[[power]]\nat="1s"\ncontroller="mian"',
        "4:1: there is no controller 'mian'. Close in spelling: main.",
    ),
    "parameter": (
        "[set]\nwheel.radios = 1",
        "3:1: there is no parameter 'wheel.radios'. Close in spelling: wheel.radius.",
    ),
    "retained": ("[retained]\ntoses = 1", "3:1: there is no retained tag 'toses'. Close in spelling: tosses."),
    "rule": ('[expect]\nbroken = ["warmed"]', "3:11: there is no rule 'warmed'. Close in spelling: warned."),
    "alarm": ('[expect]\nalarms = ["lift"]', "3:11: there is no alarm 'lift'. Close in spelling: lift_late."),
    "first-out": ('[expect]\nfirst_out = "lift"', "3:1: there is no alarm 'lift'. Close in spelling: lift_late."),
    "chart": ('[expect.steps]\ncals = "idle"', "3:1: there is no chart 'cals'. Close in spelling: calls."),
    "step": ('[expect.steps]\ncalls = "idel"', "3:1: there is no step of calls 'idel'. Close in spelling: idle."),
    "truth": (
        '[[expect.at]]\nat="1s"\ntruths = { balls.hold = 1 }',
        "4:12: there is no truth 'balls.hold'. Close in spelling: balls.held.",
    ),
    "a number for a word": (
        "[expect]\ntags = { alarm_first_out = 2 }",
        "3:10: alarm_first_out cannot be 2. It reads as words, as in the trace. Write alarm_first_out = 'gate_jam'.",
    ),
    "no such word": (
        '[expect]\ntags = { alarm_first_out = "noball" }',
        "3:10: alarm_first_out cannot be 'noball'. It reads as words, as in the trace."
        " One of: none, no_ball, gate_jam.",
    ),
    "a level for a word": (
        '[[expect.at]]\nat = "1s"\ntags = { alarm_first_out = true }',
        "4:10: alarm_first_out cannot be True. It reads as words, as in the trace. One of: none, no_ball, gate_jam.",
    ),
    "tag": (
        "[expect]\ntags = { wheel_run = true }",
        "3:10: there is no tag 'wheel_run'. Close in spelling: wheel_run_cmd.",
    ),
}


@pytest.mark.parametrize(("text", "message"), MISFITS.values(), ids=MISFITS)
def test_scenario_and_machine(text, message):
    """A name that the machine lacks is refused with its place and the nearest names."""
    scenario = parse_scenario(f'machine = "m"\n{text}', "f.toml")
    with pytest.raises(ScenarioError) as error:
        check_against(scenario, NAMES)
    assert str(error.value) == f"f.toml:{message}"


def test_no_alarm_may_be_expected():
    """As a list without any, as a first-out of none, as the word of the tag."""
    text = 'machine = "m"\n[expect]\nalarms = []\nfirst_out = "none"\ntags = { alarm_first_out = "none" }'
    check_against(parse_scenario(text, "f.toml"), NAMES)


def test_a_scenario_made_in_python_has_no_place():
    """The same message without a place."""
    with pytest.raises(ScenarioError) as error:
        check_against(Scenario("m", retained={"toses": 1}), NAMES)
    assert str(error.value) == "there is no retained tag 'toses'. Close in spelling: tosses."


TRACE = {
    "empty": ("", "f.trace:1: this is not a trace. Its first line is not '# simplant trace, format 1'."),
    "other file": ("hello", "f.trace:1: this is not a trace. Its first line is not '# simplant trace, format 1'."),
    "few digits": (
        "# simplant trace, format 1\n1.5 a 1\n",
        "f.trace:2: this line is not a change: '1.5 a 1'. A change is a time with nine digits, a name and a value.",
    ),
    "cut off": (
        "# simplant trace, format 1\n1.500000000 a",
        "f.trace:2: this line is not a change: '1.500000000 a'. "
        "A change is a time with nine digits, a name and a value.",
    ),
    "no value": (
        "# simplant trace, format 1\n1.500000000 a 1x\n",
        "f.trace:2: '1x' is not a value. It must be a number, a word or a text in quotes.",
    ),
    "going back": (
        "# simplant trace, format 1\n1.500000000 a 1\n1.400000000 a 0\n",
        "f.trace:3: 1.400000000 comes after 1.500000000.",
    ),
}


@pytest.mark.parametrize(("text", "message"), TRACE.values(), ids=TRACE)
def test_trace(text, message):
    """A wrong trace is refused with its line."""
    with pytest.raises(ScenarioError) as error:
        Trace.parse(text, "f.trace")
    assert str(error.value) == message


@pytest.mark.parametrize(
    ("read", "what"), [(read_scenario, "scenario"), (Trace.read, "trace"), (TraceFile, "trace")], ids=str
)
def test_files(tmp_path, read, what):
    """A missing file, a folder and bytes that are not UTF-8 have one message each."""
    folder, missing, latin = tmp_path / "folder", tmp_path / "missing", tmp_path / "latin"
    folder.mkdir()
    latin.write_bytes(b"# simplant trace, format 1\nm\xfcde = 1\n")
    expected = {
        folder: f"{folder}: this is a folder, not a {what}. Name a {what} file in it.",
        missing: f"{missing}: there is no such {what}. Check the path.",
        latin: f"{latin}:2: this {what} is not UTF-8. Byte 29 is 0xFC. Save it as UTF-8 in your editor.",
    }
    for path, message in expected.items():
        with pytest.raises(ScenarioError) as error:
            list(read(path))
        assert str(error.value) == message


def test_files_that_cannot_be_written(tmp_path):
    """Writing into a missing folder or over a folder is refused, and nothing is left behind."""
    nowhere = tmp_path / "nowhere" / "run.trace"
    for path, message in {
        tmp_path: f"{tmp_path} cannot be written. It is a folder. Name a file in it.",
        nowhere: f"{nowhere} cannot be written. There is no folder {nowhere.parent}. Make the folder first.",
    }.items():
        with pytest.raises(UsageError) as error:
            write_text(path, "text")
        assert str(error.value) == message
    assert list(tmp_path.iterdir()) == []
