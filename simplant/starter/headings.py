"""What the headings of I/O lists from elsewhere mean: each column of `io.csv` and what it is often called.

Who reads lists by them is lists.py. Rule: only words whose meaning is plain; any other column is left out and told.
"""

from collections.abc import Mapping
from re import sub
from typing import Final

from simplant.wiring.io_file import COLUMNS

CALLED: Final[Mapping[str, tuple[str, ...]]] = {
    "tag": ("tag name", "name", "symbol", "symbolic name", "signal name", "variable", "point", "label", "id"),
    "type": ("data type", "datatype", "signal type", "kind", "i/o type", "io type"),
    "direction": ("i/o", "io", "in/out", "dir", "input/output", "di/do"),
    "address": ("addr", "plc address", "i/o address", "io address", "channel", "absolute address"),
    "device": ("part", "equipment", "component", "field device", "device id", "device tag", "item"),
    "contact": ("no/nc", "nc/no", "contact type", "contact form", "normal state", "logic"),
    "signal": ("output type", "pnp/npn", "sensor type"),
    "supply": ("voltage", "power", "power supply", "supply voltage", "fed by"),
    "input": ("input type", "input class"),
    "filter": ("debounce", "input filter", "filter ms", "debounce ms", "delay"),
    "safe": ("safe state", "fail state", "de-energised state", "off state"),
    "range": ("signal range", "measuring range", "electrical range"),
    "scale": ("scaling", "raw range", "counts"),
    "description": ("comment", "text", "remark", "remarks", "function", "designation", "note", "notes", "descr"),
    "wire": ("wire no", "wire number", "core", "conductor"),
    "terminal": ("terminal no", "terminal strip", "strip", "clamp"),
    "cable": ("cable no", "cable number", "cable id"),
}  # fmt: skip
"""Column of `io.csv` -> other words for it, small."""

_MEANS: Final = {word: name for name in COLUMNS for word in (name, *CALLED[name])}


def heading(cell: str) -> str:
    """Give the column that a heading stands for; "" if none."""
    plain = sub(r"\s+", " ", sub(r"[_.:()\[\]*#]", " ", cell.lower())).strip()
    return _MEANS.get(plain, "")
