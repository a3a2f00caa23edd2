"""What may follow a dot: the fields of structures, the values of function blocks, the flag and the time of a step.

Rule: a field is told as it was declared, with the section that it stands in.
"""

from typing import Final

from simplant.blocks.steps import STEP
from simplant.logic.st.types import Array, Cell, Overlap, Standard, Struct, StType, elementary
from simplant.values import BOOL, TIME


def field_type(type_: StType, name: str) -> tuple[str, StType, str] | None:
    """Find a field, or a value of a function block: its name as declared, its type and its section."""
    if isinstance(type_, Struct | Overlap):
        found = type_.fields.get(name.upper())
        return (found.name, found.type, found.section) if found else None
    if isinstance(type_, Standard) and type_.block is STEP:
        part = _OF_STEP.get(name.upper())
        return (part[0], elementary(part[1]), "VAR_OUTPUT") if part else None
    if isinstance(type_, Standard):
        block = type_.block
        for section, group in (("VAR_INPUT", block.inputs), ("VAR_OUTPUT", block.outputs)):
            for each in group:
                if each.name == name.upper():
                    return each.name, elementary(each.type), section
    return None


def field_names(type_: StType) -> list[str]:
    """Give the names that may follow a dot."""
    if isinstance(type_, Struct | Overlap):
        return [f.name for f in type_.fields.values()]
    if isinstance(type_, Standard) and type_.block is STEP:
        return list(_OF_STEP)
    if isinstance(type_, Standard):
        return [f.name for f in (*type_.block.inputs, *type_.block.outputs)]
    return []


_OF_STEP: Final = {"X": ("X", BOOL), "T": ("ET", TIME)}
"""What may follow the name of a step, and where it is stored."""


def is_instance(type_: StType) -> bool:
    """Say whether a variable of a type is an instance of a function block, or an array of such."""
    while isinstance(type_, Array | Cell):
        type_ = type_.of
    return isinstance(type_, Standard) or (isinstance(type_, Struct) and type_.unit != "")
