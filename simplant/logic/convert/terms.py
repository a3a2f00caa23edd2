"""Expressions and assignments of a Python program as Structured Text.

Statements are statements.py and charts.py. Rule: the same operators on the same types; a number stands bare only where
what is beside it says its type.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.expr import (
    Assignment,
    Binary,
    Const,
    Elapsed,
    Expr,
    Function,
    Op,
    Ref,
    StepActive,
    TimerElapsed,
    Unary,
)
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.st.tree import Access, Argument, Call, Expression, Field, If, Infix, Let, Literal, Prefix, Statement
from simplant.values import BOOL, ElementaryType, Kind, Value, show_value

_EQUAL: Final = (Op.EQ, Op.NE)
_COMPARED: Final = (*_EQUAL, Op.LT, Op.GT, Op.LE, Op.GE)

NOWHERE: Final = Place("")


@dataclass(frozen=True, slots=True)
class Words:
    """The enumeration of a chart's steps or of a table's first-out.

    Args:
        type: its name.
        names: of the values 0, 1, 2 ...
        qualified: a name alone would mean something else.
    """

    type: str
    names: tuple[str, ...]
    qualified: bool


@dataclass(slots=True)
class Terms:
    """Says expressions in Structured Text; one of these for each program.

    Args:
        words: of each chart and first-out, by the variable's name.
        times: the timer that counts each chart's step time.
        overtimes: the variable that holds what became of each chart's limits, where anybody asks.
        asked: which of these limits (`cycle.load.overtime`) somebody asks about.
        first_scan: the edge that is there in the first scan.
        place: of what is said now.
    """

    words: Mapping[str, Words]
    times: Mapping[str, str]
    overtimes: Mapping[str, str]
    asked: frozenset[str]
    first_scan: str
    place: Place = NOWHERE
    serial: int = 0

    def here(self) -> Place:
        """Give a place of its own: the source's line, and a number as column."""
        self.serial += 1
        return Place(self.place.file, self.place.line, self.serial)

    def expression(self, node: Expr, *, anchored: bool = True) -> Expression:
        """Say an expression; `anchored`: what is around it says its type, should it be a bare number."""
        match node:
            case Const():
                return self.literal(node.value, node.type, typed=not anchored)
            case Binary():
                return self._binary(node)
            case Unary(op=Op.NOT, operand=StepActive(steps=(step,)) as only):
                return Infix(self.here(), "<>", self.access(only.chart), self.word(only.chart, step))
            case Unary(op=Op.NOT, operand=Binary(op=Op.EQ | Op.NE) as test):
                return self._binary(replace(test, op=Op.NE if test.op is Op.EQ else Op.EQ))
            case Unary():
                return Prefix(self.here(), node.op.spelling, self.expression(node.operand, anchored=False))
            case Function():
                return self._function(node)
            case StepActive():
                return self._steps(node)
            case _:
                return self._stored(node)

    def _stored(self, node: Expr) -> Expression:
        match node:
            case Ref():
                return self._number(node.name) if node.name in self.words else self.access(node.name)
            case Elapsed():
                return self.field(self.times[node.since.name.partition(".")[0]], "ET")
            case TimerElapsed():
                return self.field(node.instance, "ET")
            case _:
                why = "the standard's languages have nothing like it"
                raise ProgramError(f"{node} cannot be said in Structured Text", why, place=self.place)

    def literal(self, value: Value, type_: ElementaryType, *, typed: bool = False) -> Expression:
        """Say a value of a type."""
        if isinstance(value, float) and not math.isfinite(value):
            why = "the standard has no literal for it"
            raise ProgramError(f"the value {value} cannot be said in Structured Text", why, place=self.place)
        negative = type_.kind in (Kind.INTEGER, Kind.REAL) and (value < 0 or str(value)[0] == "-")  # type: ignore[operator]
        text = show_value(value, type_)
        prefix = f"{type_.name}#" if typed and type_.kind in (Kind.INTEGER, Kind.REAL, Kind.BITS) else ""
        if negative and not prefix:
            return Prefix(self.here(), "-", Literal(self.here(), -value, None, text[1:]))  # type: ignore[operator]
        own = type_ if prefix or type_.kind not in (Kind.INTEGER, Kind.REAL, Kind.BITS) else None
        return Literal(self.here(), value, own, prefix + text)

    def _binary(self, node: Binary) -> Expression:
        named = self._named_value(node) if node.op in _EQUAL else None
        if named is not None:
            return named
        left = self.expression(node.left, anchored=tells_type(node.right))
        right = self.expression(node.right, anchored=tells_type(node.left))
        return Infix(self.here(), node.op.spelling, left, right)

    def _named_value(self, node: Binary) -> Expression | None:
        """Say that an enumeration has one of its values, or has not."""
        for one, other in ((node.left, node.right), (node.right, node.left)):
            if isinstance(one, Ref) and one.name in self.words and isinstance(other, Const):
                names = self.words[one.name].names
                if 0 <= int(other.value) < len(names):
                    word = self.word(one.name, names[int(other.value)])
                    return Infix(self.here(), node.op.spelling, self.access(one.name), word)
        return None

    def _function(self, node: Function) -> Expression:
        anchored = "_TO_" not in node.name and any(tells_type(a) for a in _alike(node))
        return self.call(node.name, [self.expression(a, anchored=anchored) for a in node.arguments])

    def call(self, name: str, arguments: list[Expression]) -> Call:
        """Say a call of a function."""
        given = tuple(Argument(self.here(), "", value) for value in arguments)
        return Call(self.here(), Access(self.here(), name), given)

    def _steps(self, node: StepActive) -> Expression:
        """Say that one of some steps is active, or that none of the others is, whatever is shorter."""
        names = self.words[node.chart].names
        others = [n for n in names if n not in node.steps]
        if len(others) == 1 and len(node.steps) > 2:
            return Infix(self.here(), "<>", self.access(node.chart), self.word(node.chart, others[0]))
        if others and len(others) < len(node.steps) - 1:
            return Prefix(self.here(), "NOT", self.one_of(node.chart, others))
        return self.one_of(node.chart, list(node.steps))

    def one_of(self, chart: str, steps: list[str]) -> Expression:
        """Say that one of some steps is active."""
        tests = [Infix(self.here(), "=", self.access(chart), self.word(chart, step)) for step in steps]
        joined: Expression = tests[0]
        for test in tests[1:]:
            joined = Infix(self.here(), "OR", joined, test)
        return joined

    def word(self, variable: str, name: str) -> Expression:
        """Say a name of the enumeration of a variable."""
        known = self.words[variable]
        if known.qualified:
            return Literal(self.here(), 0, None, name, known.type)
        return Access(self.here(), name)

    def _number(self, variable: str) -> Expression:
        """Say the number of an enumeration's value."""
        return self.call("TO_INT", [self.access(variable)])

    def access(self, name: str) -> Access:
        """Say a variable, or a field of one."""
        if name == FIRST_SCAN.name:
            return self.field(self.first_scan, "Q")
        head, *fields = name.split(".")
        if head in self.overtimes and fields[-1:] == ["overtime"]:
            return self.field(self.overtimes[head], fields[0])
        return Access(self.here(), head, tuple(Field(self.here(), f) for f in fields))

    def field(self, name: str, field: str) -> Access:
        """Say a field of a variable."""
        return Access(self.here(), name, (Field(self.here(), field),))

    # assignments

    def assignment(self, action: Assignment) -> Statement:
        """Say an action, in an IF if it has a condition."""
        made = self.let(action.target.name, action.value)
        return made if action.when is None else self.if_(action.when, [made])

    def let(self, name: str, value: Expr) -> Let:
        """Say that a variable gets a value."""
        if name in self.words:
            known = self.words[name].names
            if not isinstance(value, Const) or not 0 <= int(value.value) < len(known):
                why = f"it is an enumeration: {', '.join(known)}"
                raise ProgramError(f"{name} cannot be given {value} in Structured Text", why, place=self.place)
            return Let(self.here(), self.access(name), self.word(name, known[int(value.value)]))
        return Let(self.here(), self.access(name), self.expression(value))

    def if_(self, condition: Expr, body: list[Statement], otherwise: list[Statement] | None = None) -> If:
        """Say that something is done where a condition holds."""
        return If(self.here(), ((self.expression(condition), tuple(body)),), tuple(otherwise or ()))


def tells_type(node: Expr) -> bool:
    """Say whether an expression has its type by itself: somewhere in it a variable says it."""
    match node:
        case Const():
            return node.type.kind not in (Kind.INTEGER, Kind.REAL, Kind.BITS)
        case Unary():
            return tells_type(node.operand)
        case Binary():
            return node.op in _COMPARED or tells_type(node.left) or tells_type(node.right)
        case Function():
            if "_TO_" in node.name:
                return True
            return any(tells_type(a) for a in _alike(node))
        case _:
            return True


def _alike(node: Function) -> tuple[Expr, ...]:
    """Give the arguments that are of the function's own type."""
    return node.arguments[1:] if node.name == "SEL" else node.arguments


TRUE: Final = Const(value=True, type=BOOL)
FALSE: Final = Const(value=False, type=BOOL)
