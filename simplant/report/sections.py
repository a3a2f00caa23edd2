"""The sections of a run in the page: summary, rules, alarms, path, ledger, scenario.

The chart is chart_part.py, the whole page page.py. Rule: a section that has nothing to show says so in a line or is
left out; what a stored trace cannot tell is said once.
"""

from collections.abc import Iterator

from simplant.logic.st.sequences import charts_of
from simplant.report.html import OUTCOMES, said, table, tag
from simplant.report.path_taken import path_of, ways_of
from simplant.report.shown import Shown
from simplant.report.state_diagram import Picture
from simplant.report.svg import element, number
from simplant.rig.outcome import Run
from simplant.rules import Outcome
from simplant.scenario.trace import seconds_text
from simplant.timebase import show


def summary(shown: Shown) -> str:
    """Say what was run and what became of it."""
    header, run = shown.rows.header, shown.run
    facts = [
        ("machine", f"{shown.machine.name}: {shown.machine.title}"),
        ("file", shown.path.as_posix()),
        ("machine time", show(shown.ended)),
        ("seed", header.get("seed", "")),
        ("program", header.get("program", "")),
        ("made by", f"simplant {header.get('simplant', '')}"),
    ]
    if run is not None:
        facts += [("rules", _counted(run))]
        facts += [(count.name, f"{count.value:g} {count.text}".strip()) for count in run.counts]
        facts += [(f"scans of {s.controller}", f"{s.run:,} run, {s.slept:,} slept through") for s in run.scans]
    listed = "".join(tag("dt", said(name)) + tag("dd", said(value)) for name, value in facts if value)
    return result(shown) + tag("dl", listed) + "".join(tag("p", said(line)) for line in _notes(shown))


def result(shown: Shown) -> str:
    """Give the result in a frame."""
    if shown.run is None:
        return tag("p", tag("span", "stored trace, not judged", class_="result"))
    findings = shown.run.findings
    word = f"✕ {len(findings)} finding(s)" if findings else "✓ everything that was demanded held"
    listed = "".join(tag("li", tag("pre", said(finding))) for finding in findings)
    frame = tag("p", tag("span", word, class_="result bad" if findings else "result"))
    return frame + (tag("ul", listed) if listed else "")


def _counted(run: Run) -> str:
    outcomes = [verdict.outcome for verdict in run.verdicts]
    return ", ".join(f"{outcomes.count(o)} {word[2:]}" for o, word in OUTCOMES.items() if o in outcomes)


def _notes(shown: Shown) -> Iterator[str]:
    if shown.run is None:
        yield (
            "This page was made from a stored trace. Verdicts, margins, the ball ledger and what moves between two "
            "lines of a trace are known only to a run: give the scenario for these."
        )
        if shown.changed:
            yield "The machine's files have changed since this trace was made; the diagrams show them as they are now."
        return
    for rule, hazard in shown.run.accepted.items():
        yield f"Accepted hazard: {rule}: {hazard.reason} ({hazard.who}, {hazard.date})"
    for rule in shown.run.undemanded:
        yield f"Broken, but not demanded under these faults: {rule}"
    for warning in shown.run.warnings:
        yield f"Warning: {warning}"


def rules(run: Run) -> str:
    """Show verdicts with margins, what needs attention first, and each breach in full."""
    order = list(OUTCOMES)
    ranked = sorted(run.verdicts, key=lambda v: order.index(v.outcome))
    rows = [
        (
            OUTCOMES[v.outcome] + (", accepted" if v.rule in run.accepted else ""),
            v.rule if v.rule == v.text else f"{v.rule}: {v.text}",
            v.margin_text,
            seconds_text(v.time),
            v.times_exercised,
        )
        for v in ranked
    ]
    told = "".join(tag("pre", said(v.told())) for v in ranked if v.outcome is Outcome.BROKEN)
    return table(("verdict", "rule", "margin", ">first breach s", ">exercised"), rows) + told


def alarms(shown: Shown) -> str:
    """Show alarms in the order they came."""
    rows = [
        (
            seconds_text(a.time),
            "first-out" if a.first_out else "",
            a.name,
            seconds_text(a.cleared, "still there"),
            a.text,
        )
        for a in shown.alarms
    ]
    return table((">came s", "", "alarm", ">cleared s", "text"), rows) if rows else tag("p", "No alarm came.")


def disturbances(run: Run) -> str:
    """Show what failed and what was forced, or nothing."""
    scenario = run.scenario.shifted()
    end = 10**18
    rows = [
        (seconds_text(f.onset), seconds_text(f.onset + f.duration) if f.onset + f.duration < end else "the end", str(f))
        for f in scenario.all_faults
    ]
    rows += [
        (seconds_text(f.since), seconds_text(f.until, "the end"), f"{f.tag} held at {f.value}") for f in run.forced
    ]
    return table((">from s", ">to s", "what"), rows) if rows else ""


def events(shown: Shown) -> str:
    """Show what else happened."""
    return table((">at s", "event"), [(seconds_text(e.time), e.text) for e in shown.events])


def path(shown: Shown) -> str:
    """Show each chart with the path taken, its ways as a table, and the steps in order."""
    out = ""
    for name, chart in charts_of(shown.machine.program).items():
        gone = path_of(shown.steps, name, shown.ended)
        picture = Picture(chart, gone)
        width, height, body = picture.body()
        size = {"width": width, "height": height, "viewBox": f"0 0 {number(width)} {number(height)}"}
        drawing = element("svg", body, class_="diagram", role="img", aria_label=picture.about(), **size)
        ways = [
            (w.source, w.dest, " OR ".join(w.conditions), gone.taken[w.source, w.dest] or "not taken")
            for w in ways_of(chart)
        ]
        out += tag("h3", f"Chart {said(name)}")
        out += tag(
            "p", "Thick: taken, with how often. Dashed: not taken. Signs at the left: where it may go from there."
        )
        out += tag("figure", drawing, tabindex="0")
        out += _folded(
            "Every way, its condition and how often it was taken",
            table(("from", "to", "when", ">taken"), ways, most=1000),
        )
    rows = [
        (s.chart, s.step, seconds_text(s.entered), seconds_text(s.left, "active"),
         seconds_text((shown.ended if s.left is None else s.left) - s.entered))
        for s in shown.steps
    ]  # fmt: skip
    steps = table(("chart", "step", ">entered s", ">left s", ">lasted s"), rows)
    return out + _folded("Steps in the order entered", steps) if out else ""


def ledger(run: Run) -> str:
    """Show where each ball is at the end."""
    rows = [(b.ball, b.where.replace("_", " "), seconds_text(b.since, "start")) for b in run.balls]
    return table(("ball", "where", ">since s"), rows) if rows else ""


def scenario(shown: Shown) -> str:
    """Show the scenario's text and how to run it again."""
    if not shown.scenario:
        return tag("p", "The scenario of this trace is not beside it.")
    return tag("pre", said(shown.scenario.rstrip())) + tag("p", "Again:") + tag("pre", said(f"$ {shown.again}"))


def _folded(head: str, content: str) -> str:
    return tag("details", tag("summary", said(head)) + content)
