"""Tables beside a program as tests: which files are taken, what passes, and every word of a failure."""

import pytest

from tests.plugin.test_scenario_items import failure

pytest_plugins = "pytester"

DELAY = """FUNCTION_BLOCK Delay
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT late : BOOL; END_VAR
VAR t : TON; END_VAR
t(IN := go, PT := T#30ms);
late := t.Q;
END_FUNCTION_BLOCK
"""
TWICE = """FUNCTION twice : INT
VAR_INPUT n : INT; END_VAR
twice := 2 * n;
END_FUNCTION
"""
GIVEN = "time,go\n0ms,0\n15ms,1\n"
WANTED = "time,late\n0ms,FALSE\n50ms,TRUE\n"


@pytest.fixture
def lay(pytester):
    def write(**files):
        for name, text in files.items():
            path = pytester.path / name.replace("__", "/").replace("_DOT_", ".")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return pytester.runpytest("-v")

    return write


def test_a_program_that_does_what_its_table_says_passes(lay):
    """One test for the program beside the table; a table without a program beside it is nobody's."""
    result = lay(plc__delay_DOT_st=DELAY, plc__delay_DOT_in_DOT_csv=GIVEN, plc__delay_DOT_expected_DOT_csv=WANTED,
                 plc__other_DOT_expected_DOT_csv=WANTED)  # fmt: skip
    result.assert_outcomes(passed=1)
    result.stdout.fnmatch_lines(["plc/delay.expected.csv::delay.st PASSED*"])


def test_a_unit_and_a_case_by_the_name_of_the_file(lay):
    """`library.twice.expected.csv` runs the function twice; a further word names a case; without inputs they are 0."""
    result = lay(
        library_DOT_st=DELAY + TWICE,
        library_DOT_twice_DOT_in_DOT_csv="time,n\n0ms,4\n",
        library_DOT_twice_DOT_expected_DOT_csv="time,twice\n0ms,8\n",
        library_DOT_Delay_DOT_quiet_DOT_expected_DOT_csv="time,late\n0ms,0\n1s,0\n",
        library_DOT_twice_DOT_zero_DOT_expected_DOT_csv="time,twice\n0ms,0\n",
    )
    result.assert_outcomes(passed=3)


def test_the_first_difference_is_told(lay):
    """When, what, expected what, and the command that shows it again; no Python."""
    result = lay(delay_DOT_st=DELAY, delay_DOT_in_DOT_csv=GIVEN,
                 delay_DOT_expected_DOT_csv=WANTED.replace("50ms", "40ms"))  # fmt: skip
    result.assert_outcomes(failed=1)
    assert failure(result, "table delay.expected.csv of delay.st") == (
        "first difference at 40ms: late is FALSE, expected TRUE\n"
        "again: simplant table delay.st --in delay.in.csv --expect delay.expected.csv"
    )


def test_what_is_wrong_with_a_file_is_told(lay):
    """A program that cannot be read, a column that is not there, a table that expects nothing."""
    result = lay(
        a_DOT_st="PROGRAM a VAR x : INT; END_VAR y := 1; END_PROGRAM", a_DOT_expected_DOT_csv=WANTED,
        b_DOT_st=DELAY, b_DOT_expected_DOT_csv="time,later\n0ms,0\n",
        c_DOT_st=DELAY, c_DOT_expected_DOT_csv="time,late\n",
    )  # fmt: skip
    result.assert_outcomes(failed=3)
    result.stdout.fnmatch_lines(["a.st:1:32: 'y' is not declared.*"])
    result.stdout.fnmatch_lines(["b.expected.csv:1:2: there is no variable 'later'. Close in spelling: late."])
    result.stdout.fnmatch_lines(["c.expected.csv expects nothing.*"])


def test_a_machine_in_python(lay):
    """A machine's logic.py is run on a table too, with the I/O list beside it."""
    from tests.plugin.tiny import FILES

    files = {name: FILES[f"programs/tiny/{name}"] for name in ("io.csv", "logic.py")}
    named = {f"programs__tiny__{name.replace('.', '_DOT_')}": text for name, text in files.items()}
    result = lay(
        **named,
        programs__tiny__logic_DOT_in_DOT_csv="time,start_pressed\n0ms,1\n",
        programs__tiny__logic_DOT_expected_DOT_csv="time,lamp_cmd\n0ms,0\n100ms,1\n",
    )
    result.assert_outcomes(passed=1)
