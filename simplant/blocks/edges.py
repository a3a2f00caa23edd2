"""The standard edge detectors: rising R_TRIG, falling F_TRIG.

Q is TRUE for the one call that sees the edge. Rule: the bodies are the standard's, letter by
letter, with what follows from them at the first call.
"""

from typing import Final, NamedTuple

from simplant.blocks.block import BlockType, fields, never_due
from simplant.timebase import Ns
from simplant.values import BOOL


class Edge(NamedTuple):
    """State of an edge detector; `M` is the standard's memory."""

    CLK: bool = False
    Q: bool = False
    M: bool = False


def r_trig(state: Edge, _now: Ns) -> Edge:
    """See a rise: Q := CLK AND NOT M; M := CLK.

    | M | CLK | Q | M next |
    |---|-----|---|--------|
    | 0 | 0   | 0 | 0      |
    | 0 | 1   | 1 | 1      |
    | 1 | 0   | 0 | 0      |
    | 1 | 1   | 0 | 1      |

    M starts FALSE, so a first call with CLK TRUE gives Q TRUE.

    Source: IEC 61131-3:2003 Table 35, from memory (tests/external/test_iec_edges_bistables).
    """
    CLK, _Q, M = state
    return Edge(CLK, CLK and not M, CLK)


def f_trig(state: Edge, _now: Ns) -> Edge:
    """See a fall: Q := NOT CLK AND NOT M; M := NOT CLK.

    | M | CLK | Q | M next |
    |---|-----|---|--------|
    | 0 | 0   | 1 | 1      |
    | 0 | 1   | 0 | 0      |
    | 1 | 0   | 0 | 1      |
    | 1 | 1   | 0 | 0      |

    M starts FALSE, so a first call with CLK FALSE gives Q TRUE for that call, although nothing fell. That is the
    standard's body taken literally; we keep it, since a program must live with it in the controller too.

    Source: IEC 61131-3:2003 Table 35, from memory (tests/external/test_iec_edges_bistables).
    """
    CLK, _Q, M = state
    return Edge(CLK, not CLK and not M, not CLK)


R_TRIG: Final = BlockType(
    "R_TRIG",
    inputs=fields(CLK=BOOL),
    outputs=fields(Q=BOOL),
    stored=fields(CLK=BOOL, Q=BOOL, M=BOOL),
    state=Edge,
    step=r_trig,
    due=never_due,
    edge=True,
    memory=("M",),
)
F_TRIG: Final = BlockType(
    "F_TRIG",
    inputs=fields(CLK=BOOL),
    outputs=fields(Q=BOOL),
    stored=fields(CLK=BOOL, Q=BOOL, M=BOOL),
    state=Edge,
    step=f_trig,
    due=never_due,
    edge=True,
    memory=("M",),
)
