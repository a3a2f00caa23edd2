"""Write an expression as Python source, and the instants at which time alone could change it.

Statements and blocks are compile.py. A comparison of a running time with a bound reports the
instant at which it turns; any other look at a running time is volatile (design: sleeping scan,
sentences 4 and 5). Rule: source is made from checked nodes only, never from user text.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import Final

from simplant.errors import ProgramError
from simplant.expr import (
    COMPARISONS,
    Address,
    Binary,
    Checked,
    Const,
    Elapsed,
    Element,
    Expr,
    Function,
    Op,
    Pointed,
    Ref,
    StepActive,
    TimerElapsed,
    Truth,
    Unary,
)
from simplant.expr.checks import IndexCheck, RangeCheck
from simplant.expr.functions import SELECTION, function_named
from simplant.expr.spans import SUMS, WHOLE, Span, is_in, joined, narrowed, span_of, span_of_type
from simplant.timebase import ms
from simplant.values import BOOL, INT, LREAL, REAL, TIME, ElementaryType, Kind, divide, modulo
from simplant.values.elementary import single

MOST_BITS_OF_MS: Final = 32
"""Of a whole number of milliseconds that surely is a TIME."""
MOST_NESTED: Final = 80
"""Parentheses within parentheses that one expression may have (CPython itself refuses 201)."""

_SIGN: Final = {
    Op.AND: "and", Op.OR: "or", Op.XOR: "!=", Op.EQ: "==", Op.NE: "!=", Op.LT: "<", Op.LE: "<=", Op.GT: ">",
    Op.GE: ">=", Op.ADD: "+", Op.SUB: "-", Op.MUL: "*",
}  # fmt: skip
_BITS: Final = {Op.AND: "&", Op.OR: "|", Op.XOR: "^"}
_MIRROR: Final = {Op.GE: Op.LE, Op.LE: Op.GE, Op.GT: Op.LT, Op.LT: Op.GT, Op.EQ: Op.EQ, Op.NE: Op.NE}
_WIDEST: Final = (-(1 << 127), 1 << 127)
"""Exact whole numbers that are still reckoned with in one go."""
_TURNS: Final = {Op.GE: (0,), Op.LT: (0,), Op.GT: (1,), Op.LE: (1,), Op.EQ: (0, 1), Op.NE: (0, 1)}
"""Nanoseconds after the bound at which a comparison of a running time with it changes."""


@dataclass(slots=True)
class Emitter:
    """Writes expressions; `name` gives the Python name of a stored value, `bind` one for an object it calls."""

    name: Callable[[str], str]
    constants: dict[str, object] = field(default_factory=dict)

    def bind(self, hint: str, value: object) -> str:
        """Give a global name for an object (a function, a float that has no literal)."""
        for known, bound in self.constants.items():
            if bound is value:
                return known
        key = f"{hint}_{len(self.constants)}"
        self.constants[key] = value
        return key

    def text(self, node: Expr, depth: int = 0) -> str:
        """Give the Python source of an expression."""
        if depth > MOST_NESTED:
            raise ProgramError(
                f"an expression is nested more than {MOST_NESTED} deep", mend="give parts of it names of their own"
            )
        match node:
            case Const():
                return self._constant(node)
            case Ref() | Truth():
                return self.name(node.name)
            case Unary():
                return self._unary(node, depth)
            case Binary():
                return self._binary(node, depth)
            case Function():
                return self._function(node, depth)
            case Checked():
                return self._checked(node, depth)
            case Element():
                return f"{self.name(node.row)}[{self.text(node.index, depth + 1)}]"
            case Pointed() | Address():
                return self._place(node, depth)
            case Elapsed():
                return f"(now - {self.name(node.since.name)})"
            case TimerElapsed():
                return self.name(f"{node.instance}.ET")
            case StepActive():
                chart = self.name(node.chart)
                return f"({chart} == {node.steps[0]!r})" if len(node.steps) == 1 else f"({chart} in {node.steps!r})"
            case _:
                raise ProgramError(f"{node!r} cannot be compiled")

    def _place(self, node: Pointed | Address, depth: int) -> str:
        """Write what a reference leads to, or a reference: by the memory, beside the budget of loops."""
        index = self.text(node.index, depth + 1)
        if isinstance(node, Address):
            return f"left[1].place({self.name(node.row)}, {index}, {node.behind!r})"
        reference = self.text(node.reference, depth + 1)
        return f"left[1].read({reference}, {node.label!r}, {node.suffix!r}, {index})"

    def _constant(self, node: Const) -> str:
        return self.bind("c", node.value) if isinstance(node.value, float) else repr(node.value)

    def _unary(self, node: Unary, depth: int) -> str:
        inner = self.text(node.operand, depth + 1)
        if node.op is Op.NEG:
            return wrapped(f"(-{inner})", node.type, self)
        return f"(not {inner})" if node.type is BOOL else f"({inner} ^ {(1 << node.type.bits) - 1})"

    def _binary(self, node: Binary, depth: int) -> str:
        if node.op in (Op.AND, Op.OR):
            sign = f" {_SIGN[node.op] if node.type is BOOL else _BITS[node.op]} "
            terms = _chain(node, node.op)
            texts = self._any_of(terms, depth) if node.op is Op.OR else [self.text(t, depth + 1) for t in terms]
            return f"({sign.join(texts)})"
        if node.op in SUMS and node.type.kind in WHOLE:
            text, span = self._exact(node, depth)
            return text if is_in(span, span_of_type(node.type)) else wrapped(text, node.type, self)
        left, right = self.text(node.left, depth + 1), self.text(node.right, depth + 1)
        if node.op in (Op.DIV, Op.MOD):
            return self._divided(node, left, right)
        sign = _BITS[node.op] if node.op is Op.XOR and node.type is not BOOL else _SIGN[node.op]
        plain = f"({left} {sign} {right})"
        return plain if node.type is BOOL or node.op is Op.XOR else wrapped(plain, node.type, self)

    def _divided(self, node: Binary, left: str, right: str) -> str:
        """Write a quotient or a remainder; in line if the divisor is known and above 0."""
        if node.type.kind is Kind.INTEGER and isinstance(node.right, Const) and int(node.right.value) > 0:
            sign = "//" if node.op is Op.DIV else "%"
            if span_of(node.left)[0] >= 0:
                return f"({left} {sign} {right})"
            return f"(at {sign} {right} if (at := {left}) >= 0 else -(-at {sign} {right}))"
        if node.type.kind is Kind.REAL and isinstance(node.right, Const) and node.right.value != 0:
            return wrapped(f"({left} / {right})", node.type, self)
        compute = self.bind("f", divide if node.op is Op.DIV else modulo)
        return wrapped(f"{compute}({left}, {right})", node.type, self)

    def _exact(self, node: Expr, depth: int) -> tuple[str, Span]:
        """Write a sum, difference or product of whole numbers that is not yet brought into its type; give its span."""
        if not isinstance(node, Binary) or node.op not in SUMS:
            return self.text(node, depth), span_of(node)
        texts, spans = [], []
        for each in (node.left, node.right):
            same = isinstance(each, Binary) and each.type is node.type
            text, span = self._exact(each, depth + 1) if same else (self.text(each, depth + 1), span_of(each))
            if same and not is_in(span, _WIDEST):
                text, span = wrapped(text, each.type, self), span_of_type(each.type)
            texts.append(text)
            spans.append(span)
        return f"({texts[0]} {_SIGN[node.op]} {texts[1]})", joined(node.op, *spans)

    def _checked(self, node: Checked, depth: int) -> str:
        """Write a check; one of bounds in line, so that only what is out of them is a call."""
        text, check = self.text(node.value, depth + 1), self.bind("k", node.check)
        if not isinstance(node.check, IndexCheck | RangeCheck) or node.value.type.kind is not Kind.INTEGER:
            return f"{check}({text})"
        least, most, first = node.check.least, node.check.most, text if text.isidentifier() else f"(at := {text})"
        name = text if text.isidentifier() else "at"
        given = f"{name} - {least}" if least and isinstance(node.check, IndexCheck) else name
        return f"({given} if {least} <= {first} <= {most} else {check}({name}))"

    def _any_of(self, terms: Iterable[Expr], depth: int) -> Iterator[str]:
        """Write the terms of an OR; neighbours `x = 1`, `x = 2` (steps of a chart, mostly) become one `x in {1, 2}`."""
        for name, group in groupby(terms, _compared):
            alike = list(group)
            if name and len(alike) > 1:
                numbers = ", ".join(self.text(each.right) for each in alike if isinstance(each, Binary))
                yield f"{self.name(name)} in {{{numbers}}}"
            else:
                yield from (self.text(term, depth + 1) for term in alike)

    def _function(self, node: Function, depth: int) -> str:
        arguments = [self.text(a, depth + 1) for a in node.arguments]
        if node.name == "SEL":
            return f"({arguments[2]} if {arguments[0]} else {arguments[1]})"
        if narrowed(node):
            inside = is_in(span_of(node.arguments[0]), span_of_type(node.type))
            return arguments[0] if inside else wrapped(arguments[0], node.type, self)
        if "_TO_" in node.name and (short := _converted(node.arguments[0].type, node.type, arguments[0])):
            return short
        compute = self.bind("f", function_named(node.name, node.type))
        return wrapped(f"{compute}({', '.join(arguments)})", node.type, self)


def _converted(source: ElementaryType, target: ElementaryType, text: str) -> str:
    """Write a conversion of a whole number as the one operation that `convert` comes to; "" if it is more than that."""
    if source.kind is not Kind.INTEGER:
        return ""
    if target is BOOL:
        return f"({text} != 0)"
    if target is LREAL or (target is REAL and source.bits <= INT.bits):
        return f"float({text})"
    return f"({text} * {ms(1)})" if target is TIME and source.bits <= MOST_BITS_OF_MS else ""


def _chain(node: Expr, op: Op) -> Iterable[Expr]:
    """Give the terms of `a AND b AND c` left to right, without parentheses between them."""
    terms: list[Expr] = []
    while isinstance(node, Binary) and node.op is op:
        terms.append(node.right)
        node = node.left
    return (node, *reversed(terms))


def _compared(term: Expr) -> str:
    """Give the name that a term compares with a whole number; "" if it is no such test."""
    match term:
        case Binary(op=Op.EQ, left=Ref(name=name), right=Const(value=int())):
            return name
        case _:
            return ""


def wrapped(text: str, kind: ElementaryType, emitter: Emitter) -> str:
    """Bring a result back into its type."""
    if kind is LREAL or kind is BOOL or kind.bits == 0:
        return text
    if kind is REAL:
        return f"{emitter.bind('f', single)}({text})"
    if not kind.signed:
        return f"({text} & {(1 << kind.bits) - 1})"
    half = 1 << (kind.bits - 1)
    return f"((({text} + {half}) & {2 * half - 1}) - {half})"


@dataclass(frozen=True, slots=True)
class Turn:
    """A running time compared with a bound: it can turn `after` ns past `since` + `bound`."""

    running: Elapsed | TimerElapsed
    bound: Expr
    after: tuple[int, ...]


def looks_at_time(expression: Expr) -> tuple[list[Turn], list[Elapsed | TimerElapsed]]:
    """Split an expression's looks at running times into bounded comparisons and volatile ones."""
    turns: list[Turn] = []
    volatile: list[Elapsed | TimerElapsed] = []

    def visit(node: Expr) -> None:
        if isinstance(node, Elapsed | TimerElapsed):
            volatile.append(node)
        elif isinstance(node, Binary) and node.op in COMPARISONS and (turn := _turn(node)) is not None:
            turns.append(turn)
        else:
            for child in node.children():
                visit(child)

    visit(expression)
    return turns, volatile


def _turn(node: Binary) -> Turn | None:
    for running, bound, op in ((node.left, node.right, node.op), (node.right, node.left, _MIRROR[node.op])):
        if isinstance(running, Elapsed | TimerElapsed) and all(_is_steady(n) for n in bound.walk()):
            return Turn(running, bound, _TURNS[op])
    return None


def _is_steady(node: Expr) -> bool:
    """Say whether a node of a bound does not run with time and cannot fail (it is looked at ahead of its turn)."""
    match node:
        case Const() | Ref() | Unary():
            return True
        case Binary():
            return node.op not in (Op.DIV, Op.MOD)
        case Function():
            return node.name in SELECTION
        case _:
            return False
