"""Divisions by what may be 0: a way along the statements of a unit, with what is known of its numbers.

What a condition or a value says is ranges.py. Rule: told wherever nothing that was tested or written before keeps the
divisor from being 0.
"""

from collections.abc import Iterable, Iterator, Sequence

from simplant.logic.st.parts import every, expressions_of, in_a_row, within
from simplant.logic.st.ranges import ANY, NOT_ZERO, Known, Ranges, Span, joined, without
from simplant.logic.st.report import Mistake
from simplant.logic.st.scope import Names, UnitInfo
from simplant.logic.st.tree import (
    Access,
    Call,
    Case,
    Do,
    Expression,
    For,
    If,
    Index,
    Infix,
    Leave,
    Let,
    Literal,
    Prefix,
    Repeat,
    Statement,
    While,
)
from simplant.logic.st.types import Cell, Struct

_SHARED = ("VAR_EXTERNAL", "VAR_GLOBAL")


def divisions(unit: UnitInfo, names: Names) -> list[Mistake]:
    """Give the divisions of a unit by what may be 0."""
    walk = _Walk(unit, names)
    walk.body(unit.tree.statements, {})
    return walk.found


class _Walk:
    """Goes along statements; each step takes what is known before it, and gives what is known after it."""

    def __init__(self, unit: UnitInfo, names: Names) -> None:
        self.unit = unit
        self.names = names
        self.ranges = Ranges(unit, names)
        self.found: list[Mistake] = []
        symbols = (*unit.symbols.items(), *names.globals.items())
        self._shared = frozenset(
            key for key, s in symbols if s.section in _SHARED or s.is_global or isinstance(s.type, Cell)
        )

    def body(self, nodes: Iterable[Statement], known: Known | None) -> Known | None:
        """Go along a row; None behind what leaves it."""
        for node in nodes:
            if known is None:
                return None
            known = self._statement(node, known)
        return known

    def _statement(self, node: Statement, known: Known) -> Known | None:
        known = self._called(known, expressions_of(node))
        match node:
            case Let():
                return self._let(node, known)
            case Do():
                self._look(node.call, known)
                return self._without(known, self._written([node]))
            case If():
                return self._if(node, known)
            case Case():
                return self._case(node, known)
            case Leave():
                return None
            case _:
                return self._loop(node, known)

    def _let(self, node: Let, known: Known) -> Known:
        self._look(node.value, known)
        self._look(node.target, known)
        span = self.ranges.span(node.value, known)
        after = {} if node.target.leads else without(known, [node.target])
        inside = any(_named(each, node.target) for each in within(node.target) if each is not node.target)
        return after if inside else self.ranges.with_span(after, node.target, span)

    def _if(self, node: If, known: Known) -> Known | None:
        ways: list[Known | None] = []
        for condition, body in node.arms:
            self._look(condition, known)
            ways.append(self.body(body, self.ranges.refined(known, condition, holds=True)))
            known = self.ranges.refined(known, condition, holds=False)
        return joined(*ways, self.body(node.otherwise, known))

    def _case(self, node: Case, known: Known) -> Known | None:
        self._look(node.selector, known)
        ways: list[Known | None] = []
        rest = ANY
        for labels, body in node.groups:
            spans = [self._labelled(low, high, known) for low, high in labels]
            told = spans[0]
            for span in spans[1:]:
                told = told.or_else(span)
            ways.append(self.body(body, self.ranges.with_span(known, node.selector, told)))
            if any(span.low <= 0 <= span.high and span != ANY for span in spans):
                rest = NOT_ZERO
        return joined(*ways, self.body(node.otherwise, self.ranges.with_span(known, node.selector, rest)))

    def _labelled(self, low: Expression, high: Expression | None, known: Known) -> Span:
        first, last = self.ranges.span(low, known), self.ranges.span(low if high is None else high, known)
        return Span(first.low, last.high) if first.low == first.high and last.low == last.high else ANY

    # loops

    def _loop(self, node: For | While | Repeat, known: Known) -> Known:
        if isinstance(node, For):
            return self._for(node, known)
        return self._while(node, known) if isinstance(node, While) else self._repeat(node, known)

    def _for(self, node: For, known: Known) -> Known:
        for each in expressions_of(node):
            self._look(each, known)
        first, last = self.ranges.span(node.first, known), self.ranges.span(node.last, known)
        step = Span(1, 1) if node.step is None else self.ranges.span(node.step, known)
        known = self._without(known, [node.variable, *self._written(node.body)])
        counted = Span(min(first.low, last.low), max(first.high, last.high))
        if step.low > 0:
            counted = Span(first.low, last.high)
        elif step.high < 0:
            counted = Span(last.low, first.high)
        changed = any(each is None or _named(each, node.variable) for each in self._written(node.body))
        self.body(node.body, known if changed else self.ranges.with_span(known, node.variable, counted))
        return known

    def _while(self, node: While, known: Known) -> Known:
        known = self._without(known, self._written(node.body))
        self._look(node.condition, known)
        self.body(node.body, self.ranges.refined(known, node.condition, holds=True))
        return known if _leaves(node.body, "EXIT") else self.ranges.refined(known, node.condition, holds=False)

    def _repeat(self, node: Repeat, known: Known) -> Known:
        known = self._without(known, self._written(node.body))
        after = self.body(node.body, known)
        if after is None or _leaves(node.body, "CONTINUE"):
            after = known
        self._look(node.until, after)
        return known if _leaves(node.body, "EXIT") else self.ranges.refined(after, node.until, holds=True)

    # what is written

    def _without(self, known: Known, written: Sequence[Access | None]) -> Known:
        """Forget what is known of what is written; None stands for all that units share."""
        shared = self._shared if None in written else frozenset()
        return without(known, [access for access in written if access is not None], shared)

    def _written(self, nodes: Sequence[Statement]) -> list[Access | None]:
        """Give what statements write, those inside them too."""
        found: list[Access | None] = []
        for node in every(nodes):
            if isinstance(node, Let):
                found += [node.target, *([None] if node.target.leads else [])]
            elif isinstance(node, For):
                found.append(node.variable)
            for each in expressions_of(node):
                for call in within(each):
                    found += self._by_call(call) if isinstance(call, Call) else ()
        return found

    def _called(self, known: Known, nodes: Iterable[Expression]) -> Known:
        """Forget what functions that are called in expressions may write; they are called before all else."""
        calls = [c for node in nodes for c in within(node) if isinstance(c, Call) and self._own(c)]
        return self._without(known, [access for call in calls for access in self._by_call(call)]) if calls else known

    def _own(self, node: Call) -> bool:
        unit = self.names.units.get(node.callee.name.upper())
        return unit is not None and unit.tree.kind == "FUNCTION" and not node.callee.selectors

    def _by_call(self, node: Call) -> Iterator[Access | None]:
        """Give what a call may write: outputs, VAR_IN_OUT, the instance, what units share."""
        symbol = self.ranges.symbol(node.callee)
        type_ = symbol.plain if symbol is not None else None
        key = type_.unit if isinstance(type_, Struct) else node.callee.name
        unit = self.names.units.get(key.upper())
        lent = {s.name.upper() for s in unit.of("VAR_IN_OUT")} if unit is not None else set()
        for argument in node.arguments:
            if argument.target is not None:
                yield argument.target
            elif isinstance(argument.value, Access) and lent and argument.name.upper() in ("", *lent):
                yield argument.value
        if symbol is not None:
            yield node.callee
        if unit is not None or (symbol is not None and node.callee.selectors):
            yield None

    # expressions

    def _look(self, node: Expression, known: Known, before: Known | None = None) -> None:
        """Find divisions in an expression; `before`: what is known where it begins, as functions are called there."""
        before = known if before is None else before
        match node:
            case Infix(operator="AND" | "OR"):
                self._look_along(node, known, before)
            case Infix():
                first, row = in_a_row(node)
                self._look(first, known, before)
                for each in row:
                    self._divided(each, known)
                    self._look(each.right, known, before)
            case Prefix():
                self._look(node.operand, known, before)
            case Call():
                self._divided(node, known)
                self._look_at_all([a.value for a in node.arguments], before if self._own(node) else known, before)
            case Access():
                self._look_at_all([v for s in node.selectors if isinstance(s, Index) for v in s.values], known, before)
            case Literal():
                pass

    def _look_at_all(self, nodes: Iterable[Expression | None], known: Known, before: Known) -> None:
        for node in nodes:
            if node is not None:
                self._look(node, known, before)

    def _look_along(self, node: Infix, known: Known, before: Known) -> None:
        """Look along AND or OR: what stands behind is not reckoned where what stands before decides."""
        first, row = in_a_row(node)
        for each in (first, *(operator.right for operator in row)):
            self._look(each, known, before)
            known = self.ranges.refined(known, each, holds=node.operator == "AND")

    def _divided(self, node: Infix | Call, known: Known) -> None:
        if isinstance(node, Infix):
            divisor: Expression | None = node.right if node.operator in ("/", "MOD") else None
        else:
            named = node.callee.name.upper() in ("DIV", "MOD") and len(node.arguments) == 2
            divisor = node.arguments[1].value if named else None
        if isinstance(divisor, Access) and self.ranges.span(divisor, known).zero:
            what, why = f"{divisor} may be 0 here", "a division by 0 stops the scan"
            mend, length = f"test it: IF {divisor} <> 0 THEN", len(divisor.name)
            self.found.append(Mistake(divisor.place, what, why, mend, length, "warning"))


def _named(node: Expression, target: Access) -> bool:
    return isinstance(node, Access) and node.name.upper() == target.name.upper()


def _leaves(nodes: Iterable[Statement], word: str) -> bool:
    return any(isinstance(n, Leave) and n.word == word for n in every(nodes))


__all__ = ["divisions"]
