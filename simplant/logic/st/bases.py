"""What the standard itself names: elementary types, standard blocks, addresses.

Rule: letter case does not count.
"""

from typing import Final

from simplant.blocks import BLOCKS, BlockType
from simplant.blocks.steps import STEP
from simplant.blocks.wide_counters import WIDE_COUNTERS
from simplant.values import DATE, DATE_TYPES, DT, LTIME, STRING, TOD, TYPES, WSTRING, ElementaryType

BASES: Final[dict[str, ElementaryType]] = {
    **TYPES, **DATE_TYPES, "WSTRING": WSTRING, "TIME_OF_DAY": TOD, "DATE_AND_TIME": DT, "LDATE": DATE, "LTOD": TOD,
    "LDT": DT, "LTIME_OF_DAY": TOD, "LDATE_AND_TIME": DT, "CHAR": STRING, "WCHAR": WSTRING, "LTIME": LTIME,
}  # fmt: skip
STEP_OF_CHART: Final = "STEP OF A CHART"
"""The type of the hidden variable that each step of a chart is; no program can write it."""


def block_named(key: str) -> BlockType | None:
    """Find a standard block; typed names of edition 3 (`TON_TIME`, `CTU_INT`) are the block itself."""
    if key in BLOCKS:
        return BLOCKS[key]
    if key == STEP_OF_CHART:
        return STEP
    if key in WIDE_COUNTERS:
        return WIDE_COUNTERS[key]
    stem, _, kind = key.rpartition("_")
    return BLOCKS.get(stem) if kind in ("TIME", "LTIME", "INT") else None
