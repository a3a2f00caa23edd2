"""State diagrams: where steps stand, what a run took, and the same as Mermaid text."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from simplant import BOOL, Direction, Program, Step, Tag, go, seconds
from simplant.report.layers import hubs_of, layout
from simplant.report.path_taken import path_of
from simplant.report.shown import show_file
from simplant.report.state_diagram import TIMES, Picture
from simplant.scenario.records import StepRecord
from simplant.timebase import Ns
from tests.report.cases import SECOND

ROOT = Path(__file__).parents[2]


@pytest.fixture
def chart():
    """A gate: closed, opening, open, back; opening has a limit."""
    program = Program("gate", [Tag(n, BOOL, Direction.INPUT) for n in ("call", "seen")])
    t = program.tags
    sequence = program.sequence(
        "gate",
        [
            Step("closed", description="rests; call: opens"),
            Step("opening", limit=seconds(2), on_limit="closed"),
            Step("open"),
        ],
    )
    return sequence.transitions(
        [
            go("closed", "opening", t.call),
            go("opening", "open", t.seen),
            go("open", "closed", ~t.call),
            go("open", "closed", ~t.seen),
        ]
    )


def test_steps_stand_below_what_leads_to_them():
    """A chain goes straight down, a way back has a lane beside it, a second successor a column of its own."""
    steps = ["a", "b", "c", "d"]
    placed = layout(steps, "a", [("a", "b"), ("b", "c"), ("b", "d"), ("c", "a"), ("d", "b")])
    assert placed.places == {"a": (0, 0), "b": (0, 1), "c": (0, 2), "d": (1, 2)}
    assert placed.lanes == {("d", "b"): (2, 0), ("c", "a"): (2, 1)}


def test_a_step_that_all_lead_to_is_a_sign():
    """`tripped` of comet_toss would have 23 lines; steps with few ways in are drawn as steps."""
    steps = [f"s{n}" for n in range(9)]
    assert hubs_of(steps, [(s, "s8") for s in steps[:8]] + [("s0", "s1")]) == {"s8"}


def test_mermaid_says_every_way(chart):
    """Rows between the same steps are one way; a time limit is a way, too; signs of Mermaid are written as codes."""
    assert Picture(chart).mermaid() == (
        "stateDiagram-v2\n"
        "    [*] --> closed\n"
        "    closed: closed<br>rests#59; call#58; opens\n"
        "    closed --> opening: call\n"
        "    opening --> open: seen\n"
        "    open --> closed: (NOT call) OR (NOT seen)\n"
        "    opening --> closed: longer than 2 s in opening\n"
    )


def test_the_path_taken_has_counts(chart):
    """Entered, left, stayed: thick with the count where the run went, dashed where not."""
    gone = ("closed", "opening", "closed", "opening", "open")
    steps = [StepRecord("gate", s, Ns(n * SECOND), Ns((n + 1) * SECOND)) for n, s in enumerate(gone)]
    path = path_of(steps, "gate", 5 * SECOND)
    assert path.taken == {("closed", "opening"): 2, ("opening", "closed"): 1, ("opening", "open"): 1}
    assert path.entered == {"closed": 2, "opening": 2, "open": 1}
    assert path.stayed == {"closed": 2 * SECOND, "opening": 2 * SECOND, "open": SECOND}
    svg = Picture(chart, path).svg()
    assert re.findall(r'class="way (\w+)"', svg).count("taken") == 3
    assert re.findall(r'class="way (\w+)"', svg).count("idle") == 1
    assert f"2{TIMES} · 2 s" in svg


@pytest.mark.parametrize("name", ["good_calls", "estop_mid_swing", "mode_turned"])
def test_no_step_covers_another_and_every_way_is_there(name):
    """comet_toss: 24 boxes apart from each other; each way a line or a sign, and nothing beyond the picture's edge."""
    shown = show_file(ROOT / f"scenarios/comet_toss/{name}.toml", {})
    chart = shown.machine.program.charts["cycle"].chart
    picture = Picture(chart, path_of(shown.steps, "cycle", shown.ended))
    width, height, body = picture.body()
    root = ElementTree.fromstring(f"<svg>{body}</svg>")
    boxes = [r for r in root.iter("rect") if r.get("class").startswith("step")]
    corners = {(float(r.get("x")), float(r.get("y"))) for r in boxes}
    assert len(corners) == len(boxes) == len(chart.steps)
    signs = [t for t in root.iter("text") if t.get("class").startswith("sign")]
    lines = [p for p in root.iter("path") if p.get("class").startswith("way")]
    pairs = {(t.source, t.dest) for t in chart.transitions} | {(s.name, s.on_limit) for s in chart.steps if s.on_limit}
    assert len(signs) + len(lines) == len(pairs)
    assert max(x for x, _ in corners) + 132 < width
    assert max(y for _, y in corners) + 36 < height
