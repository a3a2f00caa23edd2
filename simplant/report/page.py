"""The page of one run or several: one file that needs nothing else, ever.

Its sections are sections.py and chart_part.py. Rule: the page may fetch nothing (its own policy forbids it), shows all
without a script, and says at its end what a simulation does not prove.
"""

from collections.abc import Sequence
from typing import Final

from simplant.report import sections
from simplant.report.chart_part import chart_part
from simplant.report.html import said, table, tag
from simplant.report.safety import SAFETY
from simplant.report.shown import Shown
from simplant.report.svg import asset
from simplant.timebase import show

STYLES: Final = ("ink.css", "chart.css", "diagram.css", "page.css")
SCRIPTS: Final = ("data.js", "columns.js", "draw.js", "scale.js", "chart.js", "gestures.js")
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)


def page(runs: Sequence[Shown], more: str = "") -> str:
    """Give the whole page.

    Args:
        runs: at least one.
        more: sections that follow, as HTML.
    """
    single = len(runs) == 1
    title = runs[0].title if single else f"{len(runs)} runs"
    names = ", ".join(dict.fromkeys(run.machine.name for run in runs))
    top = tag("p", said(names)) + tag("h1", said(title))
    body = (
        top + ("" if single else _overview(runs)) + "".join(_run(run, n, single=single) for n, run in enumerate(runs))
    )
    return whole(names, title, body + more, tag("script", "".join(map(asset, SCRIPTS))))


def whole(names: str, title: str, body: str, script: str = "") -> str:
    """Give a page around what stands in it: its own style, its policy, the safety lines."""
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        f"<title>{said(names)}: {said(title)}</title><style>{''.join(map(asset, STYLES))}</style>"
    )
    told = f"<head>{head}</head><body><main>{body}</main>{_foot()}{script}</body>"
    return f'<!DOCTYPE html>\n<html lang="en">{told}</html>\n'


def _foot() -> str:
    return tag("footer", tag("p", tag("strong", "Safety. ") + said(SAFETY), class_="safety"))


def _overview(runs: Sequence[Shown]) -> str:
    rows = [(n, _word(run), run.machine.name, run.title, show(run.ended)) for n, run in enumerate(runs, 1)]
    told = table((">no.", "result", "machine", "scenario", ">length"), rows, most=len(rows))
    links = "".join(tag("li", tag("a", said(run.title), href=f"#run-{n}")) for n, run in enumerate(runs))
    return told + tag("nav", tag("ol", links), aria_label="Runs")


def _word(run: Shown) -> str:
    if run.run is None:
        return "stored trace"
    if run.run.findings:
        return f"✕ {len(run.run.findings)} finding(s)"
    return f"✓ held, {len(run.run.accepted)} accepted hazard(s)" if run.run.accepted else "✓ held"


def _run(shown: Shown, n: int, *, single: bool) -> str:
    head = "" if single else tag("h2", said(shown.title), id=f"run-{n}")
    parts = [("", sections.summary(shown)), ("Timing", chart_part(shown))]
    if shown.run is not None:
        parts += [("Rules", sections.rules(shown.run)), ("Faults and forces", sections.disturbances(shown.run))]
    parts += [("Alarms", sections.alarms(shown)), ("Path through the program", sections.path(shown))]
    if shown.run is not None:
        parts += [("Balls", sections.ledger(shown.run))]
    if shown.events:
        parts += [("Events", sections.events(shown))]
    parts += [("Scenario, and how to run it again", sections.scenario(shown))]
    rank = "h2" if single else "h3"
    told = "".join((tag(rank, said(name)) if name else "") + part for name, part in parts if part)
    return tag("section", head + told)
