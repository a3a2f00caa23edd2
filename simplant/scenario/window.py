"""The part of a trace around an instant, as a small table for people.

The whole trace is trace.py; pictures over time are cli/views/. Rule: the lines stand in the order
of the trace, and marks say what matters: no colours.
"""

from collections.abc import Collection, Iterable
from typing import Final

from simplant.scenario.trace import EVENT, Row, value_text
from simplant.timebase import show

BEFORE: Final = 12
"""Changes shown before the instant."""
AFTER: Final = 4
"""Changes shown after it."""


def window(rows: Iterable[Row], at: int, before: int = BEFORE, after: int = AFTER) -> list[Row]:
    """Give the rows of an instant with so many before and after it."""
    early: list[Row] = []
    middle: list[Row] = []
    late: list[Row] = []
    for row in rows:
        if row[0] < at:
            early.append(row)
            del early[:-before]
        elif row[0] == at:
            middle.append(row)
        elif len(late) < after:
            late.append(row)
        else:
            break
    return [*early, *middle, *late]


def window_text(rows: Iterable[Row], at: int, names: Collection[str] = ()) -> str:
    """Show what happened around an instant: a mark, the time, the name, the value.

    Args:
        rows: a trace, in order of time.
        at: the instant, ns; `end of the rule` stands above what came after it.
        names: signals to mark with `*`; events are marked with `!`, the instant with `>`.
    """
    shown = window(rows, at)
    times = [show(row[0]) for row in shown]
    wide = max((len(time) for time in times), default=0)
    deep = max((len(name) for _, name, _ in shown if name != EVENT), default=0)
    lines = [f"  what happened around {show(at)} (> then, * in the rule, ! event)"]
    after = False
    for time, (when, name, value) in zip(times, shown, strict=True):
        if when > at and not after:
            after = True
            lines.append(f"  {' end of the rule ':-^{wide + deep + 12}}")
        mark = f"{'>' if when == at else ' '}{'!' if name == EVENT else '*' if name in names else ' '}"
        text = value if name == EVENT else f"{name:<{deep}}  {_shown(value)}"
        lines.append(f"  {mark} {time:>{wide}}  {text}")
    return "\n".join(lines if shown else [*lines, "  nothing"])


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    assert isinstance(value, int | float | str), "a row carries a plain value"
    return value_text(value)
