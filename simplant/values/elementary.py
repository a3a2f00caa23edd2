"""The elementary types of IEC 61131-3: name, range, default, wrap, check of a written value.

What a tag holds is decided here; converting and dividing is arithmetic.py, writing values for
people is display.py, reading literals from text is logic/. Rule: arithmetic is exact in Python
integers and is brought back into its type by `wrap` at the end, never on the way.
"""

import math
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from simplant.errors import ProgramError, nearest

Value = bool | int | float | str
"""What a tag holds: TIME is an int of nanoseconds, REAL a float."""


class Kind(Enum):
    """The families of types that convert and compute alike."""

    BOOL = "BOOL"
    INTEGER = "integer"
    BITS = "bit string"
    REAL = "real number"
    TIME = "duration"
    DATE = "date or time of day"
    STRING = "text"
    REFERENCE = "reference"


_TAKEN: Final[Mapping[Kind, tuple[type, ...]]] = {
    Kind.BOOL: (bool, int),
    Kind.INTEGER: (int,),
    Kind.BITS: (int,),
    Kind.REAL: (int, float),
    Kind.TIME: (int,),
    Kind.DATE: (int,),
    Kind.STRING: (str,),
    Kind.REFERENCE: (str,),
}
_SINGLE: Final = struct.Struct("<f")
_WRITE: Final[Mapping[Kind, str]] = {
    Kind.BOOL: "write True or False",
    Kind.INTEGER: "write a whole number",
    Kind.BITS: "write a whole number from 0 up",
    Kind.REAL: "write a number",
    Kind.TIME: "write a duration, for instance ms(250)",
    Kind.DATE: "write a whole number of nanoseconds",
    Kind.STRING: "write text in quotes",
    Kind.REFERENCE: "write REF(variable) or NULL",
}


@dataclass(frozen=True, slots=True)
class ElementaryType:
    """One elementary type.

    Args:
        name: the standard's keyword, in capitals.
        kind: the family it belongs to.
        bits: width; 0 for STRING.
        signed: whether the first bit is a sign.
        default: value of a variable that is given none.
        least: smallest value; 0 for STRING, which has no bounds (nor a greatest length here).
        most: greatest value; for reals the greatest finite one.

    Source: IEC 61131-3:2003 Table 10; TIME is a choice: 64-bit nanoseconds, like LTIME (tests/external/test_iec_types).
    """

    name: str
    kind: Kind
    bits: int
    signed: bool
    default: Value
    least: int | float
    most: int | float

    @property
    def is_integer(self) -> bool:
        """Whether it is one of the eight integer types (ANY_INT)."""
        return self.kind is Kind.INTEGER

    @property
    def is_bits(self) -> bool:
        """Whether it is BOOL or a bit string (ANY_BIT)."""
        return self.kind in (Kind.BOOL, Kind.BITS)

    @property
    def is_number(self) -> bool:
        """Whether it is an integer or real type (ANY_NUM)."""
        return self.kind in (Kind.INTEGER, Kind.REAL)

    def wrap(self, value: Value) -> Value:
        """Bring an exact result into this type.

        Args:
            value: an exact integer of any size; for REAL and LREAL any number, for STRING text.

        Returns:
            The low `bits` bits read as two's complement (of BOOL the lowest bit); REAL rounded once to single
            precision, infinite beyond it; LREAL and STRING as they are.

        Raises:
            ProgramError: the value is of another kind altogether (a fraction for INT, text for REAL).
        """
        match self.kind, value:
            case ((Kind.STRING | Kind.REFERENCE), str()):
                return value
            case Kind.REAL, int() | float():
                return single(value) if self.bits == 32 else _double(value)
            case Kind.BOOL, int():
                return bool(value & 1)
            case ((Kind.INTEGER | Kind.BITS | Kind.TIME | Kind.DATE), int()):
                low = value & (1 << self.bits) - 1
                return low - (1 << self.bits) if self.signed and low >> self.bits - 1 else low
            case _:
                raise self._misfit(value)

    def check(self, value: Value) -> Value:
        """Check a value that someone wrote for this type.

        Args:
            value: a literal. BOOL takes 0 and 1 as well; REAL and LREAL take whole numbers.

        Returns:
            The value as this type holds it: 1 becomes True for BOOL, 0.1 the nearest single for REAL.

        Raises:
            ProgramError: wrong kind (True is no integer) or out of range; literals are never wrapped.
        """
        if type(value) not in _TAKEN[self.kind]:
            raise self._misfit(value)
        held = self.wrap(value)
        judged = held if self.kind is Kind.REAL else value
        if not isinstance(judged, str) and not self.least <= judged <= self.most:
            wider = [t.name for t in TYPES.values() if t.kind is self.kind and t.least <= judged <= t.most]
            least, most = (f"{limit:.8g}" if self.kind is Kind.REAL else limit for limit in (self.least, self.most))
            raise ProgramError(
                f"{value} does not fit {self.name}",
                f"{self.name} goes from {least} to {most}",
                f"use {wider[0]} or a value in range" if wider else "use a value in range",
            )
        return held

    def _misfit(self, value: Value) -> ProgramError:
        found = {bool: "a BOOL", int: "a whole number", float: "a real number", str: "text"}
        return ProgramError(
            f"{self.name} cannot hold {value!r}",
            f"it is {found.get(type(value), 'of Python type ' + type(value).__name__)}, not a {self.kind.value}",
            _WRITE[self.kind],
        )


def _double(value: float) -> float:
    try:
        return float(value)
    except OverflowError:  # a whole number beyond every double
        return math.inf if value > 0 else -math.inf


def single(value: float) -> float:
    """Round a number once to single precision; beyond it it is infinite."""
    if isinstance(value, int):  # keep 26 bits, the last one standing for all the rest, so that it is rounded once
        shift = max(value.bit_length() - 26, 0)
        value = _double((value >> shift | (value & (1 << shift) - 1 != 0)) << shift)
    try:
        return float(_SINGLE.unpack(_SINGLE.pack(value))[0])
    except OverflowError:
        return math.copysign(math.inf, value)


def _whole(name: str, kind: Kind, bits: int, *, signed: bool = False) -> ElementaryType:
    least, most = (-(1 << bits - 1), (1 << bits - 1) - 1) if signed else (0, (1 << bits) - 1)
    return ElementaryType(name, kind, bits, signed, 0, least, most)


def _real(name: str, bits: int, most: float) -> ElementaryType:
    return ElementaryType(name, Kind.REAL, bits, signed=True, default=0.0, least=-most, most=most)


BOOL: Final = ElementaryType("BOOL", Kind.BOOL, 1, signed=False, default=False, least=0, most=1)
SINT: Final = _whole("SINT", Kind.INTEGER, 8, signed=True)
INT: Final = _whole("INT", Kind.INTEGER, 16, signed=True)
DINT: Final = _whole("DINT", Kind.INTEGER, 32, signed=True)
LINT: Final = _whole("LINT", Kind.INTEGER, 64, signed=True)
USINT: Final = _whole("USINT", Kind.INTEGER, 8)
UINT: Final = _whole("UINT", Kind.INTEGER, 16)
UDINT: Final = _whole("UDINT", Kind.INTEGER, 32)
ULINT: Final = _whole("ULINT", Kind.INTEGER, 64)
BYTE: Final = _whole("BYTE", Kind.BITS, 8)
WORD: Final = _whole("WORD", Kind.BITS, 16)
DWORD: Final = _whole("DWORD", Kind.BITS, 32)
LWORD: Final = _whole("LWORD", Kind.BITS, 64)
REAL: Final = _real("REAL", 32, (2.0 - 2.0**-23) * 2.0**127)
LREAL: Final = _real("LREAL", 64, (2.0 - 2.0**-52) * 2.0**1023)
TIME: Final = _whole("TIME", Kind.TIME, 64, signed=True)
LTIME: Final = _whole("LTIME", Kind.TIME, 64, signed=True)
DATE: Final = _whole("DATE", Kind.DATE, 64, signed=True)
TOD: Final = _whole("TOD", Kind.DATE, 64, signed=True)
DT: Final = _whole("DT", Kind.DATE, 64, signed=True)
STRING: Final = ElementaryType("STRING", Kind.STRING, 0, signed=False, default="", least=0, most=0)
WSTRING: Final = ElementaryType("WSTRING", Kind.STRING, 0, signed=False, default="", least=0, most=0)
REFERENCE: Final = ElementaryType("REF_TO", Kind.REFERENCE, 0, signed=False, default="NULL", least=0, most=0)
"""REF_TO: holds the name of a place as people write it (`line[2].motor`); programs hold it, tags do not."""

_WHOLE_TYPES: Final = (BOOL, SINT, INT, DINT, LINT, USINT, UINT, UDINT, ULINT, BYTE, WORD, DWORD, LWORD)
TYPES: Final[Mapping[str, ElementaryType]] = {
    each.name: each for each in (*_WHOLE_TYPES, REAL, LREAL, TIME, LTIME, STRING)
}
"""Every elementary type by name, the narrower ones of a family first."""

DATE_TYPES: Final[Mapping[str, ElementaryType]] = {each.name: each for each in (DATE, TOD, DT)}
"""DATE and DT are nanoseconds since 1970-01-01, TOD since midnight; programs hold them, tags do not."""


def type_named(name: str) -> ElementaryType:
    """Find a type by its keyword, in capitals or not; raises `ProgramError` naming the nearest."""
    found = TYPES.get(name.upper())
    if found is None:
        raise ProgramError(f"there is no type {name!r}", mend=nearest(name.upper(), TYPES))
    return found
