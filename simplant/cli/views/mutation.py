"""The view of a mutation campaign: scores by kind, what killed, who survived and what is missing.

Running it is campaign/mutation.py. Rule: both scores stand side by side, and every survivor is listed.
"""

from collections import Counter
from collections.abc import Sequence
from typing import Final

from rich.console import Group, RenderableType
from rich.text import Text

from simplant.campaign.mutation import EQUIVALENT, KILLED, REFUSED, SURVIVED, Suite, Tried, score
from simplant.cli.views.plain import plain_table

_LONG: Final = 100
_MOST: Final = 100_000
_COLUMNS: Final = ("kind", ">mutants", ">killed", ">differed", ">unseen", ">equal", ">refused", ">score")


def mutation_view(name: str, tried: Sequence[Tried], suite: Suite, spoilt: Sequence[str]) -> RenderableType:
    """Make it."""
    survivors = [each for each in tried if each.fate.became == SURVIVED]
    rows = [_survivor(each) for each in survivors]
    pieces: list[RenderableType] = [
        plain_table(f"{name}: mutants by kind", _COLUMNS, [*_by_kind(tried)]), "",
        plain_table("Killed by", ("rule or expectation", ">mutants"), _killers(tried)), "",
        plain_table("Survivors", ("at", "mistake, and what is missing"), rows, most=_MOST), "",
    ]  # fmt: skip
    if spoilt:
        told = f"left out, since they have findings as they are: {', '.join(spoilt)}"
        pieces.append(Text(told, style="yellow"))
    return Group(*pieces, Text(_summary(tried, suite), style="bold"))


def _by_kind(tried: Sequence[Tried]) -> list[list[str]]:
    kinds = dict.fromkeys(each.mutant.kind for each in tried)
    rows = [_row(kind, [each for each in tried if each.mutant.kind == kind]) for kind in kinds]
    return [*rows, _row("all", tried)]


def _row(kind: str, tried: Sequence[Tried]) -> list[str]:
    counted, became = score(tried), Counter(each.fate.became for each in tried)
    numbers = (
        len(tried), counted.killed, counted.differed - counted.killed, counted.counted - counted.differed,
        became[EQUIVALENT], became[REFUSED],
    )  # fmt: skip
    share = f"{counted.killed / counted.counted:.1%}" if counted.counted else "-"
    return [kind, *(str(number) for number in numbers), share]


def _killers(tried: Sequence[Tried]) -> list[list[str]]:
    killed = [each.fate for each in tried if each.fate.became == KILLED]
    rules = Counter(fate.how for fate in killed if fate.rule)
    others = Counter(f"expectations of {fate.by}" for fate in killed if not fate.rule)
    return [[what, str(count)] for what, count in (*rules.most_common(), *others.most_common())]


def _survivor(each: Tried) -> list[str | Text]:
    mutant = each.mutant
    what = f"{_short(mutant.where)}: {_short(mutant.before)} becomes {_short(mutant.after)}"
    at = f"{mutant.place.file.rpartition('/')[2]}:{mutant.place.line}"
    return [at, Text.assemble(what, (f"\nneeds {_short(each.needed, 2 * _LONG)}", "dim"))]


def _short(text: str, most: int = _LONG) -> str:
    return text if len(text) <= most else f"{text[: most - 3]}..."


def _summary(tried: Sequence[Tried], suite: Suite) -> str:
    counted = score(tried)
    if not counted.counted:
        return f"{len(tried)} mutants, none that counts"
    low, high = counted.bounds
    differed = counted.differed / counted.counted
    return (
        f"{counted.killed} of {counted.counted} mutants are killed by a rule or an expectation: "
        f"{counted.killed / counted.counted:.1%} (95 % bounds {low:.1%} to {high:.1%}); "
        f"a mere difference of traces would show {differed:.1%}; {len(suite.names)} scenarios"
    )
