"""Cause-and-effect matrices: what each mark demands, what a whole table says of a machine, and what is wrong in one."""

import json

import pytest

from simplant.campaign.failures import Onset, Way
from simplant.campaign.matrix import Drill, Seen, every_cell, judge, matrix_of
from simplant.campaign.matrix_file import Cause, Cell, Effect, Mark, Matrix
from simplant.cli import main
from simplant.errors import Place, RuleError, SimplantError
from simplant.expr import Const
from simplant.rig.machine import Machine
from simplant.rules import Outcome
from simplant.scenario.model import Scenario
from simplant.timebase import Ns, ms, seconds
from simplant.values import BOOL
from tests.plugin.tiny import FILES

TRUE = Const(value=True, type=BOOL)
HEAD = "cause,when,by,for,given,while,lamp: lamp_cmd,dark: NOT lamp_cmd\n"
PRESSED = "pressed,start.pressed,start press,300ms,,,trip after 90ms within 50ms,\n"


def line(*changes):
    return ((0, False), *((int(ms(at)), there) for at, there in changes))


def looked(cell, effect, *, plain=(), others=(), cause=((100, True), (600, False)), only=True):
    """Judge one cell: a cause at 100 ms for 500 ms, looked at until 1.6 s; `others` are marked for the same effect."""
    mine = Cause("c", TRUE, "p", "press", None, None, ms(500), "", None, (cell,), Place("m.csv", 2))
    marked = [
        Cause(f"o{n}", TRUE, "p", "press", None, None, ms(500), "", None, (Cell(Mark.TRIP),), Place("m.csv", 3 + n))
        for n in range(len(others))
    ]
    matrix = Matrix((mine, *marked), (Effect("e", TRUE),))
    way = Way("way", Scenario("m"), (), "")
    drills = [Drill(way, mine, None, Onset("step", ms(100)), plain) for plain in (False, True)]
    held = (((0, only),),) * len(matrix.causes)
    causes = (line(*cause), *(line(*o) for o in others))
    seen = [Seen(causes, (line(*effect),), held), Seen(causes, (line(*plain),), held)]
    first = judge(matrix, drills, seen)[0]
    return first.outcome, first.longest and first.longest // 1_000_000, first.wrong[0][1] if first.wrong else ""


HELD, BROKEN, IDLE = Outcome.HELD, Outcome.BROKEN, Outcome.NOT_EXERCISED
TRIP, LATCH, RESET, NONE = (Cell(mark) for mark in (Mark.TRIP, Mark.LATCH, Mark.RESET, Mark.NONE))
DELAY = Cell(Mark.TRIP, within=ms(50), after=ms(200))


@pytest.mark.parametrize(("cell", "given", "said"), [
    (TRIP, {"effect": [(120, True), (650, False)]}, (HELD, 20, "")),
    (TRIP, {"effect": [(200, True)]}, (HELD, 100, "")),
    (TRIP, {"effect": [(201, True)]}, (BROKEN, None, "not there within 100 ms")),
    (TRIP, {"effect": []}, (BROKEN, None, "not there within 100 ms")),
    (TRIP, {"effect": [(120, True), (500, False)]}, (BROKEN, 20, "gone again 400 ms after the cause")),
    (TRIP, {"effect": [(50, True)]}, (IDLE, None, "")),
    (TRIP, {"effect": [(50, True), (300, False)]}, (BROKEN, None, "gone again 200 ms after the cause")),
    (TRIP, {"effect": [], "cause": []}, (IDLE, None, "")),
    (TRIP, {"effect": [], "only": False}, (IDLE, None, "")),
    (TRIP, {"effect": [], "cause": [(100, True), (150, False)]}, (IDLE, None, "")),
    (LATCH, {"effect": [(120, True)]}, (HELD, 20, "")),
    (LATCH, {"effect": [(120, True), (650, False)]}, (BROKEN, 20, "gone again 550 ms after the cause")),
    (DELAY, {"effect": [(300, True)]}, (HELD, 200, "")),
    (DELAY, {"effect": [(299, True)]}, (BROKEN, 199, "there after 199 ms, too early")),
    (DELAY, {"effect": [(351, True)]}, (BROKEN, None, "not there within 250 ms")),
    (RESET, {"effect": [(50, True), (150, False)]}, (HELD, 50, "")),
    (RESET, {"effect": [(50, True), (250, False)]}, (BROKEN, 150, "not gone within 100 ms")),
    (RESET, {"effect": []}, (IDLE, None, "")),
    (NONE, {"effect": []}, (HELD, None, "")),
    (NONE, {"effect": [(150, True)]}, (BROKEN, None, "there 50 ms after the cause, and not marked")),
    (NONE, {"effect": [(150, True)], "plain": [(140, True)]}, (HELD, None, "")),
    (NONE, {"effect": [(150, True)], "others": [[(120, True), (130, False)]]}, (HELD, None, "")),
    (NONE, {"effect": [(150, True)], "others": [[(160, True)]]},
     (BROKEN, None, "there 50 ms after the cause, and not marked")),
])  # fmt: skip
def test_what_a_mark_demands(cell, given, said):
    """In time, not too early, as long as the cause or for good, gone by a reset; unmarked: only what comes anyway."""
    assert looked(cell, **given) == said


@pytest.fixture
def tiny(tmp_path):
    """A button that lights a lamp after 100 ms."""
    for name, text in FILES.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def made(rows):
        (tmp_path / "programs/tiny/matrix.csv").write_text(HEAD + rows, encoding="utf-8")
        return tmp_path / "programs/tiny"

    return made


def test_a_whole_matrix(tiny):
    """The lamp follows the button after 100 ms, as marked; and nothing goes dark by it."""
    machine = tiny(PRESSED)
    tested = every_cell(Machine.load(machine))
    assert [(t.effect, t.outcome, t.longest) for t in tested] == [
        ("lamp", HELD, Ns(ms(100) + tested[0].longest % ms(10))),
        ("dark", IDLE, None),
    ]
    file = machine / "matrix.csv"
    file.write_text((HEAD + PRESSED).replace(",", ";"), encoding="utf-8")  # as a spreadsheet saves it, here or there
    assert every_cell(Machine.load(machine)) == tested


@pytest.mark.parametrize(("rows", "code", "outcomes"), [
    (PRESSED, 0, ["held", "not exercised"]),
    ("pressed,start.pressed,start press,300ms,,,,\n", 1, ["broken", "not exercised"]),
    ("pressed,start.pressed,start press,300ms,,,trip within 50ms,\n", 1, ["broken", "not exercised"]),
    ("pressed,start.pressed,start press,300ms,,,latch within 200ms,\n", 1, ["broken", "not exercised"]),
    (PRESSED + "again,start.pressed,start press,300ms,pressed,,trip within 200ms,\n", 0,
     ["held", "not exercised", "held", "not exercised"]),
])  # fmt: skip
def test_the_command(tiny, capsys, monkeypatch, tmp_path, rows, code, outcomes):
    """Exit code 1 if a cell is broken: an effect that is not marked, one that is late, one that does not stay."""
    monkeypatch.chdir(tmp_path)
    assert main(["matrix", str(tiny(rows)), "--processes", "1", "--json"]) == code
    assert [each["outcome"] for each in json.loads(capsys.readouterr().out)] == outcomes
    assert main(["matrix", str(tiny(rows)), "--processes", "1"]) == code
    assert ("BROKEN" in capsys.readouterr().out) == (code == 1)


@pytest.mark.parametrize(("text", "told"), [
    ("", "m.csv:1: the matrix is empty. Begin it with cause,when,by,for,given,while."),
    ("cause,when\n", "m.csv:1: the matrix does not begin as it should. Its first columns are cause, when, by, for, "
     "given, while, then one an effect."),
    (HEAD + '"a" x,\n', "m.csv:2: the matrix is not a CSV file. ',' expected after '\"'."),
    (HEAD.replace("dark:", "lamp:"), "m.csv:1: the effect 'lamp' is there twice. Keep one."),
    (HEAD + ",start.pressed,start press\n", "m.csv:2: a cause has no name."),
    (HEAD + PRESSED + PRESSED, "m.csv:3: the cause 'pressed' is there twice."),
    (HEAD + PRESSED + "a,start.pressed,start press,,presed\n", "m.csv:3: there is no cause 'presed' above. What is "
     "given comes first. Close in spelling: pressed."),
    (HEAD + "a,start.presed,start press\n", "m.csv:2: 'start.presed': 'start.presed' is not known. Close in spelling: "
     "start.pressed, start_pressed."),
    (HEAD + "a,42,start press\n", "m.csv:2: '42' is not true or false."),
    (HEAD + "a,start.pressed,start pres\n", "m.csv:2: nobody can 'pres' start. Close in spelling: press."),
    (HEAD + "a,start.pressed,strat press\n", "m.csv:2: 'strat press' brings nothing about. It is neither an act nor a "
     "fault. Close in spelling: start."),
    (HEAD + "a,start.pressed,start.hald\n", "m.csv:2: there is no fault 'start.hald'. Close in spelling: start.held, "
     "start.detached."),
    (HEAD + "a,start.pressed,start press x\n", "m.csv:2: 'x' is no number."),
    (HEAD + "a,start.pressed,start press,,,,tripp\n", "m.csv:2: there is no mark 'tripp'. A cell is empty or one of "
     "trip, latch, reset. Close in spelling: trip."),
    (HEAD + "a,start.pressed,start press,,,,trip in 5s\n", "m.csv:2: 'trip in 5s' cannot be read. After the mark stand "
     "within TIME and after TIME. Write for instance: trip within 50ms."),
    (HEAD + "a,start.pressed,start press,,,,,,,x\n", "m.csv:2: the row is longer than the header. A cell with a comma "
     "stands in quotes."),
])  # fmt: skip
def test_what_is_wrong_in_a_matrix(tiny, text, told):
    """Each mistake has its line, its reason, and the nearest name."""
    folder = tiny("")
    (folder / "matrix.csv").write_text(text, encoding="utf-8")
    with pytest.raises(RuleError) as error:
        matrix_of(Machine.load(folder))
    assert "m.csv" + str(error.value).partition("matrix.csv")[2] == told


def test_a_machine_without_one(tiny):
    """It is told how to write one."""
    folder = tiny("")
    (folder / "matrix.csv").unlink()
    with pytest.raises(SimplantError, match="tiny has no cause-and-effect matrix"):
        matrix_of(Machine.load(folder))


def test_the_drill_ends_in_time():
    """A drill is as long as its cause and a second more; what the way does later is left out of it."""
    cause = Cause("c", TRUE, "start", "press", None, None, ms(300), "", None, (), Place("m.csv", 2))
    story = Drill(Way("w", Scenario("m", length=seconds(60)), (), ""), cause, None, Onset("s", seconds(5))).scenario
    assert story.length == ms(6300)
    assert [(s.at, s.on, s.do, s.duration) for s in story.stimuli] == [(seconds(5), "start", "press", ms(300))]
