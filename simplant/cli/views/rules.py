"""The verdict on each rule, with its margin, and the signals at each breach.

Judging is rules/. Rule: what needs attention stands on top, and "not exercised" is never shown
as if the rule had held.
"""

from collections import Counter
from collections.abc import Collection, Sequence
from typing import Final

from rich.console import Group, RenderableType
from rich.text import Text

from simplant.cli.views.plain import Cell, plain_table
from simplant.rules.verdict import Outcome, Verdict
from simplant.scenario.trace import seconds_text

_ORDER: Final = (Outcome.BROKEN, Outcome.UNDECIDED, Outcome.NOT_EXERCISED, Outcome.HELD)
_STYLE: Final = {
    Outcome.BROKEN: "bold red",
    Outcome.UNDECIDED: "yellow",
    Outcome.NOT_EXERCISED: "yellow",
    Outcome.HELD: "",
}
_WORD: Final = {
    Outcome.BROKEN: "BROKEN",
    Outcome.UNDECIDED: "not decided",
    Outcome.NOT_EXERCISED: "not exercised",
    Outcome.HELD: "held",
}


def rules_view(verdicts: Sequence[Verdict], accepted: Collection[str] = ()) -> RenderableType:
    """Show verdicts, the broken ones first, then each breach with its signals.

    Args:
        verdicts: one per rule.
        accepted: rules whose breach is an accepted hazard of this scenario.
    """
    ordered = sorted(verdicts, key=lambda v: _ORDER.index(v.outcome))
    broken = [v for v in ordered if v.outcome is Outcome.BROKEN]
    columns: list[str] = ["verdict", "rule", ">margin", ">broke at s", ">exercised"]
    rows: list[list[Cell]] = [
        [_outcome(v, accepted), v.rule, v.margin_text, seconds_text(v.time), str(v.times_exercised)] for v in ordered
    ]
    if not broken:
        del columns[3]
        for row in rows:
            del row[3]
    table = plain_table(_title(verdicts), columns, rows)
    told = [Text(f"\n{v.told()}") for v in broken]
    return Group(table, *told)


def _outcome(verdict: Verdict, accepted: Collection[str]) -> Text:
    word, style = _WORD[verdict.outcome], _STYLE[verdict.outcome]
    if verdict.outcome is Outcome.BROKEN and verdict.rule in accepted:
        word, style = f"{word}, accepted", "yellow"
    return Text(word, style=style)


def _title(verdicts: Sequence[Verdict]) -> str:
    count = Counter(v.outcome for v in verdicts)
    told = ", ".join(f"{count[outcome]} {_WORD[outcome].lower()}" for outcome in reversed(_ORDER) if count[outcome])
    return f"Rules: {told}" if told else "Rules"
