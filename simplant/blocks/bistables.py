"""The standard bistables: set-dominant SR, reset-dominant RS.

They answer to levels, not edges. Rule: the input whose name ends in 1 wins when both are TRUE.
"""

from typing import Final, NamedTuple

from simplant.blocks.block import BlockType, fields, never_due
from simplant.timebase import Ns
from simplant.values import BOOL


class SetDominant(NamedTuple):
    """State of an SR."""

    S1: bool = False
    R: bool = False
    Q1: bool = False


class ResetDominant(NamedTuple):
    """State of an RS."""

    S: bool = False
    R1: bool = False
    Q1: bool = False


def sr(state: SetDominant, _now: Ns) -> SetDominant:
    """Latch, set wins: Q1 := S1 OR (NOT R AND Q1).

    | S1 | R | Q1 next |
    |----|---|---------|
    | 0  | 0 | Q1      |
    | 0  | 1 | 0       |
    | 1  | 0 | 1       |
    | 1  | 1 | 1       |

    Source: IEC 61131-3:2003 Table 34, from memory (tests/external/test_iec_edges_bistables).
    """
    S1, R, Q1 = state
    return SetDominant(S1, R, S1 or (not R and Q1))


def rs(state: ResetDominant, _now: Ns) -> ResetDominant:
    """Latch, reset wins: Q1 := NOT R1 AND (S OR Q1).

    | S | R1 | Q1 next |
    |---|----|---------|
    | 0 | 0  | Q1      |
    | 0 | 1  | 0       |
    | 1 | 0  | 1       |
    | 1 | 1  | 0       |

    Source: IEC 61131-3:2003 Table 34, from memory (tests/external/test_iec_edges_bistables).
    """
    S, R1, Q1 = state
    return ResetDominant(S, R1, not R1 and (S or Q1))


SR: Final = BlockType(
    "SR",
    inputs=fields(S1=BOOL, R=BOOL),
    outputs=fields(Q1=BOOL),
    stored=fields(S1=BOOL, R=BOOL, Q1=BOOL),
    state=SetDominant,
    step=sr,
    due=never_due,
    memory=("Q1",),
)
RS: Final = BlockType(
    "RS",
    inputs=fields(S=BOOL, R1=BOOL),
    outputs=fields(Q1=BOOL),
    stored=fields(S=BOOL, R1=BOOL, Q1=BOOL),
    state=ResetDominant,
    step=rs,
    due=never_due,
    memory=("Q1",),
)
