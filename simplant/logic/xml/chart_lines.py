"""The lines of a chart in TC6 XML: what may stand above what, and what may be joined to nothing.

Which steps a transition leads from and to is read_sfc.py. Source: IEC 61131-3, steps and transitions in turn, from
memory. Rule: a line that means nothing is refused, so that none that is drawn is passed over.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from simplant.logic.st.report import Report
from simplant.logic.xml.elements import Element

_BELOW_STEPS: Final = ("step", "selectionDivergence", "simultaneousConvergence")
_BELOW_TRANSITIONS: Final = ("transition", "selectionConvergence", "simultaneousDivergence")
_ABOVE: Final = {
    "step": _BELOW_TRANSITIONS, "jumpStep": _BELOW_TRANSITIONS, "transition": _BELOW_STEPS,
    "selectionDivergence": _BELOW_STEPS, "simultaneousConvergence": _BELOW_STEPS,
    "selectionConvergence": _BELOW_TRANSITIONS, "simultaneousDivergence": _BELOW_TRANSITIONS,
}  # fmt: skip


def lines_of(element: Element) -> list[Element]:
    """Give the lines that come to an object of a chart from above."""
    return [c for p in element.each("connectionPointIn") for c in p.each("connection")]


def check_lines(report: Report, objects: Mapping[str, Element]) -> None:
    """Tell what is wrong with the lines of a chart; `objects`: what is drawn, by number."""
    below: dict[str, int] = {}
    for element in objects.values():
        lines = [objects[c.get("refLocalId")] for c in lines_of(element) if c.get("refLocalId") in objects]
        if element.name == "actionBlock":
            _action_block(report, element, lines)
        for above in lines if element.name in _ABOVE else ():
            if above.name not in _ABOVE[element.name]:
                wanted = "step" if _ABOVE[element.name] is _BELOW_STEPS else "transition"
                report.error(element.place, f"a <{above.name}> stands above it", f"a {wanted} is wanted there",
                             length=len(element.name) + 1)  # fmt: skip
            below[above.get("localId")] = below.get(above.get("localId"), 0) + 1
        if element.name == "jumpStep" and not lines_of(element):
            what = f"the jump to {element.get('targetName')} hangs in the air"
            report.error(element.place, what, "no transition leads to it", length=len("<jumpStep"))
    for number, count in below.items():
        if objects[number].name == "transition" and count > 1:
            what = f"a transition leads to {count} places, and no divergence is drawn"
            mend = "draw a simultaneousDivergence"
            report.warn(objects[number].place, what, "all of them become active", mend, len("<transition"))


def _action_block(report: Report, block: Element, lines: list[Element]) -> None:
    """Refuse an action block that belongs to no step."""
    why, mend, length = "nothing would do it", "join it to its step", len("<actionBlock")
    if not lines_of(block):
        report.error(block.place, "an action block is joined to nothing", why, mend, length)
    for above in lines:
        if above.name != "step":
            report.error(block.place, f"an action block is joined to a <{above.name}>", why, mend, length)


__all__ = ["check_lines", "lines_of"]
