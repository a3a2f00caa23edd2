"""Elementary types, conversions, division and MOD held against the standard.

Sources, with how they were read: [E2] IEC 61131-3:2003, page-by-page web reprint, seen; [E3ru] GOST R IEC
61131-3-2016, identical to IEC 61131-3:2013, web reprint, seen; "from memory" names the standard otherwise. numpy is an
independent oracle for two's complement and single precision.
"""

import math

import numpy
import pytest

from simplant.errors import ProgramError
from simplant.timebase import duration, seconds
from simplant.values import (
    BOOL,
    BYTE,
    DINT,
    DWORD,
    INT,
    LINT,
    LREAL,
    LTIME,
    LWORD,
    REAL,
    SINT,
    STRING,
    TIME,
    TYPES,
    UDINT,
    UINT,
    ULINT,
    USINT,
    WORD,
    convert,
    divide,
    modulo,
    show_value,
    truncate,
    type_named,
)

INTEGERS = [  # [E2] Table 10, seen: -2^(N-1) .. 2^(N-1)-1 and 0 .. 2^N-1; the numbers follow
    (SINT, -128, 127),
    (INT, -32768, 32767),
    (DINT, -2147483648, 2147483647),
    (LINT, -9223372036854775808, 9223372036854775807),
    (USINT, 0, 255),
    (UINT, 0, 65535),
    (UDINT, 0, 4294967295),
    (ULINT, 0, 18446744073709551615),
]
BIT_STRINGS = [(BYTE, 8), (WORD, 16), (DWORD, 32), (LWORD, 64)]  # [E2] Table 10, seen
REAL_TO_INT = [(1.6, 2), (-1.6, -2), (1.5, 2), (-1.5, -2), (1.4, 1), (-1.4, -1), (2.5, 2), (-2.5, -2)]
TRUNC = [(1.6, 1), (-1.6, -1), (1.4, 1), (-1.4, -1)]


@pytest.mark.parametrize(("type_", "least", "most"), INTEGERS)
def test_integer_ranges(type_, least, most):
    """[E2] Table 10, seen. Both limits are held, one beyond is refused as a literal and wraps as a result."""
    assert [type_.check(least), type_.check(most)] == [least, most]
    assert [type_.wrap(most + 1), type_.wrap(least - 1)] == [least, most]
    for beyond in (least - 1, most + 1):
        with pytest.raises(ProgramError, match=f"does not fit {type_.name}"):
            type_.check(beyond)


@pytest.mark.parametrize(
    ("type_", "value", "wider"),
    [(INT, 2**31 - 1, "DINT"), (INT, -(2**31), "DINT"), (SINT, 255, "INT"), (BYTE, 256, "WORD")],
)
def test_a_literal_out_of_range_is_told_the_type_that_holds_it(type_, value, wider):
    """The mend names the narrowest type of the family, up to its very limit."""
    with pytest.raises(ProgramError, match=f"Use {wider} or a value in range"):
        type_.check(value)


@pytest.mark.parametrize(("type_", "bits"), BIT_STRINGS)
def test_bit_string_widths(type_, bits):
    """[E2] Table 10, seen: BYTE, WORD, DWORD, LWORD are 8, 16, 32, 64 bits."""
    assert type_.bits == bits
    assert type_.check(2**bits - 1) == 2**bits - 1
    assert type_.wrap(2**bits + 5) == 5
    with pytest.raises(ProgramError):
        type_.check(2**bits)


def test_reals_are_iec_60559():
    """[E2] Table 10 notes, seen: REAL is IEC 60559 single, LREAL double; limits from the format's definition."""
    assert REAL.most == 3.4028234663852886e38
    assert LREAL.most == 1.7976931348623157e308
    assert REAL.wrap(0.1) == 0.10000000149011612
    assert REAL.wrap(16777217) == 16777216.0
    assert REAL.wrap(1e39) == math.inf
    assert REAL.wrap(-1e39) == -math.inf
    assert LREAL.wrap(0.1) == 0.1
    for type_ in (REAL, LREAL):
        assert [type_.wrap(10**400), type_.wrap(-(10**400))] == [math.inf, -math.inf]
    assert REAL.check(3.4028235e38) == REAL.most
    for type_ in (REAL, LREAL):
        with pytest.raises(ProgramError, match=r"does not fit L?REAL"):
            type_.check(math.inf)


def test_single_precision_against_numpy():
    """Each whole number and real is rounded once, to the nearest single, ties to even."""
    tie = 2**60 + 2**36  # half way between two singles; one more in the last place must round up
    reals = (0.1, 1 / 3, 1e-45, 1e-40, 3.4e38, 2.0**24 + 1, -0.0)
    for value in (*reals, tie, tie + 1, tie + 6, tie - 1, -tie - 1, 2**63 - 1, -(2**63)):
        assert REAL.wrap(value) == float(numpy.array(value).astype(numpy.float32)), value


def test_two_complement_against_numpy():
    """A wrapped integer is what the fixed-width integer of the same size holds."""
    names = {"SINT": "int8", "INT": "int16", "DINT": "int32", "USINT": "uint8", "UINT": "uint16", "UDINT": "uint32"}
    for value in (0, 1, -1, 127, 128, 255, 32768, 65537, -32769, 2**31, 2**40 + 3, -(2**33) - 7):
        for name, dtype in names.items():
            assert TYPES[name].wrap(value) == int(numpy.int64(value).astype(dtype))


def test_time_is_64_bit_nanoseconds():
    """From memory: IEC 61131-3:2013, LTIME; [E2] Table 10 note b leaves TIME to the implementer: ours is the same."""
    for type_ in (TIME, LTIME):
        assert (type_.bits, type_.signed, type_.least, type_.most) == (64, True, -(2**63), 2**63 - 1)
        assert type_.wrap(2**63) == -(2**63)


def test_defaults():
    """From memory: IEC 61131-3:2003 Table 13: 0, FALSE, 0.0, T#0s, the empty string."""
    assert {name: each.default for name, each in TYPES.items()} == {
        **dict.fromkeys(TYPES, 0),
        "BOOL": False,
        "REAL": 0.0,
        "LREAL": 0.0,
        "STRING": "",
    }


def test_families():
    """From memory: IEC 61131-3:2003 Table 11: ANY_INT, ANY_NUM, ANY_BIT (BOOL is a bit, TIME is no number)."""
    integers = {"SINT", "INT", "DINT", "LINT", "USINT", "UINT", "UDINT", "ULINT"}
    assert {name for name, each in TYPES.items() if each.is_integer} == integers
    unsigned = {name for name in integers if name.startswith("U")}
    signed = {name for name, each in TYPES.items() if each.signed}
    assert signed == integers - unsigned | {"REAL", "LREAL", "TIME", "LTIME"}
    assert {name for name, each in TYPES.items() if each.is_number} == integers | {"REAL", "LREAL"}
    assert {name for name, each in TYPES.items() if each.is_bits} == {"BOOL", "BYTE", "WORD", "DWORD", "LWORD"}


def test_keywords_in_any_case():
    """[E2] 2.1.1 note, seen: case is not significant in keywords."""
    assert [type_named(name) for name in ("INT", "int", "Int")] == [INT, INT, INT]
    with pytest.raises(ProgramError, match="Close in spelling: REAL"):
        type_named("REEL")


@pytest.mark.parametrize(
    ("literal", "span"),
    [
        ("T#14ms", "14ms"),
        ("T#1d1h15m", "25h15m"),  # [E2] Table 7, seen: T#25h15m is allowed; = 90 900 s by arithmetic
        ("T#5d14h12m18s3ms500us", "5d14h12m18s3.5ms"),  # [E2] Table 7, seen
        ("T#14s700ms", "14.7s"),
    ],
)
def test_durations_shown(literal, span):
    """Durations of [E2] Table 7 written out; each unit once, in the order d h m s ms us ns."""
    assert show_value(duration(span), TIME) == literal


def test_durations_as_numbers():
    """Arithmetic on [E2] Table 7: 25h15m = 90 900 s; 5d14h12m18s3.5ms = 483 138.0035 s."""
    assert duration("25h15m") == seconds(90900)
    assert duration("5d14h12m18s3.5ms") == seconds("483138.0035")
    assert [show_value(-14_000_000, TIME), show_value(0, TIME)] == ["T#-14ms", "T#0s"]
    assert show_value(1_000_000_001, LTIME) == "LTIME#1s1ns"


@pytest.mark.parametrize(("value", "whole"), REAL_TO_INT)
def test_real_to_int(value, whole):
    """[E2] Table 22 note b, seen: to nearest, ties to even."""
    assert convert(REAL.wrap(value), REAL, INT) == whole
    assert convert(value, LREAL, LINT) == whole


@pytest.mark.parametrize(("value", "whole"), TRUNC)
def test_trunc(value, whole):
    """[E2] Table 22 note c, seen: toward zero."""
    assert truncate(REAL.wrap(value), REAL, INT) == whole


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan, 32767.5, 1e20])
def test_real_that_does_not_fit(value):
    """Our choice, the standard leaves it open: refused, with the type named."""
    with pytest.raises(ProgramError, match="does not fit INT"):
        convert(value, LREAL, INT)
    if value != 32767.5:
        with pytest.raises(ProgramError, match="does not fit INT"):
            truncate(value, LREAL, INT)


@pytest.mark.parametrize(
    ("left", "right", "quotient", "rest"),
    [
        (7, 3, 2, 1),
        (-7, 3, -2, -1),
        (7, -3, -2, 1),
        (-7, -3, 2, -1),
        (6, 3, 2, 0),
        (-32768, -1, 32768, 0),
        (2**62 + 1, 2, 2**61, 1),  # exact, no float on the way
    ],
)
def test_division_and_mod(left, right, quotient, rest):
    """Rule [E3ru] Table 29 note d, seen: truncated toward zero; numbers and MOD from memory: Ed.2 Table 24."""
    assert (divide(left, right), modulo(left, right)) == (quotient, rest)


def test_division_by_zero():
    """From memory: Ed.2 Table 24: division by zero is an error; the guarded formula of MOD gives 0."""
    for left, right in ((7, 0), (-7, 0), (0, 0), (1.5, 0.0)):
        with pytest.raises(ProgramError, match="divided by 0"):
            divide(left, right)
    assert [modulo(7, 0), modulo(-7, 0), modulo(0, 0)] == [0, 0, 0]
    assert divide(7.0, 2) == 3.5


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        # from memory: IEC 61131-3:2013, conversions of bit strings: binary transfer of the rightmost bits
        (0xABCD, WORD, BYTE, 0xCD),
        (0xAB, BYTE, WORD, 0xAB),
        (0xFFFF, WORD, INT, -1),
        (0xFF, BYTE, SINT, -1),
        (0xFF, BYTE, INT, 255),
        (2, WORD, BOOL, False),
        (3, WORD, BOOL, True),
        (True, BOOL, INT, 1),
        (True, BOOL, WORD, 1),
        (0x3F800000, DWORD, REAL, 1.0),
        (1.0, REAL, DWORD, 0x3F800000),
        (-2.0, LREAL, LWORD, 0xC000000000000000),
        # our choices, stated in `convert`
        (-1, SINT, WORD, 0xFFFF),
        (40000, UINT, INT, -25536),
        (-1, INT, UINT, 65535),
        (300, INT, USINT, 44),
        (2, INT, BOOL, True),
        (0, INT, BOOL, False),
        (0.5, REAL, BOOL, True),
        (True, BOOL, REAL, 1.0),
        (7, INT, LREAL, 7.0),
        (0.1, LREAL, REAL, 0.10000000149011612),
        (1_999_999, TIME, DINT, 1),
        (-1_999_999, TIME, DINT, -1),
        (1_500_000, TIME, LREAL, 1.5),
        (250, INT, TIME, 250_000_000),
        (1.5, REAL, TIME, 1_500_000),
        (0.1, LREAL, TIME, 100_000),
        (5, TIME, LTIME, 5),
        (-12, INT, STRING, "-12"),
        (True, BOOL, STRING, "TRUE"),
        ("it's", STRING, STRING, "it's"),
    ],
    ids=lambda each: getattr(each, "name", None),
)
def test_conversions(value, source, target, expected):
    """SOURCE_TO_TARGET gives the expected value, and of the Python type that the target holds."""
    result = convert(value, source, target)
    assert (result, type(result)) == (expected, type(expected))


def test_conversions_not_offered():
    """Our choice: kinds that share no value do not convert, and say so for every value, also the default."""
    for source, target in ((BOOL, TIME), (STRING, INT), (REAL, WORD), (BYTE, REAL), (DWORD, LREAL), (TIME, BOOL)):
        with pytest.raises(ProgramError, match=f"{source.name}_TO_{target.name} is not offered"):
            convert(source.default, source, target)
    with pytest.raises(ProgramError, match="Convert through an integer type"):
        convert(1, WORD, TIME)
    with pytest.raises(ProgramError, match="Change a type"):
        convert("1", STRING, INT)


@pytest.mark.parametrize(
    ("type_", "value"),
    [(INT, True), (INT, 1.0), (INT, "1"), (BOOL, 2), (BOOL, 1.0), (REAL, True), (TIME, 1.0), (STRING, 1), (BYTE, -1)],
    ids=lambda each: getattr(each, "name", None),
)
def test_literals_of_another_kind(type_, value):
    """Our choice: a literal is of its type or refused; nothing is converted silently (0 and 1 for BOOL excepted)."""
    with pytest.raises(ProgramError, match=type_.name):
        type_.check(value)


@pytest.mark.parametrize(("type_", "value"), [(INT, 1.5), (BOOL, "x"), (REAL, "1"), (TIME, 0.1), (STRING, 1)])
def test_results_of_another_kind(type_, value):
    """Wrapping mends a result that is too large, not one that is of another kind."""
    with pytest.raises(ProgramError, match=f"{type_.name} cannot hold"):
        type_.wrap(value)
    assert STRING.wrap("any text") == STRING.check("any text") == "any text"


@pytest.mark.parametrize(
    ("value", "type_", "text"),
    [
        (True, BOOL, "TRUE"),
        (False, BOOL, "FALSE"),
        (-12, INT, "-12"),
        (255, BYTE, "16#FF"),  # [E2] Table 4, seen: 16#FF
        (10, WORD, "16#000A"),
        (REAL.wrap(0.1), REAL, "0.1"),
        (-12.0, REAL, "-12.0"),  # [E2] Table 4, seen: -12.0
        (1e20, LREAL, "1.0e+20"),  # [E2] Table 4, seen: 1.0e+6 has digits on both sides of the point
        (-1.34e-12, LREAL, "-1.34e-12"),  # [E2] Table 4, seen
        (math.nan, REAL, "NaN"),
        (-math.inf, REAL, "-Infinity"),
        ("it's 5 $\n", STRING, "'it$'s 5 $$$0A'"),  # from memory: Ed.2 Tables 5 and 6
    ],
)
def test_values_shown(value, type_, text):
    """A value is shown as the literal that reads back as it."""
    assert show_value(value, type_) == text
