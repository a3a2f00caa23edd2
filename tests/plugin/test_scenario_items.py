"""Scenario files as tests: which files are taken, what passes, and every word of a failure."""

import pytest

from tests.plugin.tiny import lay_out

pytest_plugins = "pytester"

TOO_LONG = """\
machine = "tiny"
length = "3s"
stimulus = [{ at = "500ms", on = "start", do = "press", for = "1500ms" }]
"""

BROKEN = """\
rule 'lamp not overheated' broken at 1.600 s
t=1.600 s: rule broken: lamp not overheated: lamp_cmd on for at most 1.000 s
  lamp_cmd  TRUE  since 600 ms
  what happened around 1.600 s (> then, * in the rule, ! event)
     0.000 s  start_pressed  FALSE
   * 0.000 s  lamp_cmd       FALSE
     0.000 s  start.pressed  FALSE
     0.000 s  start.contact  FALSE
     0.000 s  lamp.lit       FALSE
      500 ms  start.pressed  TRUE
      500 ms  start.contact  TRUE
      500 ms  start_pressed  TRUE
   *  600 ms  lamp_cmd       TRUE
      600 ms  lamp.lit       TRUE
  ------- end of the rule --------
     2.000 s  start.pressed  FALSE
     2.000 s  start.contact  FALSE
     2.000 s  start_pressed  FALSE
   * 2.000 s  lamp_cmd       FALSE
again: simplant replay scenarios/tiny/hot.toml"""


def failure(result, title):
    """Give what stands under a failure's title."""
    lines = result.outlines
    start = next(n for n, line in enumerate(lines) if line.strip("_ ") == title) + 1
    end = next(n for n in range(start, len(lines)) if lines[n][:1] in "=_-" and lines[n][:3] in ("===", "___", "---"))
    return "\n".join(line for line in lines[start:end] if "! " not in line or "main: " not in line)


def test_a_scenario_that_goes_as_expected_passes(pytester):
    """One test for each file, named like it."""
    lay_out(pytester)
    result = pytester.runpytest("-v")
    result.assert_outcomes(passed=1)
    result.stdout.fnmatch_lines(["scenarios/tiny/calm.toml::calm PASSED*"])


def test_a_broken_rule_is_told_with_its_timeline(pytester):
    """The finding, since when, what happened around it, and how to see it again; no Python."""
    lay_out(pytester, scenarios__tiny__hot_DOT_toml=TOO_LONG)
    result = pytester.runpytest()
    result.assert_outcomes(passed=1, failed=1)
    assert failure(result, "scenario hot") == BROKEN


def test_a_run_is_held_against_its_stored_trace(pytester):
    """A stored trace beside the scenario must be the run's own; the first difference is shown with its neighbours."""
    lay_out(pytester)
    pytester.path.joinpath("test_store.py").write_text(
        "from simplant.scenario.read import read_scenario\n"
        "def test_store(rig):\n"
        "    r = rig('programs/tiny', read_scenario('scenarios/tiny/calm.toml'))\n"
        "    r.run().trace.write('scenarios/tiny/calm.trace')\n"
    )
    pytester.runpytest("test_store.py").assert_outcomes(passed=1)
    pytester.runpytest("scenarios").assert_outcomes(passed=1)
    stored = pytester.path / "scenarios/tiny/calm.trace"
    stored.write_text(stored.read_text().replace("0.600000000 lamp_cmd 1", "0.620000000 lamp_cmd 1"))
    stored.write_text(stored.read_text().replace("0.600000000 lamp.lit 1", "0.620000000 lamp.lit 1"))
    result = pytester.runpytest("scenarios")
    result.assert_outcomes(failed=1)
    assert failure(result, "scenario calm").splitlines() == [
        "Trace: differs from change 11 on, 0.600 s",
        "    0.500000000 start.pressed 1",
        "    0.500000000 start.contact 1",
        "    0.500000000 start_pressed 1",
        "  - 0.620000000 lamp_cmd 1",
        "  - 0.620000000 lamp.lit 1",
        "  - 0.800000000 start.pressed 0",
        "  - 0.800000000 start.contact 0",
        "  + 0.600000000 lamp_cmd 1",
        "  + 0.600000000 lamp.lit 1",
        "  + 0.800000000 start.pressed 0",
        "  + 0.800000000 start.contact 0",
        "First difference of each name",
        " name       at s  stored  now",
        " lamp.lit  0.600  0       1",
        " lamp_cmd  0.600  0       1",
        "again: simplant replay scenarios/tiny/calm.toml",
    ]


def test_a_scenario_that_is_written_wrongly_fails_with_its_place(pytester):
    """The error names file, line and mend, and nothing of simplant's inside."""
    lay_out(pytester, scenarios__tiny__calm_DOT_toml='machine = "tiny"\nlenght = "2s"\n')
    result = pytester.runpytest()
    result.assert_outcomes(failed=1)
    told = failure(result, "scenario calm")
    assert told == "scenarios/tiny/calm.toml:2:1: unknown key 'lenght'. Close in spelling: length."


@pytest.mark.parametrize(
    ("name", "text", "taken"),
    [
        ("pyproject.toml", "[project]\nname = 'x'\n", 0),
        ("programs/tiny/machine.toml", "", 0),
        ("more/finds.toml", "# found by chance\nmachine = 'tiny'\n", 1),
        ("more/other.toml", "machine = 'lathe'\n", 0),
        ("more/table.toml", "[x]\nmachine = 'tiny'\n", 0),
        ("more/broken.toml", "machine = \n]]", 0),
        ("scenarios/tiny/broken.toml", "machine = \n]]", 1),
        ("more/latin.toml", "# \xe9\nname = 'x'\n", 0),
    ],
)
def test_only_scenarios_are_taken(pytester, name, text, taken):
    """All TOML below `scenarios` is; elsewhere, what names a machine that is there; nothing else is even parsed."""
    lay_out(pytester)
    pytester.path.joinpath("scenarios/tiny/calm.toml").unlink()
    if text:
        path = pytester.path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode("latin-1"))
    result = pytester.runpytest("--collect-only", "-q")
    assert sum(line.count(".toml::") for line in result.outlines) == taken


def test_a_project_without_machines_keeps_its_toml(pytester):
    """A folder `scenarios` of somebody else's is left alone."""
    folder = pytester.path / "scenarios"
    folder.mkdir()
    (folder / "load.toml").write_text("machine = 'tiny'\n")
    assert pytester.runpytest().ret == pytest.ExitCode.NO_TESTS_COLLECTED
