"""Programs in the languages of the standard on the panel: a ladder with its power, a chart with its active steps."""

import pytest

from simplant import Machine, ms
from simplant.cli.main import main
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


NETWORK = """\
<project xmlns="http://www.plcopen.org/xml/tc6_0201"><types><pous><pou name="holds" pouType="program"><interface>
<localVars>
<variable name="start_pressed" address="%IX0.0"><type><BOOL/></type><documentation><p>green</p></documentation>
</variable>
<variable name="lamp_cmd" address="%QX0.0"><type><BOOL/></type></variable></localVars></interface><body><FBD>
<inVariable localId="1" negated="true"><position x="0" y="0"/><expression>start_pressed</expression></inVariable>
<outVariable localId="2"><position x="9" y="0"/><connectionPointIn><connection refLocalId="1"/></connectionPointIn>
<expression>lamp_cmd</expression></outVariable></FBD></body></pou></pous></types></project>
"""


def in_xml(folder, text, name):
    """Begin a session with a machine whose program was turned into XML."""
    (folder / name).write_text(text, encoding="utf-8")
    assert main(["convert", str(folder / name), "--to", "xml", "--out", str(folder / "logic.xml")]) == 0
    return begun(folder, {**FILES, "machine.toml": FILES["machine.toml"].replace("logic.ladder", "logic.xml")})


def test_a_ladder_in_xml_is_drawn(tmp_path):
    """Rungs that came as XML are shown as those that came as text."""
    view = in_xml(tmp_path, FILES["logic.ladder"], "first.ladder")
    assert rung(view) == REST


def test_a_chart_in_xml_is_shown_as_text(tmp_path):
    """A chart that came as XML is shown as the standard writes charts."""
    view = in_xml(tmp_path, CHART, "first.st")
    shown = [line.text.rstrip() for line in view.panes[4].lines(60)]
    assert shown[1:3] == ["text", "   1 PROGRAM holds"]
    assert [row[5:] for row in shown if "STEP" in row and "END" not in row] == ["INITIAL_STEP dark:", "STEP lit:"]


def test_a_network_in_xml_is_shown_as_statements(tmp_path):
    """A network of blocks has no text of its own: the statements that do the same are shown, with its remarks."""
    table = FILES["machine.toml"].replace("logic.ladder", "logic.xml")
    view = begun(tmp_path, {**FILES, "machine.toml": table, "logic.xml": NETWORK})
    assert [line.text.rstrip() for line in view.panes[4].lines(80)] == [
        "text", "   1 PROGRAM holds", "   2 VAR", "   3   start_pressed AT %IX0.0 : BOOL; (* green *)",
        "   4   lamp_cmd      AT %QX0.0 : BOOL;", "   5 END_VAR", "   6", "   7 lamp_cmd := NOT start_pressed;",
        "   8 END_PROGRAM",
    ]  # fmt: skip
