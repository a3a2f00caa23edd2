"""The timing chart as a picture: well-formed, its text selectable, its window kept."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from simplant.report.choice import first_of, groups_of
from simplant.report.marks import Mark, lanes_of
from simplant.report.shown import show_file
from simplant.report.svg import plain
from simplant.report.time_scale import step_of, told
from simplant.report.timing import Chart
from tests.report.cases import SECOND

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def shown():
    return show_file(ROOT / "scenarios/comet_toss/estop_mid_swing.toml", {})


def texts(svg):
    return ["".join(t.itertext()) for t in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_a_chart_has_every_row_in_its_group(shown):
    """Steps, points, truths that moved, in groups; acts and alarms above; the alarm named as first-out."""
    groups, lanes = groups_of(shown), lanes_of(shown)
    svg = Chart(shown.title, first_of(groups), lanes, 0, shown.ended).svg()
    found = " ".join(texts(svg))
    for name in ("cycle", "table_run_cmd", "wheel.speed", "press estop", "estop (first-out)", "home_lift", "60 s"):
        assert name in found
    assert list(first_of(groups)) == ["steps", "inputs", "outputs", "truths"]
    assert "guard_closed" in found
    assert "call_3" not in found, "what never moved is not drawn"
    assert "var(--" not in svg, "a file of its own has plain colours"


def test_a_window_is_what_is_drawn(shown):
    """Lanes without a mark in the window are left out; nothing is drawn outside the plot."""
    names = ["cycle", "table.angle", "gate_seen"]
    again = show_file(shown.path, {}, lines=names)
    chart = Chart("x", groups_of(again, names), lanes_of(again), 20 * SECOND, 30 * SECOND, 900)
    svg = chart.svg()
    assert "events" not in texts(svg)
    assert "alarms" in texts(svg)
    across = [float(x) for x in re.findall(r"[MLH](-?[\d.]+)", " ".join(re.findall(r' d="([^"]*)"', svg)))]
    assert 0 <= min(across)
    assert max(across) <= 900


def test_the_same_run_gives_the_same_picture(shown):
    """Byte for byte."""
    once, again = (
        Chart(s.title, first_of(groups_of(s)), lanes_of(s), 0, s.ended).svg()
        for s in (shown, show_file(shown.path, {}))
    )
    assert once == again


def test_faults_forces_and_broken_rules_have_lanes_of_their_own():
    """A fault is a bar as long as it lasts; a rule broken as an accepted hazard is marked as one that is not."""
    shown = show_file(ROOT / "scenarios/comet_toss/door_defeated.toml", {})
    lanes = lanes_of(shown)
    assert lanes["faults"] == [Mark(2 * SECOND, 60 * SECOND, "door.defeated")]
    broken = [verdict for verdict in shown.run.verdicts if verdict.time is not None]
    assert len({verdict.time for verdict in broken}) == 1, "both in one instant: one mark names both"
    assert [mark.text for mark in lanes["broken rules"]] == ["; ".join(verdict.rule for verdict in broken)]
    svg = Chart("x", {}, lanes, 0, shown.ended).svg()
    assert 'class="breach"' in svg
    assert 'class="cross"' in svg
    assert 'class="lasts"' in svg


@pytest.mark.parametrize(
    ("span", "width", "marks"),
    [
        (60 * SECOND, 900, ["0 s", "5 s", "10 s"]),
        (SECOND // 100, 860, ["0.000 s", "0.001 s", "0.002 s"]),
        (8 * 3600 * SECOND, 860, ["0:00:00", "1:00:00", "2:00:00"]),
        (20_000, 860, ["0.000000 s", "0.000002 s", "0.000004 s"]),
    ],
)
def test_the_scale_has_round_instants(span, width, marks):
    """1, 2, 5 and so on; minutes and hours for long runs; neighbours never look the same."""
    step = step_of(span, width)
    assert [told(n * step, step) for n in range(3)] == marks


def test_lamp_colours_are_left_to_lamps():
    """No red, yellow, green or blue in the pictures: these belong to lamps (IEC 60204-1, from memory)."""
    for style in ("chart.css", "diagram.css"):
        for red, green, blue in re.findall(r"#(\w\w)(\w\w)(\w\w)", plain(style)):
            r, g, b = (int(part, 16) for part in (red, green, blue))
            assert max(r, g, b) - min(r, g, b) < 30 or (b > r > g), "grey or violet"
