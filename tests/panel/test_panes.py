"""Every pane as text, at one moment of a session; and what is done on its lines."""

import shutil
from pathlib import Path

import pytest

from simplant import Machine, ms, seconds
from simplant.cli import main
from simplant.panel.arrange import NAMES, arrange
from simplant.panel.session import Session
from simplant.panel.source_text import SourceText, text_of
from simplant.panel.view import View
from tests.panel.fountain import lay_out

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def machine(tmp_path_factory):
    return Machine.load(lay_out(tmp_path_factory.mktemp("fountain")))


@pytest.fixture
def view(machine):
    """A session in which the fountain plays, its float's wire is cut, and the selector is forced."""
    view = View(Session(machine))
    session = view.session
    session.advance(seconds(1))
    session.do("start", "press", lasts=ms(200))
    session.advance(ms(1500))
    session.force("evening", True)
    session.fault(entry(machine, "basin_full.open_wire"), on=True)
    session.advance(ms(2500))
    view.follow()
    return view


def entry(machine, name):
    return next(e for e in machine.catalogue if str(e) == name)


def shown(view, name, width=60):
    pane = view.panes[NAMES.index(name)]
    return [line.text.rstrip().replace("\N{NO-BREAK SPACE}", " ") for line in pane.lines(width)]


def test_desk(view):
    """Lamps with their colour in words, buttons, selector, displays, set points, what else people do."""
    assert shown(view, "desk", 36) == [
        "□ lamp green  ■ alarm_lamp yellow",
        "",
        "○ start          (white)",
        "○ stop           (black)",
        "◊ season        ◄ day ►",
        "  plays                           1",
        "  level m                    0.7903",
        "= wanted                          4",
        "· supply24: dip",
        "· supply24: off",
        "· supply24: on",
        "· basin: inflow",
    ]


def test_plan(view):
    """Levels on their scale, with the mark of the float; what is on."""
    assert shown(view, "plan") == [
        "basin.level     0.7903 m        0├━━━━━━━━━━━━╂━━━●────┤1",
        "supply24.volts      24 V        0├━━━━━━━━━━━━━━━━━━━━●┤24",
        "supply24 healthy; float wet;",
    ]


def test_alarms(view):
    """First-out and new, until acknowledged; gone when the program has reset it."""
    new = ["1st     1.710 NEW  dry", "    too little water", "    → fill the basin"]
    assert shown(view, "alarms") == new
    assert view.alarms.use("dry") == "dry acknowledged"
    assert shown(view, "alarms")[0] == "1st     1.710 seen dry"
    session = view.session
    session.fault(entry(session.machine, "basin_full.open_wire"), on=False)
    session.advance(seconds(3))
    session.do("start", "press", lasts=ms(200))
    session.advance(seconds(4))
    view.follow()
    assert shown(view, "alarms") == ["1st     1.710 gone dry"]


def test_points(view):
    """What the program sees, what the wire says if that differs, what is forced."""
    assert shown(view, "points") == [
        " value  wire   point",
        "inputs",
        "    □ 0      start_pressed            %IX0.0 start button",
        "    ■ 1      stop_released            %IX0.1 stop button is…",
        "    □ 0      basin_full               %IX0.2 water is above…",
        " F  ■ 1  w=0 evening                  %IX0.3 selector: even…",
        "outputs",
        "    □ 0      pump_cmd                 %QX0.0 pump contactor",
        "    □ 0      lamp_run                 %QX0.1 green: it plays",
        "    ■ 1      lamp_dry                 %QX0.2 yellow: too li…",
        "memory",
        "           4 wanted",
        "           1 plays",
        "    ■ 1      dry",
        "         dry alarm_first_out",
    ]


def test_steps(view):
    """The active step with its ways out; rungs with power flow by line weight."""
    assert shown(view, "steps") == [
        "cycle: rest  for 789 ms",
        "  press start",
        "  ──► play when start_edge.Q AND stop_released AND NOT",
        "        alarm_first_out <> 0",
        "rungs",
        "┣━━┤/basin_full├━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━[TON low]",
        "┣━━┤ cycle.play ├──────────────────────────────( ) pump_cmd",
        "┣━┳━┤ pump_cmd ├───────────────────┬───────────( ) lamp_run",
        "│ ┗━┤ start_pressed ├──┤ evening ├─┘",
        "┣━━┤ alarm_first_out <> 0 ├━━━━━━━━━━━━━━━━━━━━( ) lamp_dry",
    ]
    assert shown(view, "steps", 24)[-5:] == [
        "    start_pressed AND",
        "    evening ──",
        "    ( ) lamp_run",
        "┣━ alarm_first_out <> 0",
        "    ━━( ) lamp_dry",
    ]
    calm = View(Session(view.session.machine))
    calm.session.advance(seconds(1))
    assert shown(calm, "steps")[-1] == "┣━━┤ alarm_first_out <> 0 ├────────────────────( ) lamp_dry"


def test_rules(view):
    """What became of each rule so far, and how far it was from breaking."""
    assert shown(view, "rules") == [
        "2 rules, 0 broken",
        "held   never dry                                      0.59 m",
        "held   longest play                      9.300 s of 10.000 s",
    ]


def test_faults(view):
    """Those that are on stand on top; what is sought narrows the catalogue down; using a line switches."""
    pane = view.panes[NAMES.index("faults")]
    pane.sought = "basin_full.short"
    assert shown(view, "faults") == [
        "■ basin_full.open_wire",
        "1 on, 79 in the catalogue",
        "□ basin_full.short_to_supply  the conductor touches +",
        "□ basin_full.short_to_0v  the conductor touches 0 V",
    ]
    assert pane.use("basin_full.open_wire").startswith("basin_full.open_wire: off")
    assert shown(view, "faults")[0] == "0 on, 79 in the catalogue"


def test_log_shows_a_glitch_of_one_scan(view):
    """A level that was there for one scan is marked at both edges, however far the session ran on in one go."""
    session = view.session
    session.do("stop", "press", lasts=ms(9))
    session.advance(seconds(60))
    view.follow()
    rows = [row for row in shown(view, "log") if "stop_released" in row]
    assert rows[-2:] == [
        "   2.500 000    200 stop_released = 0 ◄ pulse of 9 ms",
        "   2.509 000    200 stop_released = 1 ◄ pulse of 9 ms",
    ]


def test_state_line(view):
    """One line says machine, time, pace, what the controller does, its steps, and what is unusual."""
    assert view.state(100) == "fountain │ 2.500 s │ 1 x │ running │ cycle: rest │ 1 new alarm │ 1 fault │ 1 forced"
    assert view.free() == "1 points let go, 1 faults ended"
    assert view.power(cold=False) == "power of main is cut"
    assert view.acknowledge() == "1 acknowledged"
    view.session.advance(seconds(3))
    view.follow()
    assert view.state(100) == "fountain │ 3.000 s │ 1 x │ no power │ cycle: rest"


def test_desk_acts(machine):
    """A short press, a held button, a selector, a set point, an action with a number: each an act of the scenario."""
    session = Session(machine)
    desk = View(session).panes[0]
    session.advance(seconds(1))
    told = [desk.use("start"), desk.turn("season", 1), desk.turn("season", 1), desk.hold("stop", down=True)]
    session.advance(ms(1500))
    told += [desk.hold("stop", down=False), desk.asks("= wanted")]
    told += [desk.answer("= wanted", "3"), desk.answer("= wanted", "x")]
    told += [desk.asks("basin inflow"), desk.answer("basin inflow", "0.01"), desk.use("supply24 off")]
    session.advance(seconds(2))
    assert told == [
        "start pressed for 200 ms", "season turned to evening", "season turned to evening", True,
        True, "wanted (INT)", "wanted set to 3", "'x' cannot be taken: it is no INT",
        "basin inflow: so much seeps in from now on, m3/s", "basin: inflow 0.01", "supply24: off",
    ]  # fmt: skip
    scenario, _ = session.recorded()
    assert [(s.at, s.on, s.do, s.value, s.duration) for s in scenario.stimuli if s.on != "season"] == [
        (seconds(1), "start", "press", None, ms(200)),
        (seconds(1), "stop", "press", None, ms(500)),
        (ms(1500), "basin", "inflow", 0.01, 2**63 - 1),
        (ms(1500), "supply24", "off", None, 2**63 - 1),
    ]
    assert [(w.at, w.tag, w.value) for w in scenario.writes] == [(ms(1500), "wanted", 3)]
    refused = [desk.answer("basin inflow", text) for text in ("", "-1", "inf", "much")]
    why = "tank 'basin': inflow {} is not a flow. It must be a number of m3/s, >= 0."
    assert refused == [
        f"'' cannot be taken: {why.format(None)}", f"'-1' cannot be taken: {why.format(-1.0)}",
        f"'inf' cannot be taken: {why.format(None)}", "'much' cannot be taken: it is no number",
    ]  # fmt: skip
    session.advance(seconds(3))
    assert session.broken is None
    assert len(session.recorded()[0].stimuli) == len(scenario.stimuli)


def test_points_acts(view):
    """Enter forces to the other value and lets go, the cursor keys to 0 or 1, Backspace lets go."""
    points = view.panes[NAMES.index("points")]
    told = [points.use("basin_full"), points.use("basin_full"), points.turn("pump_cmd", 1), points.clear("pump_cmd")]
    assert told == ["basin_full forced to True", "basin_full let go", "pump_cmd forced to True", "pump_cmd let go"]
    assert [points.asks("plays"), points.answer("plays", "7"), points.clear("plays")] == [
        "write plays (INT) to", "plays written: 7; the program may overwrite it", "",
    ]  # fmt: skip


def test_scan_and_step(machine):
    """One scan is one period; a step goes on to just after the scan in which a chart moved."""
    session = Session(machine)
    session.advance(seconds(1))
    session.scan()
    assert session.at == ms(1010)
    session.do("start", "press", lasts=ms(200))
    assert session.step()
    assert (session.at, session.rig.value("cycle")) == (ms(1030), "play")
    assert session.step()
    assert (session.at, session.rig.value("cycle")) == (ms(5030), "rest")
    assert not session.step()
    assert session.at == seconds(65) + ms(30)


@pytest.mark.parametrize("width", [80, 100, 115, 116, 130, 167, 168, 200])
@pytest.mark.parametrize("height", [21, 35, 36, 57])
@pytest.mark.parametrize("chosen", NAMES)
def test_panes_cover_the_screen_and_never_each_other(width, height, chosen):
    """The desk and the chosen pane are seen, nothing stands outside, no cell belongs to two panes."""
    places = arrange(width, height, chosen)
    assert {"desk", chosen} <= set(places)
    cells = [(x, y) for p in places.values() for x in range(p.x, p.x + p.width) for y in range(p.y, p.y + p.height)]
    assert len(cells) == len(set(cells))
    gaps = len({p.x for p in places.values()})
    assert len(cells) == (width - gaps) * height
    assert all(p.width >= 36 and p.height >= 8 for p in places.values())


def test_text_of_a_program_in_structured_text():
    """Names that are TRUE are heavy, numbers stand behind the line, and follow as the run goes on."""
    session = Session(Machine.load(ROOT / "programs" / "sump_pumps"))
    text = SourceText(session.rig, ("IF duty_float_wet AND high_float_dry THEN", "  x := alarm_first_out;"))
    assert text_of(Machine.load(ROOT / "programs" / "comet_toss")) == ()
    stamp = ROOT / "programs" / "stamp_station"
    assert text_of(Machine.load(stamp)) == tuple((stamp / "logic.st").read_text("utf-8").splitlines())
    before = [line.spans for line in text.lines()]
    session.advance(seconds(6))
    assert [span for span in before[0] if span[1] == "flow"] == []
    assert [span for span in text.lines()[0].spans if span[1] == "flow"] == [("high_float_dry", "flow")]
    assert text.lines()[1].text == "   2   x := alarm_first_out;  ◄ alarm_first_out = none"


def test_text_of_a_program_in_whatever_letters(tmp_path):
    """What is saved in UTF-16 or in code page 1252 is shown as it is read."""
    shutil.copytree(ROOT / "programs" / "stamp_station", tmp_path / "stamp_station")
    file = tmp_path / "stamp_station" / "logic.st"
    text = file.read_text("utf-8") + "(* würzig *)\n"
    for letters in ("utf-16", "cp1252"):
        file.write_bytes("".join(c for c in text if ord(c) < 256).encode(letters))
        assert text_of(Machine.load(file.parent))[-1] == "(* würzig *)"


def test_a_device_with_a_designation_only_is_told_with_its_point(tmp_path, monkeypatch):
    """S1 says nothing to whoever stands at the panel; the point that it is wired to does."""
    monkeypatch.chdir(tmp_path)
    rows = "start,in,%IX0.0,S1.contact,NO\nstop,in,%IX0.1,S2.contact,NC\ndip_cmd,out,%QX0.0,K1.coil,\n"
    (tmp_path / "dip.csv").write_text("tag,direction,address,device,contact\n" + rows, encoding="utf-8")
    assert main(["new", "dip", "--io", "dip.csv"]) == 0
    view = View(Session(Machine.load("programs/dip")))
    assert [row for row in shown(view, "desk", 36) if "S" in row] == ["○ S1 start", "○ S2 stop"]
