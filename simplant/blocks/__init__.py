"""Standard function blocks of IEC 61131-3: a frozen state and one step function each."""

from collections.abc import Mapping
from typing import Final

from simplant.blocks.bistables import RS, SR
from simplant.blocks.block import BlockType, Field, State, fields, never_due
from simplant.blocks.conformance import check_block
from simplant.blocks.counters import CTD, CTU, CTUD
from simplant.blocks.edges import F_TRIG, R_TRIG
from simplant.blocks.timers import TOF, TON, TP

BLOCKS: Final[Mapping[str, BlockType]] = {
    block.name: block for block in (TON, TOF, TP, CTU, CTD, CTUD, R_TRIG, F_TRIG, SR, RS)
}
"""Every standard block by its keyword."""

__all__ = [
    "BLOCKS",
    "CTD",
    "CTU",
    "CTUD",
    "F_TRIG",
    "RS",
    "R_TRIG",
    "SR",
    "TOF",
    "TON",
    "TP",
    "BlockType",
    "Field",
    "State",
    "check_block",
    "fields",
    "never_due",
]
