"""Two versions of a program side by side: where they part, and since which input.

Making inputs is random_inputs.py, the command cli/compare.py. Rule: only names that both versions have are compared,
and a difference is allowed only while a condition on the new version's values holds.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import isnan

from simplant.errors import SimplantError
from simplant.expr import Expr, evaluate
from simplant.rig.table import Bench, Row, run_table
from simplant.scenario.trace import EVENT, Rows
from simplant.timebase import Ns
from simplant.values import Value

MOST_INPUTS = 5
"""Input changes that are told before a difference."""
FAILED = "the scan"
"""The name under which a run-time error is compared."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of an input."""

    at: Ns
    name: str
    value: Value


@dataclass(frozen=True, slots=True)
class Parting:
    """Where two runs part: the first instant, each name that differs there, and the last input changes up to then.

    Args:
        at: the instant.
        values: name -> (value of the old version, value of the new one).
        inputs: the last changes of inputs, in order.
    """

    at: Ns
    values: Mapping[str, tuple[Value | None, Value | None]]
    inputs: tuple[Change, ...]


Instant = tuple[Ns, Mapping[str, Value]]
"""An instant, and all values from it on."""


def parting(
    old: Iterable[Instant], new: Iterable[Instant], names: Sequence[str], inputs: Sequence[str],
    allowed: Sequence[Expr] = (),
) -> Parting | None:  # fmt: skip
    """Find where two runs part.

    Args:
        old: each instant at which anything may have changed, in order, with the values then.
        new: the same of the other version.
        names: what is compared.
        inputs: what is told as an input.
        allowed: conditions under which they may differ.

    Returns:
        None if they never part.
    """
    changes: list[Change] = []
    held: dict[str, Value] = {}
    for now, left, right in _together(old, new):
        for name in inputs:
            value = left.get(name)
            if value is not None and held.get(name) != value:
                held[name] = value
                changes.append(Change(now, name, value))
        compared = names if left.get(FAILED) == right.get(FAILED) else [FAILED]  # a scan that fails leaves old values
        apart = {n: (left.get(n), right.get(n)) for n in compared if not _same(left.get(n), right.get(n))}
        if apart and not any(_holds(condition, right) for condition in allowed):
            return Parting(now, apart, tuple(changes[-MOST_INPUTS:]))
    return None


def _together(
    old: Iterable[Instant], new: Iterable[Instant]
) -> Iterator[tuple[Ns, Mapping[str, Value], Mapping[str, Value]]]:
    """Give all instants of two runs in order, each with the values of both from it on."""
    sides: list[Mapping[str, Value]] = [{}, {}]
    runs = [iter(old), iter(new)]
    following = [next(run, None) for run in runs]
    while any(following):
        now = min(each[0] for each in following if each is not None)
        for side, each in enumerate(following):
            if each is not None and each[0] == now:
                sides[side] = dict(each[1])
                following[side] = next(runs[side], None)
        yield now, sides[0], sides[1]


def _same(one: Value | None, other: Value | None) -> bool:
    if isinstance(one, float) and isinstance(other, float) and isnan(one) and isnan(other):
        return True
    return one == other


def _holds(condition: Expr, values: Mapping[str, Value]) -> bool:
    try:
        return bool(evaluate(condition, values))
    except (KeyError, SimplantError):  # it speaks of what is not there yet, or cannot be reckoned with
        return False


def of_trace(rows: Rows) -> Iterator[Instant]:
    """Give the instants of a trace; a run-time error is a value as well."""
    values: dict[str, Value] = {}
    for at, group in groupby(rows, key=lambda row: row[0]):
        values |= {name: value for _, name, value in group if name != EVENT}
        yield Ns(at), values


def of_bench(bench: Bench, rows: Sequence[Row], scan: Ns, until: Ns) -> Iterator[Instant]:
    """Give the scans of a program alone; one that fails is told as a value, and it is the last."""
    values: Mapping[str, Value] = {}
    following = Ns(0)
    periods = [layout.period or scan for layout in bench.layouts]
    try:
        for now, values in run_table(bench, rows, scan, until):
            yield now, values
            following = Ns(min(now - now % period + period for period in periods))
    except SimplantError as error:
        yield following, {**values, FAILED: f"fails: {error.what}"}


def reduced(rows: Sequence[Row], differs: Callable[[Sequence[Row]], bool]) -> tuple[Row, ...]:
    """Take away inputs as long as the versions still differ; what is left is needed, each value of it.

    Args:
        rows: inputs under which they differ.
        differs: says whether they do under others.
    """
    kept = list(rows)
    size = max(1, len(kept) // 2)
    while size:
        at = 0
        while at < len(kept):
            without = kept[:at] + kept[at + size :]
            if differs(without):
                kept = without
            else:
                at += size
        size //= 2
    for number, row in enumerate(kept):
        for name in list(row.values):
            fewer = Row(row.time, {k: v for k, v in kept[number].values.items() if k != name})
            trial = [*kept[:number], fewer, *kept[number + 1 :]]
            if differs(trial):
                kept = trial
    return tuple(row for row in kept if row.values)
