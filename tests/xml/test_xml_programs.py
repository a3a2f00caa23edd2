"""Programs in XML, read and run: traces derived by hand from what is drawn.

Rule: the files beside this one are our own, written by hand after the schemes as they are remembered.
"""

import pytest

from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.tree import Chart
from tests.xml.drawn import RAIL, coil, contact, declared, in_frame, project, rows, text_of

F, T = False, True
ON, OFF = {"a": T}, {"a": F}


FORMS = {
    "seal_in.xml": Ladder, "rungs.xml": Ladder, "iec_rungs.xml": Ladder, "fbd_feedback.xml": Graph, "chart.xml": Chart,
}  # fmt: skip


@pytest.mark.parametrize(("name", "form"), FORMS.items())
def test_bodies_come_in_their_own_form(name, form):
    """A ladder that is series and parallel only is rungs; a chart a chart; all else a graph."""
    assert isinstance(project(text_of(name)).written.units[-1].body, form)


def test_a_seal_in_with_a_timer():
    """start sets motor, motor holds itself, stop drops it; warm comes 30 ms after motor and goes with it."""
    given = {0: {"start": F, "stop": F}, 1: {"start": T}, 2: {"start": F}, 7: {"stop": T}}
    assert rows(text_of("seal_in.xml"), given, ("motor", "warm"), count=9) == [
        (F, F), (T, F), (T, F), (T, F), (T, T), (T, T), (T, T), (F, F), (F, F),
    ]  # fmt: skip


def test_set_reset_edge_jump_return_and_en():
    """A press sets lamp and counts; clear below wins; skip jumps past the blinker and returns before first_part."""
    given = {
        0: {"press": F, "clear": F, "skip": F}, 1: {"press": T}, 2: {"press": F}, 3: {"press": T, "clear": T},
        4: {"clear": F, "skip": T}, 6: {"skip": F, "clear": T},
    }  # fmt: skip
    shown = ("lamp", "blink", "presses", "first_part")
    assert rows(text_of("rungs.xml"), given, shown, unit="rungs", count=9) == [
        (F, T, 0, 0), (T, F, 1, 1), (T, T, 1, 1), (F, F, 2, 2), (F, F, 2, 2), (F, F, 2, 2), (F, T, 2, 2), (F, F, 2, 2),
        (F, T, 2, 2),
    ]  # fmt: skip


def test_tasks_of_a_configuration():
    """An interval may be written as ISO 8601 writes it; the program instance runs in that task."""
    (configuration,) = project(text_of("rungs.xml")).written.configurations
    ((name, settings),) = [(t.name, [(w, v.text) for _, w, v in t.settings]) for t in configuration.tasks]
    assert (name, settings) == ("fast", [("INTERVAL", "T#0.02s"), ("PRIORITY", "1")])
    assert [(p.name, p.task, p.type) for p in configuration.programs] == [("one", "fast", "rungs")]


def test_feedback_over_wires_connectors_and_blocks():
    """total grows while count_up; the latch falls a scan after its command, as AND is drawn below RS; edges counts."""
    given = {0: {"count_up": F, "open_cmd": F}, 1: {"count_up": T, "open_cmd": T}, 3: {"count_up": F, "open_cmd": F},
             5: {"count_up": T}}  # fmt: skip
    shown = ("total", "latched", "edges")
    assert rows(text_of("fbd_feedback.xml"), given, shown, unit="feedback", count=7) == [
        (0, F, 0), (1, T, 1), (2, T, 1), (2, T, 1), (2, F, 1), (3, F, 2), (4, F, 2),
    ]  # fmt: skip


def test_a_chart_with_simultaneous_branches():
    """Both arms go out at once, the right one for 20 ms; abort stands left of both_home and so goes first: no count."""
    given = {
        0: {"start": F, "left_home": F, "right_home": F, "abort": F}, 1: {"start": T}, 5: {"left_home": T},
        6: {"right_home": T}, 8: {"start": F, "left_home": F, "right_home": F}, 10: {"start": T},
        12: {"left_home": T, "right_home": T, "abort": T}, 13: {"start": F},
    }  # fmt: skip
    shown = ("left_cmd", "right_cmd", "rounds")
    idle, out = (F, F), (T, F)
    assert rows(text_of("chart.xml"), given, shown, count=15) == [
        (*idle, 0), (T, T, 0), (T, T, 0), (*out, 0), (*out, 0), (*out, 0), (*idle, 1), (*idle, 1), (*idle, 1),
        (*idle, 1), (T, T, 1), (T, T, 1), (*idle, 1), (*idle, 1), (*idle, 1),
    ]  # fmt: skip


def test_iec_61131_10_with_types_and_first_values():
    """The pump runs on for 20 ms; sum is the structure's own first value 7 and the array's third, 20."""
    given = {0: {"wet": F}, 1: {"wet": T}, 2: {"wet": F}}
    assert rows(text_of("iec_rungs.xml"), given, ("pump", "sum"), count=6) == [
        (F, 27), (T, 27), (T, 27), (T, 27), (F, 27), (F, 27),
    ]  # fmt: skip


def test_a_bridge_is_no_ladder_and_runs_as_a_graph():
    """A bridge of contacts is neither series nor parallel: out1 = a AND e OR ..., by all paths from left to right."""
    body = RAIL + "\n".join([
        contact(2, "a", [1], 20, 0), contact(3, "b", [1], 20, 40), contact(4, "c", [2], 60, 20),
        contact(5, "d", [2], 100, 0), contact(6, "e", [3, 4], 100, 40), coil(7, "x", [5, 6], 150, 0),
    ])  # fmt: skip
    text = in_frame(body, declared(a="BOOL", b="BOOL", c="BOOL", d="BOOL", e="BOOL", x="BOOL"))
    assert isinstance(project(text).written.units[0].body, Graph)
    cases = [dict(zip("abcde", (bool(n >> k & 1) for k in range(5)), strict=True)) for n in range(32)]
    wanted = [((v["a"] and v["d"]) or ((v["b"] or (v["a"] and v["c"])) and v["e"]),) for v in cases]
    assert rows(text, dict(enumerate(cases)), "x", count=32) == wanted


def test_power_is_measured_where_it_is_drawn():
    """Both coils get the power that was there before the first of them changed its own contact."""
    body = RAIL + contact(2, "a", [1], 20, 0, negated="true") + coil(3, "a", [2], 60, 0) + coil(4, "b", [2], 60, 40)
    text = in_frame(body, declared(a="BOOL", b="BOOL"))
    assert rows(text, {}, "ab", count=3) == [(T, T), (F, F), (T, T)]


def test_a_contact_below_a_coil_sees_what_the_coil_did():
    """What is drawn below is evaluated later."""
    body = (
        RAIL
        + contact(2, "a", [1], 20, 0)
        + coil(3, "b", [2], 60, 0)
        + contact(4, "b", [2], 60, 40)
        + coil(5, "c", [4], 90, 40)
    )
    assert rows(in_frame(body, declared(a="BOOL", b="BOOL", c="BOOL")), {0: OFF, 1: ON}, "bc", count=2) == [
        (F, F),
        (T, T),
    ]


def block(number, name, y, pins, written="", **marks):
    """A function at x = 100; `pins`: what stands at its inputs; `written`: the variable at its output."""
    said = "".join(f' {k}="{v}"' for k, v in marks.items())
    inputs = "".join(
        f'<variable formalParameter="{pin}"><connectionPointIn><expression>{value}</expression></connectionPointIn>'
        "</variable>"
        for pin, value in pins.items()
    )
    out = f"<expression>{written}</expression>" if written else ""
    return (
        f'<block localId="{number}" typeName="{name}"{said}><position x="100" y="{y}"/>'
        f"<inputVariables>{inputs}</inputVariables><inOutVariables/><outputVariables>"
        f'<variable formalParameter="OUT"><connectionPointOut>{out}</connectionPointOut></variable>'
        "</outputVariables></block>\n"
    )


def test_a_jump_back_is_a_loop():
    """`again` is jumped back to while n < 5: one scan counts to 5."""
    body = (
        '<label localId="1" label="again"><position x="0" y="0"/></label>\n'
        + block(2, "ADD", 20, {"IN1": "n", "IN2": "1"}, "n")
        + """<inVariable localId="4"><position x="0" y="80"/><connectionPointOut/>
<expression>n &lt; 5</expression></inVariable>
<jump localId="5" label="again"><position x="100" y="80"/>
<connectionPointIn><connection refLocalId="4"/></connectionPointIn></jump>"""
    )
    assert rows(in_frame(body, declared(n="INT"), "FBD"), {}, "n", count=2) == [(5,), (6,)]


@pytest.mark.parametrize(("first", "second", "wanted"), [(1, 2, 30), (2, 1, 21), (0, 0, 30)])
def test_numbers_of_evaluation_go_before_places(first, second, wanted):
    """n = 2: (2 + 1) * 10 in drawn order, 2 * 10 + 1 if the numbers turn it round; 0 is no number."""
    body = block(1, "ADD", 0, {"IN1": "n", "IN2": "1"}, "n", executionOrderId=first)
    body += block(2, "MUL", 100, {"IN1": "n", "IN2": "10"}, "n", executionOrderId=second)
    assert rows(in_frame(body, declared(n="INT"), "FBD"), {0: {"n": 2}}, "n") == [(wanted,)]


def test_what_exporters_leave_empty_or_write_short():
    """An empty first value is none; an interval may lack its T#."""
    text = in_frame(
        "", '<variable name="n"><type><INT/></type><initialValue><simpleValue value=""/></initialValue></variable>'
    )
    assert project(text).written.units[0].variables[0].initial is None
    short = text_of("rungs.xml").replace("PT0.02S", "20ms")
    assert project(short).written.configurations[0].tasks[0].settings[0][2].text == "T#20ms"
