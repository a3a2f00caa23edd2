"""Campaigns: the same answers from one process and many, and none lost or doubled whoever is killed."""

import os
import sqlite3
import subprocess
import sys

import pytest

from simplant import Machine
from simplant.campaign import Campaign, Store, Told
from simplant.campaign.store import key_of
from simplant.chance import draw
from simplant.errors import UsageError
from tests.campaign.dying import Number, Square, square

SUMP = "programs/sump_pumps"
KILLS = 20 if os.environ.get("HYPOTHESIS_PROFILE") == "soak" else 5


@pytest.fixture(scope="module")
def sump():
    return Machine.load(SUMP)


def rows(path):
    """Give all that is kept."""
    return sqlite3.connect(path).execute("SELECT key, asked, answer FROM result ORDER BY key").fetchall()


def test_answers_come_in_order_and_only_once(sump, tmp_path):
    """Equal cases are asked once; what is kept is found again, and then nothing is asked."""
    told = []
    cases = [Number(3), Number(1), Number(3)]
    with Store(tmp_path / "r.sqlite") as store:
        campaign = Campaign(sump, square, Square, store, 1, told.append)
        expected = [Square(n**2, (("sump_pumps", n),)) for n in (3, 1, 3)]
        assert campaign.run(cases) == expected
        assert [(t.done, t.cases, t.earlier) for t in told] == [(0, 2, 0), (1, 2, 0), (2, 2, 0)]
        told.clear()
        assert campaign.run(cases) == expected
        assert told == [Told(2, 2, 2, 0)]
    assert [asked for _, asked, _ in rows(tmp_path / "r.sqlite")] == sorted(
        ["number 1", "number 3"], key=lambda asked: key_of(sump.digest, "square", asked[-1])
    )


def test_what_an_answer_depends_on():
    """Parts of a key cannot run into each other."""
    assert len({key_of("ab", "c"), key_of("a", "bc"), key_of("abc"), key_of("abc", "")}) == 4
    assert key_of("ab", "c") == key_of("ab", "c")


@pytest.mark.slow
def test_a_worker_that_dies_is_replaced(sump, tmp_path):
    """Its case is asked again, the death is told, and nothing is lost or doubled."""
    told = []
    cases = [Number(n, str(tmp_path / "died") if n == 11 else "") for n in range(20)]
    with Store(tmp_path / "r.sqlite") as store:
        answers = Campaign(sump, square, Square, store, 2, told.append).run(cases)
    assert [answer.square for answer in answers] == [n**2 for n in range(20)]
    assert (told[-1].deaths, told[-1].done, len(rows(tmp_path / "r.sqlite"))) == (1, 20, 20)


@pytest.mark.slow
def test_a_case_that_always_kills_is_named(sump, tmp_path):
    """After three deaths without an answer the campaign ends with the case; the answers before it are kept."""
    cases = [Number(0), Number(1), Number(2, "always")]
    with Store(tmp_path / "r.sqlite") as store, pytest.raises(UsageError) as caught:
        Campaign(sump, square, Square, store, 2).run(cases)
    assert caught.value.what == "a worker process died 3 times without an answer, at or near: number 2"
    assert {asked for _, asked, _ in rows(tmp_path / "r.sqlite")} <= {"number 0", "number 1"}


def test_a_full_disk_is_told_and_survived(sump, tmp_path):
    """What is there stays; with room again the same campaign goes on from there."""
    path = tmp_path / "r.sqlite"
    cases = [Number(n) for n in range(400)]
    with Store(path) as store:
        store._base.execute("PRAGMA max_page_count = 6")
        with pytest.raises(UsageError) as caught:
            Campaign(sump, square, Square, store, 1).run(cases)
    kept = len(rows(path))
    assert (caught.value.why, 0 < kept < 400) == ("database or disk is full", True)
    told = []
    with Store(path) as store:
        answers = Campaign(sump, square, Square, store, 1, told.append).run(cases)
    assert ([a.square for a in answers], told[0].earlier, len(rows(path))) == ([n**2 for n in range(400)], kept, 400)


def test_a_file_that_is_no_store(tmp_path):
    path = tmp_path / "text.sqlite"
    path.write_text("this is no database, whatever its name says, and long enough to be looked at" * 20)
    with pytest.raises(UsageError) as caught:
        Store(path)
    assert caught.value.what == f"the results cannot be kept in {path}"


COMMAND = (sys.executable, "-m", "simplant", "fmea", SUMP, "duty_float", "pump_1", "--scenario", "pump_down", "--json")


@pytest.mark.slow
@pytest.mark.parametrize("processes", ["1", "2"])
def test_killed_at_random_instants(tmp_path, processes):
    """Killed again and again at any instant, its table is in the end that of a campaign left alone."""
    whole, broken = tmp_path / "whole.sqlite", tmp_path / "broken.sqlite"
    alone = subprocess.run(
        [*COMMAND, "--results", str(whole), "--processes", processes], capture_output=True, check=False
    )
    again = [*COMMAND, "--results", str(broken), "--processes", processes]
    for k in range(KILLS):
        running = subprocess.Popen(again, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            running.wait(0.3 + 1.5 * draw(7, f"kill with {processes}", k))
        except subprocess.TimeoutExpired:
            running.kill()
            running.wait()
    last = subprocess.run(again, capture_output=True, check=False)
    assert (last.returncode, last.stdout) == (alone.returncode, alone.stdout)
    assert rows(broken) == rows(whole)
    assert len(rows(whole)) > 10
