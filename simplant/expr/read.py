"""Reading an expression written as text: `NOT guard_open AND (wheel.speed > 40 OR cycle.aim)`.

Words and literals are tokens.py, printing is show.py. Operators and their order are those of IEC 61131-3:2003
Table 55 (without `**`); letter case does not count. Rule: what is read is printed by `show` and read again
as the same tree, and every mistake has its line and column.
"""

from collections.abc import Callable, Mapping
from typing import Final

from simplant.errors import Place, ProgramError, SimplantError, nearest
from simplant.expr.base import Expr
from simplant.expr.build import binary
from simplant.expr.functions import abs_, limit, max_, min_, select, to_type
from simplant.expr.nodes import of_type
from simplant.expr.operators import ARITHMETIC, COMPARISONS, Op
from simplant.expr.tokens import Token, split
from simplant.expr.vocabulary import Vocabulary
from simplant.values import DINT, INT, LINT, LREAL, LTIME, TIME, TYPES, ElementaryType

Operand = Expr | bool | int | float | str
"""An expression, or a literal that has no type yet."""

_BINARY: Final = {op.spelling: op for op in Op if op not in (Op.NOT, Op.NEG)} | {"&": Op.AND}
_FUNCTIONS: Final[Mapping[str, tuple[int, Callable[..., Expr]]]] = {
    "ABS": (1, abs_), "MIN": (2, min_), "MAX": (2, max_), "LIMIT": (3, limit), "SEL": (3, select),
}  # fmt: skip
_DEEPEST: Final = 60


def read(text: str, names: Vocabulary, origin: Place | None = None) -> Expr:
    """Read a whole expression.

    Args:
        text: the expression.
        names: what may be named in it.
        origin: where its first letter stands, for errors.

    Raises:
        ProgramError: it is not an expression, names something unknown, or joins types that do not fit.
    """
    reader = _Reader(text, names, origin or Place("expression", 1, 1))
    return reader.whole()


class _Reader:
    """Recursive descent over the tokens, one method for each level of the grammar."""

    def __init__(self, text: str, names: Vocabulary, origin: Place) -> None:
        self.names = names
        self._tokens = split(text, origin)
        self._depth = 0
        self.token = next(self._tokens)

    def whole(self) -> Expr:
        found = self.binary(1)
        if self.token.kind != "end":
            raise self.unexpected("an operator such as AND, or the end")
        return typed(found)

    def step(self) -> Token:
        token = self.token
        self.token = next(self._tokens, token)
        return token

    def unexpected(self, wanted: str) -> ProgramError:
        there = "the expression ends" if self.token.kind == "end" else f"{self.token.text!r} stands"
        return ProgramError(f"{there} where {wanted} is wanted", place=self.token.place)

    def operator(self) -> Op | None:
        word = self.token.text.upper()
        if word == "**":
            raise ProgramError("there is no power operator here", mend="multiply: x * x", place=self.token.place)
        return _BINARY.get(word) if self.token.kind in ("name", "mark") else None

    def binary(self, least: int) -> Operand:
        left = self.unary()
        while (op := self.operator()) is not None and op.strength >= least:
            place = self.step().place
            right = self.binary(op.strength + 1)
            left = self.at(place, lambda a=left, b=right, o=op: _joined(o, a, b))  # type: ignore[misc]
        return left

    def unary(self) -> Operand:
        place, word = self.token.place, self.token.text.upper()
        if word == "NOT" and self.token.kind == "name":
            self.step()
            operand = self.deeper(self.unary)
            return self.at(place, lambda: _inverted(operand))
        if word in ("-", "+") and self.token.kind == "mark":
            self.step()
            number = self.token.kind == "literal" and isinstance(self.token.value, int | float)
            operand = self.deeper(self.unary)
            if word == "+":
                return operand
            if number and isinstance(operand, int | float) and not isinstance(operand, bool):
                return -operand
            return self.at(place, lambda: -typed(operand))
        return self.primary()

    def primary(self) -> Operand:
        token = self.token
        if token.kind == "literal":
            self.step()
            assert token.value is not None, "a literal has a value"
            return token.value
        if token.text == "(":
            self.step()
            inside = self.deeper(lambda: self.binary(1))
            self.closing()
            return inside
        if token.kind == "name" and self.operator() is None and token.text.upper() != "NOT":
            self.step()
            return self.call(token) if self.token.text == "(" else self.at(token.place, lambda: self.named(token))
        raise self.unexpected("a name, a value or '('")

    def closing(self) -> None:
        if self.token.text != ")":
            raise self.unexpected("')'")
        self.step()

    def named(self, token: Token) -> Expr:
        return self.names.find(token.text)

    def call(self, token: Token) -> Expr:
        self.step()
        arguments = [self.deeper(lambda: self.binary(1))]
        while self.token.text == ",":
            self.step()
            arguments.append(self.deeper(lambda: self.binary(1)))
        self.closing()
        return self.at(token.place, lambda: _function(token.text.upper(), arguments))

    def deeper(self, part: Callable[[], Operand]) -> Operand:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise ProgramError(f"more than {_DEEPEST} things stand in one another here", place=self.token.place)
        found = part()
        self._depth -= 1
        return found

    @staticmethod
    def at(place: Place, build: Callable[[], Expr]) -> Expr:
        """Build a node; what is wrong with it is wrong at this place."""
        try:
            return build()
        except SimplantError as error:
            raise ProgramError(error.what, error.why, error.mend, error.place or place) from None


def typed(operand: Operand) -> Expr:
    """Give a literal that stands alone the narrowest of INT, DINT, LINT, or LREAL, BOOL, STRING."""
    if isinstance(operand, Expr):
        return operand
    if isinstance(operand, int) and not isinstance(operand, bool):
        fits = next((t for t in (INT, DINT) if t.least <= operand <= t.most), LINT)
        return of_type(operand, fits)
    return of_type(operand, LREAL if isinstance(operand, float) else TYPES["STRING"])


def _inverted(operand: Operand) -> Expr:
    node = typed(operand)
    if not node.type.is_bits:
        what = f"NOT stands before {node}, which is {node.type.name}"
        raise ProgramError(what, "NOT binds before a comparison does", "write NOT (a > b)")
    return ~node


def _joined(op: Op, left: Operand, right: Operand) -> Expr:
    """Join two operands: a literal takes the type of the other side, and numbers the wider type of the two."""
    if not isinstance(left, Expr) and not isinstance(right, Expr):
        left, right = typed(left), typed(right)
    for one, other in ((left, right), (right, left)):
        if isinstance(one, Expr) and one.type in (TIME, LTIME) and isinstance(other, int | float):
            raise ProgramError(f"{one} is a time, {other} has no unit", mend=f"write {other}ms or {other}s")
    left, right = _widened(left, right), _widened(right, left)
    if isinstance(left, Expr) and isinstance(right, Expr) and op in COMPARISONS | ARITHMETIC:
        common = _common(left.type, right.type)
        left, right = (to_type(left, common), to_type(right, common)) if common else (left, right)
    try:
        return binary(op, left, right)
    except ProgramError as error:
        kinds = [f"'{x}' is {x.type.name}" for x in (left, right) if isinstance(x, Expr)]
        raise ProgramError(error.what, error.why or ", ".join(kinds), _hint(op, left, right)) from None


def _hint(op: Op, left: Operand, right: Operand) -> str:
    if op in (Op.AND, Op.OR, Op.XOR):
        return "join what is true or false: names of BOOL type, or comparisons such as speed > 40"
    return "compare and reckon with values of one kind" if isinstance(left, Expr) and isinstance(right, Expr) else ""


def _widened(operand: Operand, beside: Operand) -> Operand:
    """Make a whole-numbered expression a real one beside a literal that is not whole."""
    fraction = isinstance(beside, float) and isinstance(operand, Expr) and operand.type.is_integer
    return to_type(operand, LREAL) if fraction and isinstance(operand, Expr) else operand


def _common(one: ElementaryType, other: ElementaryType) -> ElementaryType | None:
    """Give the type that holds both numbers (implicit widening; from memory: IEC 61131-3:2013, Figure 11)."""
    if one is other or not (one.is_number and other.is_number):
        return None
    if one.is_integer and other.is_integer:
        least, most = min(one.least, other.least), max(one.most, other.most)
        whole = [t for t in TYPES.values() if t.is_integer and t.least <= least and most <= t.most]
        return min(whole, key=lambda t: t.bits) if whole else LREAL
    return LREAL


def _function(name: str, arguments: list[Operand]) -> Expr:
    source, _, target = name.partition("_TO_")
    if source in TYPES and target in TYPES:
        if len(arguments) != 1:
            raise ProgramError(f"{name} takes one value but is given {len(arguments)}")
        given = arguments[0]
        value = given if isinstance(given, Expr) else of_type(given, TYPES[source])
        if value.type is not TYPES[source]:
            raise ProgramError(f"{name} is given {value}, which is {value.type.name}")
        return to_type(value, TYPES[target])
    if name not in _FUNCTIONS:
        raise ProgramError(f"there is no function {name!r}", mend=nearest(name, [*_FUNCTIONS, "INT_TO_LREAL"]))
    count, build = _FUNCTIONS[name]
    if len(arguments) != count and not (name in ("MIN", "MAX") and len(arguments) > count):
        raise ProgramError(f"{name} takes {count} values but is given {len(arguments)}")
    first = [typed(arguments[0])] if name in ("ABS", "SEL") else arguments[:1]
    return build(*first, *arguments[1:])


__all__ = ["read", "typed"]
