"""What is known of numbers at a place among statements: from where to where they go, and that they are not 0.

Who goes along the statements is divisions.py. Rule: what is not sure is not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace
from itertools import islice
from math import inf
from typing import Final

from simplant.logic.st.fields import field_type
from simplant.logic.st.parts import in_a_row, within
from simplant.logic.st.printed_expressions import printed_access
from simplant.logic.st.scope import Names, Symbol, UnitInfo
from simplant.logic.st.tree import Access, Call, Expression, Field, Index, Infix, Literal, Prefix
from simplant.logic.st.types import Array, Scalar, StType, plain
from simplant.values import TYPES, Kind

MIRRORED: Final = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "=": "=", "<>": "<>"}
_OPPOSITE: Final = {"<": ">=", ">": "<=", "<=": ">", ">=": "<", "=": "<>", "<>": "="}


@dataclass(frozen=True, slots=True)
class Span:
    """From where to where a number goes; `other`: it is not 0 all the same."""

    low: float = -inf
    high: float = inf
    other: bool = False

    @property
    def zero(self) -> bool:
        """Whether it may be 0."""
        return self.low <= 0 <= self.high and not self.other

    def met(self, also: Span) -> Span:
        """Give what holds if both hold."""
        return Span(max(self.low, also.low), min(self.high, also.high), not (self.zero and also.zero))

    def or_else(self, also: Span) -> Span:
        """Give what holds if one of both holds."""
        return Span(min(self.low, also.low), max(self.high, also.high), not (self.zero or also.zero))


ANY: Final = Span()
NOT_ZERO: Final = Span(other=True)
MOST: Final = 100
"""Variables of which something is known at a time; the oldest knowledge is forgotten first."""


@dataclass(frozen=True, slots=True)
class Fact:
    """What is known of a variable or a part of one; `paths`: its own, and those of the variables in its indices."""

    access: Access
    span: Span
    paths: tuple[tuple[str, ...], ...]
    roots: frozenset[str]


Known = Mapping[str, Fact]
"""What is known, by the text of the variable in capitals."""


def joined(*ways: Known | None) -> Known | None:
    """Give what is known where ways meet; None where nobody comes."""
    taken = [way for way in ways if way is not None]
    if not taken:
        return None
    first, *others = taken
    found: dict[str, Fact] = {}
    for key, fact in first.items():
        same = [other[key] for other in others if key in other]
        if len(same) == len(others):
            span = fact.span
            for other in same:
                span = span.or_else(other.span)
            found[key] = replace(fact, span=span) if span != fact.span else fact
    return found


def without(known: Known, written: Iterable[Access], roots: Set[str] = frozenset()) -> Known:
    """Forget what is known of variables that are written, and of elements whose index is; `roots`: of all of these."""
    paths = [_path(access) for access in written]
    named = {path[0] for path in paths}
    return {
        key: fact for key, fact in known.items()
        if fact.roots.isdisjoint(roots) and (fact.roots.isdisjoint(named) or not _touched(fact, paths))
    }  # fmt: skip


def _touched(fact: Fact, paths: Iterable[tuple[str, ...]]) -> bool:
    return any(own[: len(path)] == path[: len(own)] for path in paths for own in fact.paths)


def _path(access: Access) -> tuple[str, ...]:
    fields: list[str] = [access.name.upper()]
    for selector in access.selectors:
        if not isinstance(selector, Field):
            break
        fields.append(selector.name.upper())
    return tuple(fields)


class Ranges:
    """Tells of the expressions of one unit what they are between.

    Args:
        unit: whose expressions.
        names: of the file.
    """

    def __init__(self, unit: UnitInfo, names: Names) -> None:
        self._unit = unit
        self._names = names

    def symbol(self, access: Access) -> Symbol | None:
        """Find a variable."""
        key = access.name.upper()
        own = self._unit.symbols.get(key)
        if own is None or own.section == "VAR_EXTERNAL":
            return self._names.globals.get(key, own)
        return own

    def span(self, node: Expression, known: Known) -> Span:
        """Give what a number is between."""
        match node:
            case Literal(value=bool() | str()):
                return ANY
            case Literal(value=int() | float() as value) if not node.enum:
                return Span(value, value)
            case Prefix(operator="-", operand=Literal(value=int() | float() as value)):
                return Span(-value, -value)
            case Prefix(operator="-"):
                return ANY if self.span(node.operand, known).zero else NOT_ZERO
            case Access():
                own = known.get(key_of(node))
                return self._of_type(node) if own is None else self._of_type(node).met(own.span)
            case Call():
                return self._called(node, known)
            case _:
                return ANY

    def _of_type(self, node: Access) -> Span:
        symbol = self.symbol(node)
        type_ = self._type(node, symbol)
        if symbol is None or not isinstance(type_, Scalar):
            return ANY
        steady = not symbol.written and symbol.section == "VAR" and not symbol.address and not symbol.open_address
        if not node.selectors and (symbol.folded or steady):
            value = type_.initial if symbol.initial is None else symbol.initial
            return Span(value, value) if isinstance(value, int | float) else ANY
        if type_.least is not None and type_.most is not None:
            return Span(type_.least, type_.most)
        whole = type_.base.kind is Kind.INTEGER and not type_.is_enum
        return Span(int(type_.base.least), int(type_.base.most)) if whole else ANY

    @staticmethod
    def _type(node: Access, symbol: Symbol | None) -> StType | None:
        type_: StType | None = symbol.plain if symbol is not None else None
        for selector in node.selectors:
            if isinstance(selector, Index) and isinstance(type_, Array) and len(selector.values) == len(type_.ranges):
                type_ = plain(type_.of)
                continue
            found = field_type(type_, selector.name) if isinstance(selector, Field) and type_ is not None else None
            type_ = plain(found[1]) if found is not None else None
        return type_

    def _called(self, node: Call, known: Known) -> Span:
        name = node.callee.name.upper()
        values = [self.span(a.value, known) for a in node.arguments if a.value is not None]
        if name in self._names.units or node.callee.selectors or not values or any(a.name for a in node.arguments):
            return ANY
        if name == "ABS":
            return ANY if values[0].zero else NOT_ZERO
        if name == "MAX":
            return Span(max(v.low for v in values), max(v.high for v in values))
        if name == "MIN":
            return Span(min(v.low for v in values), min(v.high for v in values))
        if name == "LIMIT" and len(values) == 3:
            least, given, most = values
            return Span(min(max(given.low, least.low), most.low), min(max(given.high, least.high), most.high))
        if name in ("SEL", "MOVE") and len(values) in (1, 3):
            return values[-1].or_else(values[len(values) // 2])
        return _converted(name, values[0])

    def refined(self, known: Known, node: Expression, *, holds: bool) -> Known:
        """Add what is known where a condition holds, or where it does not."""
        match node:
            case Prefix(operator="NOT"):
                return self.refined(known, node.operand, holds=not holds)
            case Infix(operator="AND" | "OR"):
                return self._of_row(known, node, holds=holds)
            case Infix() if node.operator in MIRRORED:
                operator = node.operator if holds else _OPPOSITE[node.operator]
                known = self._compared(known, node.left, operator, node.right)
                return self._compared(known, node.right, MIRRORED[operator], node.left)
            case _:
                return known

    def _of_row(self, known: Known, node: Infix, *, holds: bool) -> Known:
        first, row = in_a_row(node)
        ways: list[Known] = []
        for each in (first, *(operator.right for operator in row)):
            ways.append(self.refined(known, each, holds=node.operator == "OR"))
            known = self.refined(known, each, holds=node.operator == "AND")
        if holds is (node.operator == "AND"):
            return known
        return joined(*ways) or {}

    def _compared(self, known: Known, node: Expression, operator: str, other: Expression) -> Known:
        """Add what `node operator other` says of the left side."""
        beside = self.span(other, known)
        match operator:
            case "=":
                told = beside
            case "<>":
                told = NOT_ZERO if (beside.low, beside.high) == (0, 0) else ANY
            case "<" | "<=":
                told = Span(high=beside.high, other=operator == "<" and beside.high == 0)
            case _:
                told = Span(low=beside.low, other=operator == ">" and beside.low == 0)
        if isinstance(node, Call) and node.callee.name.upper() == "ABS" and len(node.arguments) == 1:
            inner = node.arguments[0].value
            return known if told.zero or inner is None else self.with_span(known, inner, NOT_ZERO)
        return self.with_span(known, node, told)

    def with_span(self, known: Known, node: Expression, told: Span) -> Known:
        """Add what is known of a variable."""
        if told == ANY or not isinstance(node, Access) or node.leads:
            return known
        key = key_of(node)
        if key in known:
            return {**known, key: replace(known[key], span=known[key].span.met(told))}
        paths = tuple(_path(each) for each in within(node) if isinstance(each, Access))
        kept = known if len(known) < MOST else dict(islice(known.items(), 1, None))
        return {**kept, key: Fact(node, told, paths, frozenset(path[0] for path in paths))}


def key_of(access: Access) -> str:
    """Give the text of an access, the same however it is written."""
    return printed_access(access).upper()


def _converted(name: str, given: Span) -> Span:
    """Give what a number is between when it was converted, as far as nothing is cut off."""
    source, mark, target = name.partition("TO_")
    into, base = TYPES.get(target), TYPES.get(source.rstrip("_"))
    if not mark or into is None:
        return ANY
    if into.kind is Kind.REAL:
        return given
    whole = base is not None and Kind.INTEGER is base.kind is into.kind
    return given if whole and into.least <= given.low and given.high <= into.most else ANY


__all__ = ["ANY", "MIRRORED", "NOT_ZERO", "Known", "Ranges", "Span", "joined", "key_of", "without"]
