"""What type a call of a standard function has, for each kind of function.

Which function is of which kind is standard.py; what it computes is expr/library.py. Rule: an argument that does not fit
is said at its place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from simplant.errors import Place
from simplant.expr import Const, Expr, Function
from simplant.logic.st.adapt import Val, adapt, common, converted, decided
from simplant.logic.st.operators import kind_of
from simplant.logic.st.report import fail
from simplant.logic.st.types import Scalar, elementary
from simplant.values import (
    BOOL,
    DINT,
    LREAL,
    LWORD,
    REAL,
    REFERENCE,
    STRING,
    ElementaryType,
    Kind,
)

if TYPE_CHECKING:
    from simplant.logic.st.expressions import Lowering

_WORDS: Final = {8: "BYTE", 16: "WORD", 32: "DWORD", 64: "LWORD"}
Handler = Callable[["Given"], Val]


@dataclass(frozen=True, slots=True)
class Given:
    """A call of a standard function: its arguments in order, each with its place."""

    lowering: Lowering
    name: str
    place: Place
    values: list[Val]
    places: list[Place]
    wanted: Scalar | None = None

    def as_type(self, number: int, base: ElementaryType) -> Expr:
        """Give one argument as a type."""
        what = f"input {number + 1} of {self.name}"
        return adapt(self.values[number], elementary(base), self.places[number], self.lowering.report, what)

    def wrong(self, number: int, needs: str, mend: str = "") -> None:
        """Give up: an argument is of a wrong kind."""
        value = self.values[number]
        fail(self.places[number], f"input {number + 1} of {self.name} is {kind_of(value)}", f"it needs {needs}", mend)

    def meeting(self, numbers: list[int]) -> tuple[list[Expr], Scalar]:
        """Bring some arguments to one type: the first that they have in common; bare numbers follow the others."""
        numbers_first = sorted(numbers, key=lambda n: self.values[n].open)
        base, first = None, self.values[numbers_first[0]]
        for number in numbers_first:
            value = self.values[number]
            if value.type.is_enum:
                return self._alike(numbers, value.type), value.type
            if value.type.base is REFERENCE:
                return self._references(numbers)
            met = first if base is None else Val(Const(base.default, base), elementary(base))
            base = common(met, value) if base is not None or value is not first else value.type.base
            if base is None:
                self.wrong(number, f"the type of the others, {first.type.name}")
                raise AssertionError("unreachable: the line above fails")
        assert base is not None, "a function has an argument"
        length = max(self.values[n].type.length for n in numbers)
        return [self.as_type(n, base) for n in numbers], Scalar(base, base.name, length=length, initial=base.default)

    def _references(self, numbers: list[int]) -> tuple[list[Expr], Scalar]:
        """Bring references to one type: that of the first that is not NULL."""
        kinds = [self.values[n].type for n in numbers]
        type_ = next((kind for kind in kinds if kind.refers is not None), kinds[0])
        return self._alike(numbers, type_), type_

    def _alike(self, numbers: list[int], type_: Scalar) -> list[Expr]:
        """Give arguments as one type."""
        report = self.lowering.report
        return [adapt(self.values[n], type_, self.places[n], report, f"input {n + 1} of {self.name}") for n in numbers]


@dataclass(frozen=True, slots=True)
class Signature:
    """One standard function: its parameters in order, how many must be given, whether the last may be repeated."""

    parameters: tuple[str, ...]
    least: int
    more: bool
    handler: Handler


def real(given: Given) -> Val:
    """Functions of a real number."""
    value = given.values[0]
    if value.type.base.kind not in (Kind.REAL, Kind.INTEGER):
        given.wrong(0, "a real number")
    base = value.type.base
    if base.kind is Kind.INTEGER or value.open:
        wanted = given.wanted.base if given.wanted and given.wanted.base.kind is Kind.REAL else None
        if value.open and wanted is None:
            return decided(Function(given.name, (given.as_type(0, LREAL),), LREAL), given.place)
        base = wanted or (REAL if base.bits <= 16 and not value.open else LREAL)
    return Val(Function(given.name, (given.as_type(0, base),), base), elementary(base))


def real_pair(given: Given) -> Val:
    """ATAN2: of two real numbers of one type."""
    for number, value in enumerate(given.values):
        if value.type.base.kind not in (Kind.REAL, Kind.INTEGER):
            given.wrong(number, "a real number")
    expressions, type_ = given.meeting([0, 1])
    base = type_.base if type_.base.kind is Kind.REAL else LREAL
    return Val(Function(given.name, tuple(converted(e, base) for e in expressions), base), elementary(base))


def absolute(given: Given) -> Val:
    """ABS."""
    value = given.values[0]
    if value.type.base.kind not in (Kind.INTEGER, Kind.REAL, Kind.TIME):
        given.wrong(0, "a number")
    made = Function("ABS", (value.expr,), value.type.base)
    return decided(made, given.place) if value.open else Val(made, elementary(made.type))


def folded(operator: str) -> Handler:
    """Functions that stand for an operator."""

    def handler(given: Given) -> Val:
        made = given.values[0]
        for each, place in zip(given.values[1:], given.places[1:], strict=True):
            made = given.lowering.joined(operator, made, each, place, given.wanted)
        return made

    return handler


def chained(operator: str) -> Handler:
    """GT, EQ ...: each with the next."""

    def handler(given: Given) -> Val:
        pairs = list(zip(given.values, given.values[1:], given.places[1:], strict=False))
        made = [given.lowering.joined(operator, a, b, place) for a, b, place in pairs]
        whole = made[0]
        for each in made[1:]:
            whole = given.lowering.joined("AND", whole, each, given.place)
        return whole

    return handler


def inverted(given: Given) -> Val:
    """NOT."""
    return given.lowering.inverted(given.values[0], given.place)


def judged(kind: Kind, needs: str) -> Handler:
    """IS_VALID, IS_VALID_BCD."""

    def handler(given: Given) -> Val:
        if given.values[0].type.base.kind is not kind:
            given.wrong(0, needs)
        return Val(Function(given.name, (given.values[0].expr,), BOOL), elementary(BOOL))

    return handler


def in_order(given: Given) -> Val:
    """TO_BIG_ENDIAN and the like: the order of bytes here is that of OVERLAP, the least first."""
    value = given.values[0]
    base = value.type.base
    if value.open or base.kind not in (Kind.BITS, Kind.INTEGER, Kind.TIME, Kind.DATE):
        given.wrong(0, "a bit string or a whole number of known length")
    return Val(Function("SWAPPED", (value.expr,), base), value.type) if "BIG" in given.name else value


def shifted(given: Given) -> Val:
    """SHL, SHR, ROL, ROR."""
    value = given.values[0]
    whole = value.open and value.type.base.kind is not Kind.REAL
    base = LWORD if whole else value.type.base
    if base.kind is not Kind.BITS:
        word = _WORDS.get(base.bits, "WORD")
        given.wrong(0, "a bit string", f"write {given.name}({base.name}_TO_{word}(x), n)" if base.is_integer else "")
    made = Function(given.name, (given.as_type(0, base), given.as_type(1, DINT)), base)
    return Val(made, elementary(base), value.open)


def chosen(first: int) -> Handler:
    """MAX, MIN, LIMIT, SEL, MUX: all from `first` on of one type."""

    def handler(given: Given) -> Val:
        numbers = list(range(first, len(given.values)))
        expressions, type_ = given.meeting(numbers)
        if type_.base is REFERENCE and not first:
            given.wrong(0, "values that have an order")
        if len(expressions) == 1 and not first:
            return given.values[0]  # the greatest of one
        heads = [given.as_type(0, BOOL if given.name == "SEL" else DINT)] if first else []
        made = Function(given.name, (*heads, *expressions), type_.base)
        return decided(made, given.place) if all(v.open for v in given.values[first:]) else Val(made, type_)

    return handler


def moved(given: Given) -> Val:
    """MOVE."""
    return given.values[0]


def text(texts: tuple[int, ...], result: ElementaryType) -> Handler:
    """A string function: which inputs are texts; the others are whole numbers."""

    def handler(given: Given) -> Val:
        chosen = range(len(given.values)) if given.name == "CONCAT" else texts
        for n in chosen:
            if given.values[n].type.base.kind is not Kind.STRING:
                given.wrong(n, "a text")
        expressions = [v.expr if n in chosen else given.as_type(n, DINT) for n, v in enumerate(given.values)]
        if result is not STRING:
            return Val(Function(given.name, tuple(expressions), result), elementary(result))
        base = given.values[0].type.base
        length = sum(given.values[n].type.length for n in chosen)
        return Val(Function(given.name, tuple(expressions), base), Scalar(base, base.name, length=length, initial=""))

    return handler


def of_types(name: str, result: ElementaryType, *bases: ElementaryType) -> Handler:
    """Functions with one type for each input."""

    def handler(given: Given) -> Val:
        return Val(Function(name, tuple(given.as_type(n, b) for n, b in enumerate(bases)), result), elementary(result))

    return handler
