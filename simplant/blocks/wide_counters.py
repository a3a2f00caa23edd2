"""The counters of other widths: CTU_DINT, CTD_UDINT, CTUD_LINT ... of edition 2.

They count as those of counters.py do, within the range of their type. Rule: CV stops at its limits and never wraps.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from simplant.blocks.block import BlockType, Field
from simplant.blocks.counters import CTD, CTU, CTUD, DownCounter, UpCounter, UpDownCounter
from simplant.timebase import Ns
from simplant.values import DINT, INT, LINT, UDINT, UINT, ULINT, ElementaryType

_Make = Callable[[int, int], Callable[[Any, Ns], Any]]


def _up(least: int, most: int) -> Callable[[Any, Ns], Any]:
    def step(state: UpCounter, _now: Ns) -> UpCounter:
        CU, R, PV, _Q, CV, M = state
        CV = 0 if R else min(CV + (CU and not M), most)
        return UpCounter(CU, R, PV, CV >= PV, CV, CU)

    return step


def _down(least: int, most: int) -> Callable[[Any, Ns], Any]:
    def step(state: DownCounter, _now: Ns) -> DownCounter:
        CD, LD, PV, _Q, CV, M = state
        CV = PV if LD else max(CV - (CD and not M), least)
        return DownCounter(CD, LD, PV, CV <= 0, CV, CD)

    return step


def _both(least: int, most: int) -> Callable[[Any, Ns], Any]:
    def step(state: UpDownCounter, _now: Ns) -> UpDownCounter:
        CU, CD, R, LD, PV, _QU, _QD, CV, M_up, M_down = state
        counted = min(max(CV + (CU and not M_up) - (CD and not M_down), least), most)
        CV = 0 if R else PV if LD else counted
        return UpDownCounter(CU, CD, R, LD, PV, CV >= PV, CV <= 0, CV, CU, CD)

    return step


def _of_type(
    block: BlockType, type_: ElementaryType, make: Callable[[int, int], Callable[[Any, Ns], Any]]
) -> BlockType:
    def widened(fields: tuple[Field, ...]) -> tuple[Field, ...]:
        return tuple(replace(f, type=type_) if f.type is INT else f for f in fields)

    return replace(
        block,
        name=f"{block.name}_{type_.name}",
        inputs=widened(block.inputs),
        outputs=widened(block.outputs),
        stored=widened(block.stored),
        step=make(int(type_.least), int(type_.most)),
    )


WIDE_COUNTERS: Final[Mapping[str, BlockType]] = {
    made.name: made
    for block, make in ((CTU, _up), (CTD, _down), (CTUD, _both))
    for type_ in (DINT, LINT, UINT, UDINT, ULINT)
    for made in [_of_type(block, type_, make)]
}
"""Source: IEC 61131-3:2003 Table 36, from memory."""
