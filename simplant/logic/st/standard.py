"""The standard functions: their parameters, and of what kind each is.

What they compute is expr/library.py; reading a call's arguments is calls.py. Typed names (`SHL_DWORD`, `LIMIT_INT`) are
the overloaded function with its inputs of that type. Rule: one row for each function.
"""

import re
from typing import Final

from simplant.logic.st.adapt import Val
from simplant.logic.st.bases import BASES
from simplant.logic.st.conversions import conversion, cut_off, from_decimal, lettered, to_decimal
from simplant.logic.st.handlers import (
    Given,
    Signature,
    absolute,
    chained,
    chosen,
    folded,
    in_order,
    inverted,
    judged,
    moved,
    of_types,
    real,
    real_pair,
    shifted,
    text,
)
from simplant.logic.st.types import elementary
from simplant.values import DATE, DT, INT, LINT, STRING, TOD, TYPES, Kind

_TYPES: Final = BASES
_YEAR: Final = ("YEAR", "MONTH", "DAY")
_HOUR: Final = ("HOUR", "MINUTE", "SECOND", "MILLISECOND")
_PLAIN: Final = {
    **{name: Signature(("IN",), 1, more=False, handler=real) for name in
       ("SQRT", "LN", "LOG", "EXP", "SIN", "COS", "TAN", "ASIN", "ACOS", "ATAN")},
    **{name: Signature(("IN1", "IN2"), 2, more=True, handler=folded(sign)) for name, sign in
       (("ADD", "+"), ("MUL", "*"), ("AND", "AND"), ("OR", "OR"), ("XOR", "XOR"))},
    **{name: Signature(("IN1", "IN2"), 2, more=False, handler=folded(sign)) for name, sign in
       (("SUB", "-"), ("DIV", "/"), ("MOD", "MOD"), ("EXPT", "**"), ("NE", "<>"), ("ADD_TIME", "+"), ("SUB_TIME", "-"),
        ("MUL_TIME", "*"), ("DIV_TIME", "/"), ("MULTIME", "*"), ("DIVTIME", "/"), ("ADD_TOD_TIME", "+"),
        ("ADD_DT_TIME", "+"), ("SUB_DATE_DATE", "-"), ("SUB_TOD_TIME", "-"), ("SUB_TOD_TOD", "-"),
        ("SUB_DT_TIME", "-"), ("SUB_DT_DT", "-"))},
    **{name: Signature(("IN1", "IN2"), 2, more=True, handler=chained(sign)) for name, sign in
       (("GT", ">"), ("GE", ">="), ("EQ", "="), ("LE", "<="), ("LT", "<"))},
    **{name: Signature(("IN", "N"), 2, more=False, handler=shifted) for name in ("SHL", "SHR", "ROL", "ROR")},
    "ABS": Signature(("IN",), 1, more=False, handler=absolute),
    "IS_VALID": Signature(("IN",), 1, more=False, handler=judged(Kind.REAL, "a real number")),
    "IS_VALID_BCD": Signature(("IN",), 1, more=False, handler=judged(Kind.BITS, "a bit string")),
    **{name: Signature(("IN",), 1, more=False, handler=in_order) for name in
       ("TO_BIG_ENDIAN", "TO_LITTLE_ENDIAN", "FROM_BIG_ENDIAN", "FROM_LITTLE_ENDIAN")},
    "NOT": Signature(("IN",), 1, more=False, handler=inverted),
    "MOVE": Signature(("IN",), 1, more=False, handler=moved),
    "ATAN2": Signature(("Y", "X"), 2, more=False, handler=real_pair),
    "MAX": Signature(("IN1", "IN2"), 1, more=True, handler=chosen(0)),
    "MIN": Signature(("IN1", "IN2"), 1, more=True, handler=chosen(0)),
    "LIMIT": Signature(("MN", "IN", "MX"), 3, more=False, handler=chosen(0)),
    "SEL": Signature(("G", "IN0", "IN1"), 3, more=False, handler=chosen(1)),
    "MUX": Signature(("K", "IN0", "IN1"), 2, more=True, handler=chosen(1)),
    "LEN": Signature(("IN",), 1, more=False, handler=text((0,), INT)),
    "LEFT": Signature(("IN", "L"), 2, more=False, handler=text((0,), STRING)),
    "RIGHT": Signature(("IN", "L"), 2, more=False, handler=text((0,), STRING)),
    "MID": Signature(("IN", "L", "P"), 3, more=False, handler=text((0,), STRING)),
    "CONCAT": Signature(("IN1", "IN2"), 1, more=True, handler=text((), STRING)),
    "INSERT": Signature(("IN1", "IN2", "P"), 3, more=False, handler=text((0, 1), STRING)),
    "DELETE": Signature(("IN", "L", "P"), 3, more=False, handler=text((0,), STRING)),
    "REPLACE": Signature(("IN1", "IN2", "L", "P"), 4, more=False, handler=text((0, 1), STRING)),
    "FIND": Signature(("IN1", "IN2"), 2, more=False, handler=text((0, 1), INT)),
    "TRUNC": Signature(("IN",), 1, more=False, handler=cut_off(None)),
    "CONCAT_DATE_TOD": Signature(("DATE", "TOD"), 2, more=False, handler=of_types("CONCAT_DATE_TOD", DT, DATE, TOD)),
    "CONCAT_DATE": Signature(_YEAR, 3, more=False, handler=of_types("CONCAT_DATE", DATE, *[LINT] * 3)),
    "CONCAT_TOD": Signature(_HOUR, 4, more=False, handler=of_types("CONCAT_TOD", TOD, *[LINT] * 4)),
    "CONCAT_DT": Signature(_YEAR + _HOUR, 7, more=False, handler=of_types("CONCAT_DT", DT, *[LINT] * 7)),
    "DAY_OF_WEEK": Signature(("IN",), 1, more=False, handler=of_types("DAY_OF_WEEK", INT, DATE)),
    **{name: Signature(("IN",), 1, more=False, handler=of_types(f"DT_TO_{part.name}", part, DT)) for name, part in
       (("DT_TO_DATE", DATE), ("DT_TO_TOD", TOD), ("DATE_AND_TIME_TO_DATE", DATE),
        ("DATE_AND_TIME_TO_TIME_OF_DAY", TOD), ("DATE_AND_TIME_TO_TOD", TOD), ("DT_TO_TIME_OF_DAY", TOD))},
}  # fmt: skip
_WHOLE: Final = "BYTE|WORD|DWORD|LWORD|U?[SDL]?INT"
_LETTERS: Final = re.compile(f"W?CHAR_TO_({_WHOLE})|(?:{_WHOLE})_TO_(W?CHAR)")
_LONG: Final = re.compile(r"_L(?=(?:TIME|TOD|DT|DATE)(?:_|\Z))")
_TYPED: Final = re.compile(r"(\w+?)_(" + "|".join(sorted(_TYPES, key=len, reverse=True)) + r")\Z")


def signature(name: str) -> Signature | None:
    """Find a standard function by its name in capitals; None if there is none."""
    plain = _PLAIN.get(name) or _PLAIN.get(_LONG.sub("_", name))
    if plain is not None:
        return plain
    letter = _LETTERS.fullmatch(name)
    if letter is not None:
        handler = lettered("CODE" if letter[1] else "LETTER", _TYPES[letter[1] or letter[2]])
        return Signature(("IN",), 1, more=False, handler=handler)
    source, mark, target = name.partition("_TO_")
    if mark and target in _TYPES and source in _TYPES:
        return Signature(("IN",), 1, more=False, handler=conversion(_TYPES[source], _TYPES[target]))
    if name.startswith("TO_") and name[3:] in _TYPES:
        return Signature(("IN",), 1, more=False, handler=conversion(None, _TYPES[name[3:]]))
    return _cut(name) or _decimal(name) or _typed(name)


def _cut(name: str) -> Signature | None:
    match = re.fullmatch(r"(?:L?REAL_)?TRUNC_(\w+)|L?REAL_TO_(\w+)_TRUNC", name)
    target = TYPES.get((match[1] or match[2]) if match else "")
    return Signature(("IN",), 1, more=False, handler=cut_off(target)) if target is not None else None


def _decimal(name: str) -> Signature | None:
    """Conversions from and to BCD: `WORD_BCD_TO_UINT`, `USINT_TO_BCD_BYTE`, `BCD_TO_INT`, `TO_BCD_WORD`."""
    match = re.fullmatch(r"(?:(BYTE|WORD|DWORD|LWORD)_)?BCD_TO_(\w+)", name)
    if match and match[2] in TYPES and TYPES[match[2]].is_integer:
        handler = from_decimal(TYPES.get(match[1] or ""), TYPES[match[2]])
        return Signature(("IN",), 1, more=False, handler=handler)
    match = re.fullmatch(r"(?:(\w+)_)?TO_BCD_(BYTE|WORD|DWORD|LWORD)", name)
    source = TYPES.get((match[1] or "") if match else "")
    if match and (match[1] is None or (source is not None and source.is_integer)):
        return Signature(("IN",), 1, more=False, handler=to_decimal(source, TYPES[match[2]]))
    return None


def _typed(name: str) -> Signature | None:
    """`SHL_DWORD`, `LIMIT_INT`: the inputs that may be of any type are of this one."""
    match = _TYPED.fullmatch(name)
    if match is None or match[1] not in _PLAIN or "TIME" in match[1]:
        return None
    plain, base = _PLAIN[match[1]], _TYPES[match[2]]
    first = 1 if match[1] in ("SEL", "MUX") else 0
    last = 1 if plain.handler is shifted or match[1] == "EXPT" else 999

    def handler(given: Given) -> Val:
        values = [
            Val(given.as_type(n, base), elementary(base)) if first <= n < last else v
            for n, v in enumerate(given.values)
        ]
        return plain.handler(Given(given.lowering, match[1], given.place, values, given.places, elementary(base)))

    return Signature(plain.parameters, plain.least, plain.more, handler)


def known_functions() -> list[str]:
    """Give the names of the standard functions, for messages."""
    return [*_PLAIN, *(f"{a}_TO_{b}" for a, b in (("INT", "REAL"), ("REAL", "INT"), ("INT", "DINT"), ("DINT", "INT")))]


__all__ = ["Given", "Signature", "known_functions", "signature"]
