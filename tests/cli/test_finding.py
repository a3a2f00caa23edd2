"""What a user names on the command line: machines and scenarios by bare name, points to draw; what is not there."""

import shutil
from pathlib import Path

import pytest

from simplant.cli import main

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def copied(tmp_path, monkeypatch):
    skip = shutil.ignore_patterns("__pycache__")
    for folder in ("programs/sump_pumps", "scenarios/sump_pumps"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=skip)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "300")
    return tmp_path


def called(capsys, *arguments):
    code = main(arguments)
    told = capsys.readouterr()
    return code, told.out, told.err


COMMANDS = [
    ["dryrun", "{}", "--for", "10s"],
    ["check", "{}"],
    ["faults", "{}"],
    ["fuzz", "{}", "--cases", "1", "--for", "1s"],
    ["compare", "{}", "programs/sump_pumps", "--random", "0", "--scenarios", "scenarios/sump_pumps/storm.toml"],
]


@pytest.mark.parametrize("command", COMMANDS, ids=[command[0] for command in COMMANDS])
def test_a_bare_name_is_a_machine_under_programs(command, capsys):
    """Its folder and its bare name say the same."""
    by_folder, by_name = (
        called(capsys, *(word.format(name) for word in command)) for name in ("programs/sump_pumps", "sump_pumps")
    )
    assert by_name == by_folder
    assert by_name[0] in (0, 1)


def test_scenarios_of_a_bare_name(capsys):
    """`replay NAME` is `replay scenarios/NAME`."""
    assert called(capsys, "replay", "sump_pumps") == called(capsys, "replay", "scenarios/sump_pumps")


WRONG = {
    ("dryrun", "sump_pump"): "there is no machine 'sump_pump' here or under programs. Close in spelling: sump_pumps.",
    ("diagram", "sump_pump"): "there is no machine 'sump_pump' here or under programs. Close in spelling: sump_pumps.",
    ("compare", "sump_pump", "sump_pumps"): "there is no machine 'sump_pump' here or under programs. "
    "Close in spelling: sump_pumps.",
    ("compare", "old.st", "new.st"): "old.st cannot be read. No such file or directory. Check the path.",
    ("replay", "sump_pump"): "there is no file or folder sump_pump. Name scenario files or folders of them.",
    ("dryrun", "sump_pumps", "--show", "duty_float.wett"): "there is no point 'duty_float.wett' to show. "
    "Close in spelling: duty_float.wet, duty_float_wet, stop_float.wet.",
    ("dryrun", "sump_pumps", "--show", "horn, sump.level"): "sump.level cannot be drawn: it is a number that may move "
    "all the time. The chart draws what the trace holds. Close in spelling: sump.overflowing, sump.empty.",
}


@pytest.mark.parametrize("arguments", WRONG)
def test_what_is_not_there_is_answered_with_the_nearest(arguments, capsys):
    """Exit code 2, and nothing is run or written."""
    assert called(capsys, *arguments) == (2, "", f"simplant: {WRONG[arguments]}\n")
    assert not Path("runs").exists()


def test_points_to_draw(capsys):
    """Only those asked for have a line, also one that does not change."""
    code, out, _ = called(capsys, "dryrun", "sump_pumps", "--for", "10s", "--show", "sump.overflowing,horn")
    chart = out.partition("Timing\n")[2].partition("\nAlarms")[0]
    assert code in (0, 1)
    assert [line.split()[0] for line in chart.splitlines()[1:3]] == ["sump.overflowing", "horn"]


def test_no_progress_is_told_where_nobody_watches_it_grow(capsys):
    """A console that is no terminal gets the result from its first line on: no bar, no empty line."""
    firsts = [called(capsys, *c)[1].partition("\n")[0] for c in (["dryrun", "sump_pumps"], ["replay", "sump_pumps"])]
    assert firsts[0].startswith("sump_pumps: ")
    assert firsts[1].startswith("as expected")


@pytest.mark.parametrize("arguments", [
    ("fuzz", "sump_pumps", "--cases", "0"), ("fuzz", "sump_pumps", "--finds", "-1"),
    ("mutate", "sump_pumps", "--sample", "0"), ("fmea", "sump_pumps", "--processes", "0"),
])  # fmt: skip
def test_a_campaign_of_nothing_is_no_pass(arguments, capsys):
    """What would run nothing, and so find nothing, is wrong usage."""
    with pytest.raises(SystemExit) as ended:
        main(list(arguments))
    assert ended.value.code == 2
    assert f"argument {arguments[2]}: {arguments[3]!r} is no whole number from 1 on" in capsys.readouterr().err


def test_a_comparison_of_nothing_is_no_pass(capsys):
    """Files that run alone have no scenarios; without random inputs nothing would be held against anything."""
    Path("a.st").write_text("PROGRAM a\nVAR_OUTPUT q : BOOL; END_VAR\nq := TRUE;\nEND_PROGRAM\n", encoding="utf-8")
    told = "simplant: nothing is compared. There is no scenario, and --random is 0. Leave --random out.\n"
    assert called(capsys, "compare", "a.st", "a.st", "--random", "0") == (2, "", told)


def test_where_there_is_no_machine_at_all(copied, monkeypatch, capsys):
    """Most likely the user stands in another folder, or has none yet."""
    monkeypatch.chdir(copied / "scenarios")
    told = "there is no machine 'x' here or under programs. "
    told += "Go to the folder that holds programs, or write one: simplant new."
    assert called(capsys, "dryrun", "x") == (2, "", f"simplant: {told}\n")
