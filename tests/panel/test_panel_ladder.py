"""Programs in the languages of the standard on the panel: a ladder with its power, a chart with its active steps."""

import pytest

from simplant import Machine, ms
from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.timebase import Ns

FILES = {
    "io.csv": """\
tag,type,direction,address,device,safe
start_pressed,BOOL,in,%IX0.0,start.contact,
stop_pressed,BOOL,in,%IX0.1,stop.contact,
lamp_cmd,BOOL,out,%QX0.0,lamp.on,0
""",
    "machine.toml": """\
[machine]
title = "A lamp that holds itself"
logic = "logic.ladder"

[parts]
start = { part = "push_button" }
stop = { part = "push_button" }
lamp = { part = "lamp" }
""",
    "logic.ladder": """\
PROGRAM holds
VAR
  start_pressed AT %IX0.0 : BOOL;
  stop_pressed AT %IX0.1 : BOOL;
  lamp_cmd AT %QX0.0 : BOOL;
END_VAR

(* Start, and hold. *)
|  start_pressed      stop_pressed                          lamp_cmd          |
+--| |------------+---|/|----------------------------------( )----------------+
|  lamp_cmd       |                                                           |
+--| |------------+                                                           |
END_PROGRAM
""",
}


CHART = """\
PROGRAM holds
VAR
  start_pressed AT %IX0.0 : BOOL;
  stop_pressed AT %IX0.1 : BOOL;
  lamp_cmd AT %QX0.0 : BOOL;
END_VAR
INITIAL_STEP dark: END_STEP
STEP lit: lamp_cmd(N); END_STEP
TRANSITION FROM dark TO lit := start_pressed; END_TRANSITION
TRANSITION FROM lit TO dark := stop_pressed; END_TRANSITION
END_PROGRAM
"""


def begun(folder, files):
    """Write a machine, and begin a session with it."""
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return View(Session(Machine.load(folder)))


@pytest.fixture
def view(tmp_path):
    return begun(tmp_path, FILES)


def rung(view):
    """Give the two rows of the one rung that carry power, as the steps show it."""
    lines = [line.text for line in view.panes[4].lines(100)]
    return lines[-3].replace(" ", ""), lines[-1].rstrip()


GAP = 59 * " " + "|"
REST = ("╋━━||------------+--┃/┃------------------------------------()---------------+", "╋━━| |------------+" + GAP)
START = ("╋━━┃┃━━━━━━━━━━━━╋━━┃/┃━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━()━━━━━━━━━━━━━━━╋", "╋━━┃ ┃━━━━━━━━━━━━╋" + GAP)
HELD = ("╋━━||------------╋━━┃/┃━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━()━━━━━━━━━━━━━━━╋", "╋━━┃ ┃━━━━━━━━━━━━╋" + GAP)
STOP = ("╋━━||------------+--|/|------------------------------------()---------------+", "╋━━| |------------+" + GAP)


def test_power_is_heavy(view):
    """At rest power stands before open contacts; pressed it reaches the lamp; let go it comes by the holding branch."""
    session, seen = view.session, []
    for press in (None, "start", None, "stop", None):
        if press is not None:
            session.do(press, "press", lasts=ms(100))
        session.advance(Ns(session.at + ms(50)))
        seen.append(rung(view))
        session.advance(Ns(session.at + ms(200)))
    assert seen == [REST, START, HELD, STOP, REST]


def test_active_steps_of_a_chart(tmp_path):
    """A chart in text shows the step that is active, for how long, and its own text; one can go on to the next step."""
    table = FILES["machine.toml"].replace("logic.ladder", "logic.st")
    view = begun(tmp_path, {**FILES, "machine.toml": table, "logic.st": CHART})
    session = view.session
    session.advance(ms(100))
    session.do("start", "press", lasts=ms(50))
    assert session.step()
    shown = [line.text for line in view.panes[4].lines(60)]
    assert shown[0].startswith("■ ")
    assert "lit  for " in shown[0]
    assert shown[1:3] == ["text", "   1 PROGRAM holds"]
    assert not session.step()
    assert view.state(80).endswith("lit")
