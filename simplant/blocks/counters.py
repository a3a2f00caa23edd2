"""The standard counters: up CTU, down CTD, both CTUD.

Their counting inputs are edge-qualified: each keeps its level of the last call. Rule: CV is an
INT that stops at its limits and never wraps.
"""

from typing import Final, NamedTuple

from simplant.blocks.block import BlockType, fields, never_due
from simplant.timebase import Ns
from simplant.values import BOOL, INT

_LEAST: Final = int(INT.least)
_MOST: Final = int(INT.most)


class UpCounter(NamedTuple):
    """State of a CTU: `M` is CU in the last call."""

    CU: bool = False
    R: bool = False
    PV: int = 0
    Q: bool = False
    CV: int = 0
    M: bool = False


class DownCounter(NamedTuple):
    """State of a CTD: `M` is CD in the last call."""

    CD: bool = False
    LD: bool = False
    PV: int = 0
    Q: bool = False
    CV: int = 0
    M: bool = False


class UpDownCounter(NamedTuple):
    """State of a CTUD: `M_up` and `M_down` are CU and CD in the last call."""

    CU: bool = False
    CD: bool = False
    R: bool = False
    LD: bool = False
    PV: int = 0
    QU: bool = False
    QD: bool = False
    CV: int = 0
    M_up: bool = False
    M_down: bool = False


def ctu(state: UpCounter, _now: Ns) -> UpCounter:
    """Count rises of CU up; Q := CV >= PV.

    | R | CU    | CV                       |
    |---|-------|--------------------------|
    | 1 | any   | 0 (a rise is lost)       |
    | 0 | rises | CV + 1, up to 32767      |
    | 0 | other | CV                       |

    It counts on past PV. An instance first called with CU TRUE counts that as a rise.

    Source: IEC 61131-3:2003 Table 36, from memory (tests/external/test_iec_counters).
    """
    CU, R, PV, _Q, CV, M = state
    if R:
        CV = 0
    elif CU and not M and CV < _MOST:
        CV += 1
    return UpCounter(CU, R, PV, CV >= PV, CV, CU)


def ctd(state: DownCounter, _now: Ns) -> DownCounter:
    """Count rises of CD down; Q := CV <= 0.

    | LD | CD    | CV                       |
    |----|-------|--------------------------|
    | 1  | any   | PV (a rise is lost)      |
    | 0  | rises | CV - 1, down to -32768   |
    | 0  | other | CV                       |

    A fresh instance has CV = 0, so Q is TRUE after its first call.

    Source: IEC 61131-3:2003 Table 36, from memory (tests/external/test_iec_counters).
    """
    CD, LD, PV, _Q, CV, M = state
    if LD:
        CV = PV
    elif CD and not M and CV > _LEAST:
        CV -= 1
    return DownCounter(CD, LD, PV, CV <= 0, CV, CD)


def ctud(state: UpDownCounter, _now: Ns) -> UpDownCounter:
    """Count rises of CU up and of CD down; QU := CV >= PV, QD := CV <= 0.

    | R | LD | CU    | CD    | CV                     |
    |---|----|-------|-------|------------------------|
    | 1 | any| any   | any   | 0                      |
    | 0 | 1  | any   | any   | PV                     |
    | 0 | 0  | rises | rises | CV                     |
    | 0 | 0  | rises | other | CV + 1, up to 32767    |
    | 0 | 0  | other | rises | CV - 1, down to -32768 |

    Source: IEC 61131-3:2003 Table 36, from memory (tests/external/test_iec_counters).
    """
    CU, CD, R, LD, PV, _QU, _QD, CV, M_up, M_down = state
    if R:
        CV = 0
    elif LD:
        CV = PV
    else:
        change = (CU and not M_up) - (CD and not M_down)
        CV = min(max(CV + change, _LEAST), _MOST)
    return UpDownCounter(CU, CD, R, LD, PV, CV >= PV, CV <= 0, CV, CU, CD)


CTU: Final = BlockType(
    "CTU",
    inputs=fields(CU=BOOL, R=BOOL, PV=INT),
    outputs=fields(Q=BOOL, CV=INT),
    stored=fields(CU=BOOL, R=BOOL, PV=INT, Q=BOOL, CV=INT, M=BOOL),
    state=UpCounter,
    step=ctu,
    due=never_due,
    edge=True,
    memory=("CV", "M"),
)
CTD: Final = BlockType(
    "CTD",
    inputs=fields(CD=BOOL, LD=BOOL, PV=INT),
    outputs=fields(Q=BOOL, CV=INT),
    stored=fields(CD=BOOL, LD=BOOL, PV=INT, Q=BOOL, CV=INT, M=BOOL),
    state=DownCounter,
    step=ctd,
    due=never_due,
    edge=True,
    memory=("CV", "M"),
)
CTUD: Final = BlockType(
    "CTUD",
    inputs=fields(CU=BOOL, CD=BOOL, R=BOOL, LD=BOOL, PV=INT),
    outputs=fields(QU=BOOL, QD=BOOL, CV=INT),
    stored=fields(
        **dict.fromkeys(("CU", "CD", "R", "LD"), BOOL), PV=INT, QU=BOOL, QD=BOOL, CV=INT, M_up=BOOL, M_down=BOOL
    ),
    state=UpDownCounter,
    step=ctud,
    due=never_due,
    edge=True,
    memory=("CV", "M_up", "M_down"),
)
