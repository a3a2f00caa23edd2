"""Laws of the elementary types: wrap, check, conversion, division, display."""

import math
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from simplant.errors import ProgramError
from simplant.timebase import duration
from simplant.values import (
    DWORD,
    LINT,
    LREAL,
    LTIME,
    LWORD,
    REAL,
    TIME,
    TYPES,
    Kind,
    convert,
    divide,
    modulo,
    show_value,
)

WHOLE = [each for each in TYPES.values() if each.kind in (Kind.BOOL, Kind.INTEGER, Kind.BITS, Kind.TIME)]
INTEGERS = [each for each in WHOLE if each.is_integer]
WIDENINGS = [(a, b) for a, b in product(WHOLE, WHOLE) if a.bits <= b.bits and Kind.TIME not in (a.kind, b.kind)]
anything = st.integers(-(2**70), 2**70)
whole_types = st.sampled_from(WHOLE)
integer_types = st.sampled_from(INTEGERS)
spans = st.integers(TIME.least, TIME.most)
singles = st.floats(width=32, allow_nan=False)


@given(anything, whole_types)
def test_wrap_lands_in_the_type_congruent_and_idempotent(value, type_):
    """A wrapped value is in range, congruent to the exact one modulo 2^N, and wraps to itself."""
    wrapped = type_.wrap(value)
    assert type_.least <= wrapped <= type_.most
    assert (wrapped - value) % 2**type_.bits == 0
    assert type_.wrap(wrapped) == wrapped
    assert type(wrapped) is type(type_.default)


@given(anything, anything, whole_types)
def test_wrap_may_come_at_the_end(a, b, type_):
    """Sum and product are the same whether the operands were wrapped before or not."""
    assert type_.wrap(a + b) == type_.wrap(type_.wrap(a) + type_.wrap(b))
    assert type_.wrap(a * b) == type_.wrap(type_.wrap(a) * type_.wrap(b))


@given(anything, whole_types)
def test_check_takes_just_what_wrap_leaves_alone(value, type_):
    """A written value is accepted exactly if it needs no wrapping."""
    try:
        held = type_.check(value)
    except ProgramError:
        assert type_.wrap(value) != value
    else:
        assert held == value == type_.wrap(value)


@given(st.floats(), st.floats())
def test_single_precision_is_idempotent_and_monotonic(a, b):
    """Rounding to REAL twice is rounding once, and never changes an order."""
    narrow_a, narrow_b = REAL.wrap(a), REAL.wrap(b)
    if math.isnan(a):
        assert math.isnan(narrow_a)
    else:
        assert REAL.wrap(narrow_a) == narrow_a
    if a <= b:
        assert narrow_a <= narrow_b


@given(st.data(), st.sampled_from(WIDENINGS))
def test_whole_numbers_survive_a_wider_type_and_back(data, pair):
    """Converting into a type at least as wide and back gives the value again."""
    narrow, wide = pair
    value = data.draw(st.integers(narrow.least, narrow.most).map(narrow.wrap))
    assert convert(convert(value, narrow, wide), wide, narrow) == value


@given(singles)
def test_reals_survive_their_wider_and_their_bit_form(value):
    """REAL_TO_LREAL and REAL_TO_DWORD lose nothing, not even the sign of zero."""
    for wide in (LREAL, DWORD):
        back = convert(convert(value, REAL, wide), wide, REAL)
        assert (back, math.copysign(1, back)) == (value, math.copysign(1, value))


@given(st.integers(0, LWORD.most))
def test_bit_patterns_survive_as_lreal(bits):
    """LWORD_TO_LREAL and back gives the same bits, but that a NaN stays some NaN."""
    value = convert(bits, LWORD, LREAL)
    assert math.isnan(value) or convert(value, LREAL, LWORD) == bits


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-(2.0**62), max_value=2.0**62))
def test_real_to_integer_is_the_nearest(value):
    """No other integer is nearer, and of two equally near ones it is the even one."""
    whole = convert(value, LREAL, LINT)
    exact = (value - whole) if abs(value) < 2**53 else 0.0
    assert abs(exact) < 0.5 or (abs(exact) == 0.5 and whole % 2 == 0)


@given(st.integers(-(2**40), 2**40))
def test_milliseconds_survive_as_time(amount):
    """LINT_TO_TIME and back gives the same number of milliseconds."""
    assert convert(convert(amount, LINT, TIME), TIME, LINT) == amount


@given(anything, anything.filter(bool))
def test_division_and_mod_belong_together(left, right):
    """left = quotient * right + rest; the quotient is the exact one cut toward zero; rest has the dividend's sign."""
    quotient, rest = divide(left, right), modulo(left, right)
    assert quotient * right + rest == left
    assert abs(rest) < abs(right)
    assert rest == 0 or (rest < 0) == (left < 0)


@given(spans)
def test_durations_are_shown_exactly(span):
    """The shown literal reads back as the same duration."""
    for type_, prefix in ((TIME, "T#"), (LTIME, "LTIME#")):
        text = show_value(span, type_)
        assert text.startswith(prefix)
        body = text.removeprefix(prefix)
        assert (-1 if body.startswith("-") else 1) * duration(body.removeprefix("-")) == span


@given(singles.filter(math.isfinite))
def test_reals_are_shown_exactly_and_with_a_point(value):
    """The shown literal reads back as the same single or double, and has digits on both sides of the point."""
    for type_ in (REAL, LREAL):
        text = show_value(value, type_)
        assert type_.wrap(float(text)) == value
        before, _, after = text.partition(".")
        assert before[-1].isdigit()
        assert after[0].isdigit()


@given(st.data(), integer_types)
def test_integers_and_bits_are_shown_exactly(data, type_):
    """The shown literal reads back as the same number."""
    value = data.draw(st.integers(type_.least, type_.most))
    assert int(show_value(value, type_)) == value
    low = LWORD.wrap(value)
    assert int(show_value(low, LWORD).removeprefix("16#"), 16) == low
