"""What stands between two rails, put together from what stands between two points each: in series, in parallel.

Rule: if anything is left that is neither, there is no such rung.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from simplant.logic.ladder import tree as ladder

START: Final = 0
END: Final = 1
DEEPEST: Final = 30
"""Parallels in one another."""


class NotSo(Exception):  # noqa: N818 - it says no, it is no error
    """A network is no rung."""


@dataclass(frozen=True, slots=True)
class Span:
    """What stands between two points.

    Args:
        start, end: the points.
        line: what stands there.
        first: what of it is drawn first.
        depth: of parallels in one another.
        parts: the branches, if it is a parallel alone, each with what of it is drawn first.
    """

    start: int
    end: int
    line: tuple[ladder.Element, ...]
    first: int
    depth: int = 0
    parts: tuple[tuple[int, ladder.Series], ...] = ()


def reduced(spans: list[Span]) -> tuple[ladder.Element, ...]:
    """Join spans in series and in parallel until one is left; raises `NotSo`."""
    while len(spans) > 1:
        before = len(spans)
        spans = _in_series(_in_parallel(spans))
        if len(spans) == before:
            raise NotSo
    if not spans or (spans[0].start, spans[0].end) != (START, END):
        raise NotSo
    return spans[0].line


def _in_parallel(spans: list[Span]) -> list[Span]:
    between: dict[tuple[int, int], list[Span]] = {}
    for span in spans:
        between.setdefault((span.start, span.end), []).append(span)
    found: list[Span] = []
    for (start, end), group in between.items():
        if len(group) == 1:
            found += group
            continue
        parts = [part for span in group for part in (span.parts or ((span.first, ladder.Series(span.line)),))]
        parts.sort(key=lambda part: (not part[1].elements, part[0]))
        depth = 1 + max(s.depth for s in group)
        if depth > DEEPEST:
            raise NotSo
        line = (ladder.Parallel(tuple(branch for _, branch in parts)),)
        found.append(Span(start, end, line, min(s.first for s in group), depth, tuple(parts)))
    return found


def _in_series(spans: list[Span]) -> list[Span]:
    entering: dict[int, list[Span]] = {}
    leaving: dict[int, list[Span]] = {}
    for span in spans:
        leaving.setdefault(span.start, []).append(span)
        entering.setdefault(span.end, []).append(span)
    gone: set[int] = set()
    found: list[Span] = []
    for span in spans:
        if id(span) in gone or (
            span.start != START and len(entering.get(span.start, [])) == len(leaving[span.start]) == 1
        ):
            continue
        whole = span
        while whole.end != END and len(entering[whole.end]) == len(leaving.get(whole.end, [])) == 1:
            following = leaving[whole.end][0]
            gone.add(id(following))
            first, depth = min(whole.first, following.first), max(whole.depth, following.depth)
            whole = Span(whole.start, following.end, whole.line + following.line, first, depth)
        found.append(whole)
    return found


__all__ = ["DEEPEST", "END", "START", "NotSo", "Span", "reduced"]
