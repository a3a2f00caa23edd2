"""`simplant compare`: what it prints and what it exits with, on two versions of a machine and of a block."""

import json
from pathlib import Path

import pytest

from simplant.cli.main import main
from simplant.expr import Ref
from simplant.rig.random_inputs import disturbed_rows, random_rows
from simplant.rig.table import Column, Row
from simplant.rig.table_file import read_bench
from simplant.rig.versions import Change, Parting, of_bench, parting, reduced
from simplant.timebase import Ns, ms
from simplant.values import BOOL, INT

DELAY = """FUNCTION_BLOCK Delay
VAR_INPUT go, quick : BOOL; END_VAR
VAR_OUTPUT late : BOOL; END_VAR
VAR t : TON; END_VAR
t(IN := go, PT := T#30ms);
late := t.Q;
END_FUNCTION_BLOCK
"""
QUICKER = DELAY.replace("late := t.Q;", "late := t.Q OR go AND quick;")


@pytest.fixture
def compare(tmp_path, capsys):
    def run(old, new, *options):
        (tmp_path / "old.st").write_text(old, encoding="utf-8")
        (tmp_path / "new.st").write_text(new, encoding="utf-8")
        code = main(["compare", str(tmp_path / "old.st"), str(tmp_path / "new.st"), *options])
        out = capsys.readouterr()
        return code, out.out, out.err.replace(f"{tmp_path}/", "")

    return run


def test_two_blocks_that_differ(compare):
    """The difference is told with the fewest inputs that show it: two inputs, one row."""
    code, out, _ = compare(DELAY, QUICKER)
    assert code == 1
    assert "time,go,quick\n0ms,TRUE,TRUE\n" in out
    assert out.splitlines()[-1] == (
        "the versions differ: 0 scenario(s), 50 random table(s) of inputs, 1 name(s) compared"
    )


@pytest.mark.slow
def test_the_same_twice(compare):
    """What is written another way and does the same does not differ."""
    same = DELAY.replace("late := t.Q;", "IF t.Q THEN late := TRUE; ELSE late := FALSE; END_IF;")
    code, out, _ = compare(DELAY, same, "--random", "20")
    assert (code, out) == (0, "no difference: 0 scenario(s), 20 random table(s) of inputs, 1 name(s) compared\n")


@pytest.mark.slow
def test_an_allowed_difference(compare):
    """While the condition holds of the new version, they may differ; another condition allows nothing."""
    assert compare(DELAY, QUICKER, "--random", "20", "--allow", "quick")[0] == 0
    assert compare(DELAY, QUICKER, "--random", "20", "--allow", "not quick")[0] == 1


def test_a_scan_that_fails(compare):
    """A version that stops with a run-time error differs from one that does not."""
    worse = DELAY.replace("late := t.Q;", "late := t.Q AND 10 / (1 - BOOL_TO_INT(quick)) > 0;")
    code, out, _ = compare(DELAY, worse, "--json")
    (found,) = json.loads(out)["differences"]
    assert (code, found["values"]) == (1, {"the scan": {"old": None, "new": "fails: 10 is divided by 0"}})
    assert found["table"] == "time,go,quick\n0ms,TRUE,TRUE\n"


def test_names_of_one_version_only(compare):
    """What only one version has is named, and not compared; with nothing in common it is refused."""
    more = DELAY.replace("late : BOOL;", "late : BOOL; count : INT;")
    code, out, _ = compare(DELAY, more, "--random", "5")
    assert (code, out.splitlines()[0]) == (0, "only in the new version: count")
    code, _, told = compare(DELAY, DELAY.replace("late", "later"), "--random", "5")
    assert (code, told.splitlines()[0][-32:]) == (2, "Compare with --all.") or "no output in common" in told


def test_one_line_changed_on_a_machine(tmp_path, capsys):
    """A preset changed in one line of a machine's program is found on the scenario that comes so far."""
    old = Path("programs/sump_pumps/logic.st")
    new = tmp_path / "logic.st"
    new.write_text(old.read_text(encoding="utf-8").replace("T#500ms", "T#800ms", 1), encoding="utf-8")
    arguments = ["compare", str(old), str(new), "--scenarios", "scenarios/sump_pumps/welded.toml", "--random", "0"]
    assert main([*arguments, "--json"]) == 1
    (found,) = json.loads(capsys.readouterr().out)["differences"]
    assert (found["where"], found["at_ns"]) == ("scenario scenarios/sump_pumps/welded.toml", 148_007_000_000)
    assert found["values"] == {"fault_lamp": {"old": 1, "new": 0}, "all_well": {"old": 0, "new": 1}}
    assert found["inputs"][-1] == {"at_ns": 146_411_667_000, "name": "stop_float_wet", "value": 0}
    assert main([*arguments, "--allow", "not pump_1_dropped"]) == 0


@pytest.mark.slow
def test_two_ways_of_writing_one_machine(capsys):
    """The pumps in ladder and in Structured Text: the same on every scenario, and on inputs that no plant gives."""
    arguments = ["compare", "programs/sump_pumps/logic.ladder", "programs/sump_pumps/logic.st", "--random", "10"]
    assert main(arguments) == 0
    count = len(list(Path("scenarios/sump_pumps").glob("*.toml")))
    assert capsys.readouterr().out.startswith(f"no difference: {count} scenario(s), 10 random table(s)")


def test_random_inputs_are_a_function_of_seed_and_number():
    """The same arguments give the same rows, in order of time, on the grid of the scan; another number gives others."""
    columns = [Column("a", BOOL), Column("n", INT), Column("m", INT, {"off": 0, "on": 1})]
    one, again, other = (random_rows(columns, 7, number, ms(10)) for number in (3, 3, 4))
    assert one == again
    assert one != other
    assert [r.time for r in one] == sorted(r.time for r in one)
    assert all(r.time % ms(10) == 0 for r in one)
    assert {r.values["m"] for r in one if "m" in r.values} <= {0, 1}


def test_a_disturbed_course_comes_back():
    """What is disturbed for a while has the value of the course again afterwards."""
    course = [Row(Ns(0), {"a": True}), Row(ms(500), {"a": False})]
    for number in range(20):
        rows = disturbed_rows(course, [Column("a", BOOL)], 1, number, ms(10), Ns(10**12))
        assert rows[0].values == {"a": True} or rows[0].time == 0
        assert [r.values["a"] for r in rows][-1] is False


def test_where_two_runs_part():
    """The first instant at which a compared name differs, with the last inputs; what is allowed is passed over."""
    old = [(Ns(0), {"i": False, "q": 0}), (Ns(5), {"i": True, "q": 1}), (Ns(9), {"i": True, "q": 2})]
    new = [(Ns(0), {"i": False, "q": 0}), (Ns(5), {"i": True, "q": 1}), (Ns(8), {"i": True, "q": 3})]
    inputs = (Change(Ns(0), "i", False), Change(Ns(5), "i", True))
    assert parting(old, new, ["q"], ["i"]) == Parting(Ns(8), {"q": (1, 3)}, inputs)
    assert parting(old, new, ["q"], ["i"], [Ref("i", BOOL)]) is None


def test_inputs_are_taken_away_as_long_as_the_difference_stays(tmp_path):
    """What is left is needed, each value of it."""
    (tmp_path / "d.st").write_text(QUICKER, encoding="utf-8")
    bench, _ = read_bench(tmp_path / "d.st")
    rows = [Row(ms(n * 10), {"go": n % 2 == 1, "quick": n > 6}) for n in range(12)]

    def late(some):
        return any(values["late"] for _, values in of_bench(bench, some, ms(10), ms(110)))

    assert reduced(rows, late) == (Row(ms(110), {"go": True, "quick": True}),)
