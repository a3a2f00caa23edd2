"""Lowering statements to the core: branches, loops, assignments, calls.

Values are expressions.py. Rule: a mistake costs one statement, and what stands inside it is checked all the same.
"""

from collections.abc import Callable, Sequence
from typing import TypeVar

from simplant.expr import Binary, Const, Expr, Function, Op, Ref
from simplant.logic.core import Assign, Branch, Core, Exit, Loop
from simplant.logic.core import Leave as CoreLeave
from simplant.logic.st.adapt import adapt, converted
from simplant.logic.st.bases import block_named
from simplant.logic.st.calls import perform_function
from simplant.logic.st.cases import lower_case
from simplant.logic.st.cursor import DEEPEST
from simplant.logic.st.enabling import gated, is_gated
from simplant.logic.st.foreign import FUNCTIONS, VARIABLES, foreign
from simplant.logic.st.instances import Instances
from simplant.logic.st.no_function import told_method
from simplant.logic.st.parts import every, first_of, returns
from simplant.logic.st.report import Fault, fail
from simplant.logic.st.scope import UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import (
    Access,
    Call,
    Case,
    Do,
    Expression,
    For,
    If,
    Leave,
    Let,
    Literal,
    Prefix,
    Repeat,
    Statement,
    While,
)
from simplant.logic.st.types import Scalar, Standard, Struct, elementary
from simplant.values import BOOL, LINT, Kind

_T = TypeVar("_T")
_FALSE: Expr = Const(value=False, type=BOOL)
_EXITS = {"EXIT": Exit.LOOP, "CONTINUE": Exit.PASS, "RETURN": Exit.ROUTINE}


class Statements(Instances):
    """Lowers the statements of one frame."""

    def body(self, nodes: Sequence[Statement]) -> tuple[Core, ...]:
        """Lower statements in order."""
        made: list[Core] = []
        for number, node in enumerate(nodes):
            made += self.statement(node)
            if isinstance(node, Leave) and number + 1 < len(nodes):
                behind = nodes[number + 1].place
                self.report.warn(behind, f"this is never reached, since {node.word} stands before it")
        return tuple(made)

    def statement(self, node: Statement) -> list[Core]:
        """Lower one statement, with what must run before it."""
        outer, self.before = self.before, []
        nothing: list[Core] = []
        made = self.tried(lambda: self._statement(node), nothing)
        made, self.before = [*self.before, *made], outer
        return made

    def tried(self, lower: Callable[[], _T], otherwise: _T) -> _T:
        """Lower something; note what is wrong with it and give a stand-in."""
        try:
            return lower()
        except Fault as fault:
            self.report.add(fault.mistake)
            return otherwise

    def _statement(self, node: Statement) -> list[Core]:
        match node:
            case Let():
                return self.assign(node.target, node.value)
            case Do():
                return self._call_statement(node.call)
            case If():
                return self._if(node)
            case Case():
                return lower_case(self, node)
            case For():
                return self._for(node)
            case While() | Repeat():
                return self._while(node)
            case Leave():
                return self._leave(node)

    def _call_statement(self, node: Call) -> list[Core]:
        name = node.callee.name.upper()
        symbol = self.frame.find(node.callee.name)
        if symbol is not None:
            told_method(self, node)
            spot = self.spot(node.callee)
            if isinstance(spot.type, Standard) or (isinstance(spot.type, Struct) and spot.type.unit):
                return self.call_instance(node, spot)
            if name not in self.frame.names.units:
                fail(node.place, f"{node.callee} is {spot.type.name}, it cannot be called", length=len(name))
        unit = self.frame.names.units.get(name)
        if unit is not None and unit.tree.kind == "FUNCTION_BLOCK":
            mend = f"declare an instance: my_{name.lower()} : {unit.tree.name};"
            fail(node.place, f"{node.callee} is a FUNCTION_BLOCK", "instances are called, not types", mend, len(name))
        if unit is not None and unit.tree.kind == "FUNCTION" and not isinstance(unit.result, Scalar):
            return self._perform(node, unit)
        if symbol is None and unit is None:
            self._undeclared_call(node, name)
        self.value(node)
        return []

    def _perform(self, node: Call, unit: UnitInfo) -> list[Core]:
        """Call a function of the user that gives no single value."""
        if is_gated(node, unit.symbols):
            gated(self, node, unit.symbols, lambda call: (self._perform(call, unit), ()))
        else:
            perform_function(self, node, unit, {})
        return []

    def _undeclared_call(self, node: Call, name: str) -> None:
        """Tell of a call of what is neither an instance nor a function."""
        if name in self.report.broken:
            raise Fault(self.report.broken[name])
        if name in VARIABLES:
            foreign(node.place, node.callee.name, VARIABLES[name], len(name))
        if name in FUNCTIONS:
            foreign(node.place, repr(node.callee.name), FUNCTIONS[name], len(name))
        if block_named(name) is not None:
            mend = f"declare an instance: my_{name.lower()} : {name};"
            fail(node.place, f"{node.callee} is a block", "instances are called, not types", mend, len(name))
        if self._unknown(node):
            fail(node.place, f"{str(node.callee)!r} is not declared", mend=self.frame.close_to(name), length=len(name))

    def _unknown(self, node: Call) -> bool:
        """Say whether a called name is nothing at all (a wrong function is told by the call itself)."""
        from simplant.logic.st.standard import signature  # noqa: PLC0415 - only for this message

        return node.callee.name.upper() not in self.frame.names.units and signature(node.callee.name.upper()) is None

    # branches

    def _if(self, node: If, deep: int = 0) -> list[Core]:
        """Lower an IF; a condition that needs statements before it opens an IF inside the ELSE."""
        origin = self.origin(node.place)
        built: list[tuple[Expr, tuple[Core, ...]]] = []
        for number, (condition, body) in enumerate(node.arms):
            outer, self.before = self.before, []
            test = self.tried(lambda c=condition: self.condition(c, "the condition"), _FALSE)  # type: ignore[misc]
            first, self.before = self.before, outer
            if first and built:
                if deep > DEEPEST:
                    what = f"more than {DEEPEST} conditions of this IF call functions"
                    fail(condition.place, what, mend="call them before, or write CASE")
                rest = self._if(If(first_of(condition).place, node.arms[number:], node.otherwise), deep + 1)
                inside = self.before[len(outer) :]
                self.before = outer
                places = (node.place, *(first_of(each).place for each, _ in node.arms[1:number]))
                return [Branch(tuple(built), (*inside, *rest), origin, places)]
            self.before += first
            if isinstance(condition, Literal) and condition.text:
                self.report.warn(
                    condition.place, f"the condition is always {condition.text}", length=len(condition.text)
                )
            built.append((test, self.body(body)))
        places = (node.place, *(first_of(condition).place for condition, _ in node.arms[1:]))
        return [Branch(tuple(built), self.body(node.otherwise), origin, places)]

    # loops

    def _for(self, node: For) -> list[Core]:
        spot = self.writable(node.variable)
        if not isinstance(spot.type, Scalar) or spot.type.base.kind is not Kind.INTEGER:
            fail(node.variable.place, f"{node.variable} is {spot.type.name}", "FOR counts with a whole number")
        spot.symbol.read = True
        first = self.as_type(node.first, spot.type, f"the first {node.variable}")
        last = self._bound(node.last, spot.type, f"the last {node.variable}")
        step = self._step(node)
        origin = self.origin(node.place)
        counter, limit, by = (self.frame.fresh(word) for word in ("count", "last", "step"))
        for name in (counter, limit, by):
            self.frame.types[name] = elementary(LINT)
        count = Ref(counter, LINT)
        made: list[Core] = [Assign(counter, converted(first, LINT), origin), Assign(limit, last, origin)]
        upward = Binary(Op.LE, count, Ref(limit, LINT), BOOL)
        downward = Binary(Op.GE, count, Ref(limit, LINT), BOOL)
        if isinstance(step, Const):
            condition: Expr = upward if int(step.value) > 0 else downward
        else:
            made.append(Assign(by, step, origin))
            step = Ref(by, LINT)
            condition = Function("SEL", (Binary(Op.GE, step, Const(0, LINT), BOOL), downward, upward), BOOL)
        head = tuple(self.put(spot, converted(count, spot.type.base), node.place))
        again: tuple[Core, ...] = (
            Assign(counter, Binary(Op.ADD, converted(self.read(spot), LINT), step, LINT), origin),
        )
        body = self._looped(node.body, again, spot)
        return [*made, Loop(head, condition, body, again, origin)]

    def _bound(self, node: Expression, wanted: Scalar, what: str) -> Expr:
        given = self.value(node, wanted)
        if given.type.base.kind is not Kind.INTEGER:
            return converted(adapt(given, wanted, node.place, self.report, what), LINT)
        return Const(given.constant, LINT) if given.constant is not None else converted(given.expr, LINT)

    def _step(self, node: For) -> Expr:
        if node.step is None:
            return Const(1, LINT)
        step = self._bound(node.step, elementary(LINT), "the step")
        if isinstance(step, Const) and step.value == 0:
            fail(node.step.place, "the step is 0", "the loop would never end")
        return step

    def _looped(
        self, nodes: Sequence[Statement], step: tuple[Core, ...], control: Spot | None = None
    ) -> tuple[Core, ...]:
        self.frame.loops.append(step)
        if control is not None:
            self.frame.controls.append(control.path)
        try:
            return self.body(nodes)
        finally:
            self.frame.loops.pop()
            if control is not None:
                self.frame.controls.pop()

    def _while(self, node: While | Repeat) -> list[Core]:
        outer, self.before = self.before, []
        source = node.condition if isinstance(node, While) else node.until
        test = self.tried(lambda: self.condition(source, "the condition"), _FALSE)
        first, self.before = tuple(self.before), outer
        origin = self.origin(node.place)
        if isinstance(node, While):
            return [Loop(first, test, self._looped(node.body, ()), (), origin)]
        out = CoreLeave(Exit.LOOP, self.origin(source.place))
        step = (*first, Branch(((test, (out,)),), (), self.origin(source.place)))
        return [Loop((), None, self._looped(node.body, step), step, origin)]

    def _leave(self, node: Leave) -> list[Core]:
        what = _EXITS[node.word]
        if what is not Exit.ROUTINE and not self.frame.loops:
            fail(node.place, f"{node.word} stands outside a loop", length=len(node.word))
        leave = CoreLeave(what, self.origin(node.place))
        return [*self.frame.loops[-1], leave] if what is Exit.PASS else [leave]  # type: ignore[list-item]


__all__ = ["Access", "Prefix", "Statements", "every", "returns"]
