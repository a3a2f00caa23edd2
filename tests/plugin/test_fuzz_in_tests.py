"""`simplant.testing.fuzz`: a machine of one's own fuzzed in three lines of pytest.

Rule: run on a small project of its own; what is found is read back from the file that was written.
"""

import pytest

from simplant.scenario.read import read_scenario
from tests.plugin.tiny import lay_out

pytest_plugins = "pytester"

TESTS = """\
from simplant import ms, seconds
from simplant.testing import fuzz

RUNS = []

@fuzz("programs/tiny", cases=60, length=seconds(4), nominal=True)
def test_any_story(run):
    "Whatever happens, no rule breaks."

@fuzz("programs/tiny", cases=60, length=ms(900), nominal=True)
def test_what_else_must_be(run):
    assert run.verdicts[0].times_exercised == 0, "the lamp was lit"

@fuzz("programs/tiny", cases=3, length=seconds(1))
def test_that_holds(run):
    RUNS.append(run)

def test_each_run_was_given():
    assert [run.ended for run in RUNS] == [seconds(1)] * 3
"""

pytestmark = pytest.mark.slow


def test_a_find_fails_the_test_as_the_smallest_story(pytester):
    """A broken rule, and an assertion of the test's own: each is told with the command that replays it."""
    lay_out(pytester, tests__test_fuzz_DOT_py=TESTS)
    result = pytester.runpytest("tests", "-p", "no:cacheprovider")
    result.assert_outcomes(passed=2, failed=2)
    told = result.stdout.str()
    assert "lamp not overheated" in told
    assert "the lamp was lit" in told
    for name, least in (("lamp_not_overheated", 1), ("assertionerror", 0)):
        path = f"runs/tiny-{name}.toml"
        assert f"again: simplant replay {path}" in told
        scenario = read_scenario(pytester.path / path)
        assert (len(scenario.stimuli), scenario.all_faults, scenario.parameters) == (1, (), {})
        assert (scenario.stimuli[0].on, scenario.stimuli[0].do) == ("start", "press")
        assert scenario.stimuli[0].duration >= least * 1_000_000_000


def test_the_same_stories_come_every_time(pytester):
    """Two runs write the same file: draws are fixed, and no database is kept."""
    lay_out(pytester, tests__test_fuzz_DOT_py=TESTS)
    written = []
    for _ in range(2):
        pytester.runpytest("tests", "-p", "no:cacheprovider", "-k", "any_story")
        written.append((pytester.path / "runs/tiny-lamp_not_overheated.toml").read_bytes())
    assert written[0] == written[1]
    assert not (pytester.path / ".hypothesis/examples").exists()
