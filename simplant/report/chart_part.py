"""The timing chart of a run in the page: its picture for print and plain readers, its data, and its controls.

The script that makes it live is assets/chart.js. Rule: without a script the page still shows the whole chart.
"""

import json
from typing import Final

from simplant.report.choice import FIRST, Groups, first_of, groups_of
from simplant.report.html import said, table, tag
from simplant.report.marks import lanes_of, plain
from simplant.report.packed import packed
from simplant.report.shown import Shown
from simplant.report.svg import element, number
from simplant.report.timing import Chart

_BUTTONS: Final = (
    ("closer", "closer", "zoom in"),
    ("wider", "wider", "zoom out"),
    ("all", "whole run", "show the whole run"),
    ("earlier", "◂ earlier", "move the window back"),
    ("later", "later ▸", "move the window on"),
    ("before", "◂ change", "cursor to the change before, in the chosen row"),
    ("next", "change ▸", "cursor to the next change of the chosen row"),
    ("second", "set B", "a tap sets cursor B in place of A"),
    ("clear", "no cursors", "take both cursors away"),
)
_HELP: Final = (
    "Mouse: click sets cursor A, with shift B; drag moves; ctrl and wheel zooms, shift and wheel moves. "
    "Touch: tap, draw sideways, pinch. Keys, once the chart has the focus: "
)
_KEYS: Final = (
    ("+ -", "zoom"),
    ("← →", "move"),
    ("0", "whole run"),
    ("Home End", "to an end"),
    ("↑ ↓", "choose a row"),
    ("A B", "set a cursor"),
    ("shift ← →", "move the cursor"),
    ("N P", "cursor to next or previous change of the row"),
    ("Esc", "no cursors"),
)


def chart_part(shown: Shown) -> str:
    """Give the chart's part of the page."""
    groups, lanes = groups_of(shown), lanes_of(shown)
    chart = Chart(shown.title, first_of(groups), lanes, 0, shown.ended)
    height, body = chart.body()
    size = {"width": chart.width, "height": height, "viewBox": f"0 0 {chart.width} {number(height)}"}
    picture = element("svg", body, role="img", aria_label=f"Timing chart: {shown.title}", **size)
    plot = tag("div", picture, class_="plot", tabindex="0", role="group",
               aria_label="Timing chart. Plus and minus zoom, arrows move, up and down choose a row, "
               "A and B set cursors, N and P go to its changes. The changes stand in a table below.")  # fmt: skip
    data = {"end": shown.ended, "lanes": plain(lanes), "groups": _data(groups)}
    carried = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False).replace("<", "\\u003c")
    script = tag("script", carried, type="application/json")
    readout = tag("div", "", class_="readout", role="status", aria_live="polite")
    offers = tag("details", tag("summary", "Choose rows") + tag("div", "", class_="offers"), class_="rows")
    inside = _controls() + readout + plot + _help() + offers + _changes(chart) + script
    return tag("div", inside, class_="timing")


def _controls() -> str:
    buttons = (tag("button", said(word), type="button", data_act=act, title=about) for act, word, about in _BUTTONS)
    return tag("div", "".join(buttons), class_="controls")


def _help() -> str:
    keys = "; ".join(tag("kbd", said(key)) + " " + said(what) for key, what in _KEYS)
    return tag("details", tag("summary", "Mouse, touch and keys") + tag("p", f"{said(_HELP)}{keys}."), class_="help")


def _changes(chart: Chart) -> str:
    """Give the same as a table: the picture's text alternative; the script keeps it to the window shown."""
    found = sorted(
        (t, course.name, course.values[n])
        for rows in chart.groups.values()
        for course in rows
        if course.kind.value != "line"
        for n, t in enumerate(course.times[1:301], 1)
    )
    told = table((">s", "name", "becomes"), [(f"{t / 1e9:.3f}", name, value) for t, name, value in found[:300]],
                 caption=f"{min(len(found), 300)} changes from the start", most=300)  # fmt: skip
    return tag("details", tag("summary", "The chart as a table of changes") + told, class_="changes")


def _data(groups: Groups) -> list[dict[str, object]]:
    return [
        {"name": head, "shown": head in FIRST, "rows": [packed(course) for course in rows]}
        for head, rows in groups.items()
    ]
