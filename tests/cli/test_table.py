"""`simplant table` and `simplant check FILE.st`: what they print, what they exit with."""

import pytest

from simplant.cli.main import main

BLOCK = """FUNCTION_BLOCK Delay
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT late : BOOL; count : INT; END_VAR
VAR t : TON; r : R_TRIG; END_VAR
t(IN := go, PT := T#30ms);
late := t.Q;
r(CLK := late);
IF r.Q THEN count := count + 1; END_IF;
END_FUNCTION_BLOCK
"""
INPUTS = "time,go\n0ms,0\n15ms,1\n80ms,FALSE\n"
TASKS = """PROGRAM fast
VAR_EXTERNAL lamp : BOOL; END_VAR
lamp := NOT lamp;
END_PROGRAM
PROGRAM slow
VAR_EXTERNAL lamp : BOOL; seen : INT; END_VAR
IF lamp THEN seen := seen + 1; END_IF;
END_PROGRAM
CONFIGURATION plant
VAR_GLOBAL lamp : BOOL; seen : INT; END_VAR
RESOURCE cpu ON any
TASK often(INTERVAL := T#10ms, PRIORITY := 1);
TASK seldom(INTERVAL := T#20ms, PRIORITY := 2);
PROGRAM a WITH often : fast;
PROGRAM b WITH seldom : slow;
END_RESOURCE
END_CONFIGURATION
"""


@pytest.fixture
def table(tmp_path, capsys):
    def run(text, *options, inputs=None, expect=None):
        (tmp_path / "unit.st").write_text(text, encoding="utf-8")
        arguments = ["table", str(tmp_path / "unit.st"), *options]
        for name, content in (("in", inputs), ("expect", expect)):
            if content is not None:
                (tmp_path / f"{name}.csv").write_text(content, encoding="utf-8")
                arguments += [f"--{name}", str(tmp_path / f"{name}.csv")]
        code = main(arguments)
        out = capsys.readouterr()
        return code, out.out, out.err.replace(f"{tmp_path}/", "")

    return run


def test_a_block_alone(table):
    """A row for each change; inputs are seen by the first scan at or after their time."""
    code, out, _ = table(BLOCK, inputs=INPUTS)
    assert (code, out) == (0, "time,late,count\n0ms,FALSE,0\n50ms,TRUE,1\n80ms,FALSE,1\n")


def test_the_table_is_written_whole_or_not_at_all(table, tmp_path):
    """The outputs go to a file as they are printed, with line feeds on every system; no folder, no file."""
    out = tmp_path / "out.csv"
    code, printed, _ = table(BLOCK, "--out", str(out), inputs=INPUTS)
    assert (code, printed, out.read_bytes()) == (0, "", b"time,late,count\n0ms,FALSE,0\n50ms,TRUE,1\n80ms,FALSE,1\n")
    code, printed, error = table(BLOCK, "--out", str(tmp_path / "nowhere" / "out.csv"), inputs=INPUTS)
    assert (code, printed) == (2, "")
    assert error == "simplant: nowhere/out.csv cannot be written. There is no folder nowhere. Make the folder first.\n"


def test_what_is_shown(table):
    """Any variable, those of instances too; ET is that of the instant; every scan on request."""
    code, out, _ = table(BLOCK, "--show", "T.ET,t.q", "--every-scan", "--for", "30ms", inputs=INPUTS)
    shown = "time,t.ET,t.Q\n0ms,T#0s,FALSE\n10ms,T#0s,FALSE\n20ms,T#0s,FALSE\n30ms,T#10ms,FALSE\n"
    assert (code, out) == (0, shown)


def test_long_dates_are_written_so(table):
    """LDATE, LTOD and LDT as their literals are, and read back as they are written."""
    text = (
        "PROGRAM p\nVAR_INPUT i : LDT; END_VAR\nVAR_OUTPUT a : LDATE; b : LTOD; c : LDT; d : DT; END_VAR\n"
        "a := LD#2026-01-31; b := LTOD#08:30:00; c := i; d := DT#2026-01-31-08:30:00;\nEND_PROGRAM\n"
    )
    rows = "time,i\n0ms,LDT#2026-01-31-08:30:00\n"
    written = "time,a,b,c,d\n0ms,LD#2026-01-31,LTOD#08:30:00,LDT#2026-01-31-08:30:00,DT#2026-01-31-08:30:00\n"
    assert table(text, inputs=rows)[:2] == (0, written)
    assert table(text, inputs=rows, expect=written)[:2] == (0, "as expected\n")


CONSTANTS = """VAR_GLOBAL CONSTANT most : INT := 9; END_VAR
PROGRAM P
VAR CONSTANT K : INT := 5; steps : ARRAY[1..2] OF INT := [3, 4]; END_VAR
VAR_INPUT n : INT; END_VAR
VAR x : INT; END_VAR
x := K + n;
END_PROGRAM
"""


def test_constants_are_shown(table):
    """By their names, as variables are; alone they are no columns, and no table gives them a value."""
    code, out, _ = table(CONSTANTS, "--for", "0s", "--show", "k,x,most,steps[2]")
    assert (code, out) == (0, "time,K,x,most,steps[2]\n0ms,5,5,9,4\n")
    assert table(CONSTANTS, "--for", "0s")[1] == "time,x\n0ms,5\n"
    assert table(CONSTANTS, inputs="time,n\n0ms,1\n", expect="time,K,x\n0ms,5,6\n")[1] == "as expected\n"
    code, _, told = table(CONSTANTS, inputs="time,K\n0ms,1\n")
    assert (code, "K is a constant. A table gives values to variables. Take the column K out." in told) == (2, True)
    text = CONSTANTS + "CONFIGURATION c PROGRAM q : P; END_CONFIGURATION"
    assert table(text, "--for", "0s", "--show", "q.K,K,most")[1] == "time,q.K,q.K,most\n0ms,5,5,9\n"


def test_a_block_whose_caller_says_how_long_an_array_is(table):
    """It does not run alone, and what to do is said; checked by itself it is right."""
    text = "FUNCTION_BLOCK F\nVAR_IN_OUT b : ARRAY[*] OF INT; END_VAR\nb[1] := 2;\nEND_FUNCTION_BLOCK\n"
    code, out, told = table(text, "--for", "20ms")
    assert (code, out) == (2, "")
    assert (
        "unit.st:1:16: F does not run alone: b is an ARRAY[*]. Each call says how long it is. "
        "Write a PROGRAM that calls F, or give b bounds."
    ) in told


def test_as_expected(table):
    """What is expected holds until the next row; an empty cell is not looked at."""
    assert table(BLOCK, inputs=INPUTS, expect="time,late,count\n0ms,0,\n50ms,1,1\n80ms,0,1\n")[:2] == (
        0,
        "as expected\n",
    )


def test_the_first_difference(table):
    """It is named with its instant, and the exit code is 1."""
    code, out, _ = table(BLOCK, inputs=INPUTS, expect="time,late\n0ms,0\n60ms,1\n")
    assert (code, out) == (1, "first difference at 50ms: late is TRUE, expected FALSE\n")


def test_a_configuration_with_its_tasks(table):
    """Each task has its period, the more urgent one runs first, and they share the globals."""
    shown = "time,lamp,seen\n0ms,TRUE,1\n10ms,FALSE,1\n20ms,TRUE,2\n30ms,FALSE,2\n40ms,TRUE,3\n"
    assert table(TASKS, "--show", "lamp,seen", "--for", "40ms")[:2] == (0, shown)


def test_a_function(table):
    """Its value stands under its name."""
    text = "FUNCTION twice : INT VAR_INPUT x : INT; END_VAR twice := 2 * x; END_FUNCTION"
    assert table(text, inputs="time,x\n0ms,3\n10ms,-4\n")[1] == "time,twice\n0ms,6\n10ms,-8\n"


@pytest.mark.parametrize(
    ("inputs", "told"),
    [
        ("time,goo\n0ms,0\n", "in.csv:1:2: there is no variable 'goo'. Close in spelling: go."),
        ("time,go\n0ms,7\n", "in.csv:2:2: 7 does not fit BOOL."),
        ("time,go\n5,1\n", "in.csv:2:1: '5' is not a duration."),
        ("time,go\n5ms,1\n1ms,0\n", "in.csv:3: 1ms comes before the row above. Sort the rows by time."),
        ("t,go\n5ms,1\n", "in.csv:1: the first column is not `time`."),
        ('time,go\n0ms,1\n"5ms\n",7\n', "in.csv:4:2: 7 does not fit BOOL."),
        (f"time,go\n0ms,{'1' * 200_000}\n", "in.csv:2: the table is not a CSV file. Field larger than field limit"),
    ],
)
def test_what_is_wrong_with_a_table(table, inputs, told):
    """Line and column of what cannot be read; exit code 2."""
    code, _, err = table(BLOCK, inputs=inputs)
    assert (code, told in err) == (2, True), err


def test_what_is_no_table(table, tmp_path):
    """A file that is not there, a folder, letters that are not UTF-8: told as of every other file."""
    (tmp_path / "old.csv").write_bytes(b"time,go\n0ms,\xfc\n")
    for name, told in (("none.csv", "there is no such table."), ("", "this is a folder, not a table."),
                       ("old.csv", "this table is not UTF-8. Byte 13 is 0xFC.")):  # fmt: skip
        code, _, err = table(BLOCK, "--in", str(tmp_path / name))
        assert (code, told in err) == (2, True), err


def test_a_run_time_error(table):
    """The line of the program and the reason."""
    text = "FUNCTION f : INT VAR_INPUT x : INT; END_VAR\nf := 10 / x;\nEND_FUNCTION"
    code, _, err = table(text, inputs="time,x\n0ms,0\n")
    assert (code, "unit.st:2:1: 10 is divided by 0." in err) == (2, True), err


def test_check_of_a_text(tmp_path, capsys):
    """All that is wrong, and exit code 1; what is loose is a warning, and an error if it is to be strict."""
    path = tmp_path / "a.st"
    path.write_text("PROGRAM p VAR b : BOOL := 0; END_VAR b := 2; END_PROGRAM", encoding="utf-8")
    assert main(["check", str(path)]) == 1
    assert capsys.readouterr().out.endswith("1 error, 1 warning\n")
    path.write_text("PROGRAM p VAR b : BOOL := 0; END_VAR END_PROGRAM", encoding="utf-8")
    assert (main(["check", str(path)]), main(["check", str(path), "--strict"])) == (0, 1)


def test_a_configuration_is_checked_as_well(tmp_path, capsys):
    """A program that no task runs is told by `simplant check`, though nothing is run."""
    (tmp_path / "unit.st").write_text(TASKS.replace("WITH seldom", "WITH rarely"), encoding="utf-8")
    assert main(["check", str(tmp_path / "unit.st")]) == 1
    assert "there is no task 'rarely'" in capsys.readouterr().out
