"""The fixtures `machine` and `rig`: short tests of a machine, and a broken rule as a failure of the test."""

from tests.plugin.tiny import lay_out

pytest_plugins = "pytester"

TESTS = """\
import pytest
from simplant import Machine, RuleBroken, ms, seconds
from simplant.rules import never

FIRST = []

def test_kept(rig):
    r = rig("programs/tiny")
    r.press("start", at=ms(500), for_=ms(300))
    r.run(seconds(2))
    assert (r.value("lamp_cmd"), r.verdict("lamp not overheated").margin_text) == (False, "800 ms of 1.000 s")

def test_machines_are_read_once(machine, rig):
    FIRST.append(machine("programs/tiny"))
    assert rig("programs/tiny").machine is FIRST[0]

def test_once_per_session(machine):
    assert machine("programs/../programs/tiny") is FIRST[0]

def test_expected(rig):
    r = rig("programs/tiny")
    r.press("start", at=ms(500))
    r.run(seconds(2))
    with pytest.raises(RuleBroken, match="lamp not overheated"):
        r.check()

def test_without_rules(rig):
    r = rig("programs/tiny", rules=False)
    r.press("start", at=ms(500))
    r.run(seconds(2))

def test_checks_in_between(rig):
    r = rig("programs/tiny")
    r.press("start", at=ms(500), for_=ms(900))
    for _ in range(20):
        r.run(ms(100)).check()
    assert r.verdict("lamp not overheated").margin_text == "200 ms of 1.000 s"

def test_never_run(rig):
    rig("programs/tiny")

def test_scans(rig):
    r = rig("programs/tiny")
    r.run(seconds(2))
    print("slept", r.main.counts(r.now)[1] > 0)
"""

BROKEN = """\
from simplant import ms, seconds
from simplant.rules import never

def test_broken(rig):
    r = rig("programs/tiny")
    r.demand(never(r.machine.program.tags.lamp_cmd, name="dark"))
    r.press("start", at=ms(500))
    r.run(seconds(1))

def test_asserted(rig):
    r = rig("programs/tiny")
    r.press("start", at=ms(500))
    r.run(ms(505))
    assert r.value("lamp_cmd")
"""

TOLD = """\
rule 'dark' broken at 600 ms.
simplant
t=600 ms: rule broken: dark: never lamp_cmd
  lamp_cmd  TRUE  since 600 ms
  what happened around 600 ms (> then, * in the rule, ! event)
     0.000 s  start_pressed  FALSE
   * 0.000 s  lamp_cmd       FALSE
     0.000 s  start.pressed  FALSE
     0.000 s  start.contact  FALSE
     0.000 s  lamp.lit       FALSE
      500 ms  start.pressed  TRUE
      500 ms  start.contact  TRUE
      500 ms  start_pressed  TRUE
  >*  600 ms  lamp_cmd       TRUE
  >   600 ms  lamp.lit       TRUE"""


def lines_between(result, first, last):
    lines = result.outlines
    start = next(n for n, line in enumerate(lines) if first in line) + 1
    end = next(n for n in range(start, len(lines)) if last in lines[n])
    return [line for line in lines[start:end] if " ! 0.000 s  main: " not in line]


def test_tests_of_a_machine_in_a_few_lines(pytester):
    """Rules are held at the end of each test, unless the test did so itself; machines are read once."""
    lay_out(pytester, test_tiny_DOT_py=TESTS)
    result = pytester.runpytest("-s", "test_tiny.py")
    result.assert_outcomes(passed=8)
    assert "slept True" in result.stdout.str()


def test_every_scan_may_be_run(pytester):
    """The option keeps scenarios and rigs awake, and nothing else is seen of it."""
    lay_out(pytester, test_tiny_DOT_py=TESTS)
    result = pytester.runpytest("-s", "--simplant-every-scan")
    result.assert_outcomes(passed=9)
    assert "slept False" in result.stdout.str()


def test_a_broken_rule_fails_the_test(pytester):
    """It is a failure of the call, not an error of the teardown, and told with its timeline."""
    lay_out(pytester, test_tiny_DOT_py=BROKEN)
    result = pytester.runpytest("test_tiny.py")
    result.assert_outcomes(failed=2)
    told = lines_between(result, "_ test_broken _", "_ test_asserted _")
    assert [line.strip("- ") if "simplant -" in line else line for line in told] == TOLD.splitlines()


ILL_BEGUN = """\
from simplant.expr import Truth
from simplant.rules import never
from simplant.values import BOOL

def test_ill_begun(rig):
    r = rig("programs/tiny")
    r.demand(never(Truth("nobody.home", BOOL)))
    r.run()
"""


def test_an_error_before_the_first_instant_stands_alone(pytester):
    """A rule that names nothing is told once, and no rig that never ran adds to it."""
    lay_out(pytester, test_tiny_DOT_py=ILL_BEGUN)
    result = pytester.runpytest("test_tiny.py")
    result.assert_outcomes(failed=1)
    result.stdout.no_fnmatch_line("*During handling of the above exception*")
    result.stdout.no_fnmatch_line("*Captured simplant call*")


def test_a_failed_test_tells_where_its_rig_was(pytester):
    """Beside pytest's own lines stand the instant, the alarms and what changed last."""
    lay_out(pytester, test_tiny_DOT_py=BROKEN)
    result = pytester.runpytest("--disable-warnings", "test_tiny.py::test_asserted")  # an editable install may give one
    result.assert_outcomes(failed=1)
    assert lines_between(result, "Captured simplant call", "short test summary") == [
        "tiny at 505 ms: alarms: none",
        "  what happened around 505 ms (> then, * in the rule, ! event)",
        "     0.000 s  start_pressed  FALSE",
        "     0.000 s  lamp_cmd       FALSE",
        "     0.000 s  start.pressed  FALSE",
        "     0.000 s  start.contact  FALSE",
        "     0.000 s  lamp.lit       FALSE",
        "      500 ms  start.pressed  TRUE",
        "      500 ms  start.contact  TRUE",
        "      500 ms  start_pressed  TRUE",
    ]
