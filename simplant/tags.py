"""Tags: the named, typed points that program and plant share, as pure data.

The I/O list that declares the physical ones is wiring/io_list.py; their values live in
kernel/. Rule: a tag is checked where it is made, so whoever holds one can trust its name,
its type and its address.
"""

import re
from dataclasses import dataclass
from enum import Enum
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.values import TYPES, ElementaryType, Value


class Direction(Enum):
    """Which way a tag goes, seen from the controller."""

    INPUT = "input"
    OUTPUT = "output"
    MEMORY = "memory"


_LETTER: Final = {Direction.INPUT: "I", Direction.OUTPUT: "Q", Direction.MEMORY: "M"}
_ADDRESS: Final = re.compile(r"%([IQM])([XBWDL]?)(\d+)(?:\.(\d+))?", re.IGNORECASE)
_SIZE_OF: Final = {1: "X", 8: "B", 16: "W", 32: "D", 64: "L"}
_IDENTIFIER: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_WORDS: Final = """
    ACTION AND ANY ARRAY AT BEGIN BY CASE CONFIGURATION CONSTANT CONTINUE DATE DO DT ELSE ELSIF END EXIT FALSE FOR
    FUNCTION FUNCTION_BLOCK IF INITIAL_STEP MOD NON_RETAIN NOT NULL OF ON OR PROGRAM READ_ONLY READ_WRITE REPEAT
    RESOURCE RETAIN RETURN STEP STRUCT TASK THEN TO TOD TRANSITION TRUE TYPE UNTIL VAR VAR_EXTERNAL VAR_GLOBAL VAR_INPUT
    VAR_IN_OUT VAR_OUTPUT VAR_TEMP WHILE WITH XOR CTD CTU CTUD F_TRIG R_TRIG RS SR TOF TON TP
"""
_RESERVED: Final = frozenset(_WORDS.split()) | frozenset(TYPES)


@dataclass(frozen=True, slots=True, order=True)
class Address:
    """A directly represented place in the controller.

    Args:
        location: `I`, `Q` or `M`.
        size: `X` (one bit), `B`, `W`, `D` or `L` (8, 16, 32, 64 bits).
        number: the byte of a bit, or the number of the item.
        bit: 0 to 7 for a bit, else 0.

    Source: prefixes from IEC 61131-3:2003, 2.4.1.1 and Table 15. What the numbers mean is left to the maker; here
    `%IX0.3` is byte 0, bit 3, which is convention. Checked in `tests/wiring/test_tags.py`.
    """

    location: str
    size: str
    number: int
    bit: int = 0

    def __str__(self) -> str:
        """Give it as the standard writes it, with its size letter."""
        tail = f".{self.bit}" if self.size == "X" else ""
        return f"%{self.location}{self.size}{self.number}{tail}"


def parse_address(text: str) -> Address:
    """Read `%IX0.3`, `%I0.3` (the same bit) or `%QW2`; letters in either case.

    Raises:
        ProgramError: it is not an address, or its bit is above 7.
    """
    match = _ADDRESS.fullmatch(text)
    size = (match[2].upper() or "X") if match else ""
    if match is None or (size == "X") is (match[4] is None):
        raise ProgramError(f"{text!r} is not an address", mend="write a bit as %IX0.3, a word as %IW2")
    bit = int(match[4] or 0)
    if bit > 7:
        raise ProgramError(f"address {text!r} has bit {bit}", "a byte has bits 0 to 7")
    return Address(match[1].upper(), size, int(match[3]), bit)


def name_problem(name: str) -> str:
    """Say why a name cannot be a tag's, or give "".

    Source: IEC 61131-3, identifiers and keywords (from memory: IEC 61131-3:2003, 2.1.2 and Annex C): a letter or one
    underscore, then letters, digits and single underscores, none at the end; letter case does not count.
    """
    if not name:
        return "it is empty"
    if not _IDENTIFIER.fullmatch(name):
        return "a name is made of letters A to Z, digits and underscores, and does not begin with a digit"
    if "__" in name or name.endswith("_"):
        return "two underscores in a row and one at the end are not allowed"
    if name.upper() in _RESERVED:
        return f"{name.upper()} is a word of the standard's languages"
    return ""


@dataclass(frozen=True, slots=True)
class Tag:
    """A named, typed point.

    Args:
        name: an identifier of IEC 61131-3; a Boolean is named for what is true when it is 1.
        type: its elementary type.
        direction: input, output or memory, seen from the controller.
        address: `%IX0.0`, or "" if it is not located; kept in the standard's full form.
        initial: value after a cold restart; None = the type's own initial value.
        retain: kept over a warm restart.
        description: one line for people.
        place: where it was declared.

    Raises:
        ProgramError: the name, the initial value or the address is wrong, or the address does not fit.
    """

    name: str
    type: ElementaryType
    direction: Direction = Direction.MEMORY
    address: str = ""
    initial: Value | None = None
    retain: bool = False
    description: str = ""
    place: Place | None = None

    def __post_init__(self) -> None:
        """Check the name, the address and the initial value."""
        why = name_problem(self.name)
        if why:
            raise ProgramError(f"{self.name!r} cannot be the name of a tag", why, place=self.place)
        if self.address:
            address = parse_address(self.address)
            why = address_problem(address, self.type, self.direction)
            if why:
                raise ProgramError(f"tag {self.name!r} cannot have address {address}", why, place=self.place)
            object.__setattr__(self, "address", str(address))
        first = self.type.default if self.initial is None else self.type.check(self.initial)
        object.__setattr__(self, "initial", first)


def address_problem(address: Address, kind: ElementaryType, direction: Direction) -> str:
    """Say why an address does not fit a type or a direction, or give ""."""
    if address.location != _LETTER[direction]:
        return f"addresses of this direction ({direction.value}) begin with %{_LETTER[direction]}"
    size = _SIZE_OF.get(kind.bits)
    if size is None:
        return f"{kind.name} has no fixed size"
    if size != address.size:
        return f"{kind.name} is of size {size}, the address of size {address.size}"
    return ""
