"""A machine's matrix as tests: one a cell, told without lines of Python; one that no drill tries is skipped."""

import pytest

from tests.plugin.tiny import lay_out

pytest_plugins = "pytester"
HEAD = "cause,when,by,for,given,while,lamp: lamp_cmd,dark: NOT lamp_cmd\n"


@pytest.mark.parametrize(("mark", "outcomes"), [("trip within 150ms", {"passed": 1}), ("", {"failed": 1})])
def test_cells_as_tests(pytester, mark, outcomes):
    """A marked effect that comes in time passes; an unmarked one that comes fails, with drill and command."""
    rows = f"{HEAD}long,start.pressed,start press,300ms,,,{mark},\n"
    lay_out(pytester, programs__tiny__matrix_DOT_csv=rows)
    result = pytester.runpytest_inprocess("programs")
    result.assert_outcomes(**outcomes, skipped=1)
    if not mark:
        told = ["long -> lamp (not marked)", "  calm: long in *", "again: simplant matrix *programs/tiny"]
        result.stdout.fnmatch_lines(told)
    result.stdout.no_fnmatch_line("*Traceback*")


def test_a_wrong_table_is_told(pytester):
    """A table that cannot be read is an error with its line."""
    lay_out(pytester, programs__tiny__matrix_DOT_csv=HEAD + "a,strat.pressed,start press\n")
    result = pytester.runpytest_inprocess("programs")
    result.assert_outcomes(errors=1)
    result.stdout.fnmatch_lines(["*matrix.csv:2: *strat.pressed*"])
