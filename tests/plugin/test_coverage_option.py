"""`pytest --simplant-coverage`: what scenarios and rigs of a session show of the programs.

The table and the JSON are tests/cli/test_coverage.py. Rule: one session is one sheet.
"""

import json

from tests.plugin.tiny import lay_out

pytest_plugins = "pytester"


def test_scenarios_and_rigs_are_counted_together(pytester):
    """The scenario holds the button long enough; the summary stands at the end, the whole in the file."""
    lay_out(pytester)
    pytester.makepyfile(test_rig="def test_one(rig):\n    rig('programs/tiny').run_until(10**9)\n")
    result = pytester.runpytest("--simplant-coverage=seen.json")
    result.assert_outcomes(passed=2)
    result.stdout.fnmatch_lines(["coverage of tiny*", "*seen*of*%", "rungs *2 *2 *100", "conditions *2 *2 *100"])
    (sheet,) = json.loads((pytester.path / "seen.json").read_text(encoding="utf-8"))
    assert sheet["program"] == "tiny"
    assert sheet["counts"]["conditions"] == {"seen": 2, "all": 2}


def test_a_test_file_is_not_taken_for_the_file_to_write(pytester):
    """The word behind the option is the file to write; anything but .json is refused."""
    lay_out(pytester)
    result = pytester.runpytest("--simplant-coverage", "scenarios/tiny/calm.toml")
    assert result.ret == 4
    assert (pytester.path / "scenarios/tiny/calm.toml").read_text(encoding="utf-8").startswith('machine = "tiny"')


def test_without_the_option_nothing_is_said(pytester):
    """Sessions of others are left alone."""
    lay_out(pytester)
    result = pytester.runpytest()
    result.assert_outcomes(passed=1)
    result.stdout.no_fnmatch_line("coverage of*")
