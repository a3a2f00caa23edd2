"""Moving values: assignments, whole structures and arrays, and what goes into and out of calls.

Single values are expressions.py. Rule: inputs, outputs of instances and constants are never written.
"""

from simplant.errors import Place
from simplant.expr import Binary, Const, Element, Expr, Function, Op, Ref, Unary, evaluate
from simplant.logic.core import Assign, Branch, Copy, Core, Routine, Row, Store
from simplant.logic.st import outside
from simplant.logic.st.adapt import Val, adapt
from simplant.logic.st.calls import perform_function
from simplant.logic.st.expressions import Lowering
from simplant.logic.st.letters import with_letter
from simplant.logic.st.overlaps import pairs, put_view
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Symbol, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.spots import SIZES
from simplant.logic.st.tree import Access, Argument, Call, Expression
from simplant.logic.st.types import Array, Cell, Leaf, Scalar, Standard, Struct, StType, alike, leaves, plain
from simplant.values import BOOL, DINT


class Moving(Lowering):
    """Lowers assignments."""

    def assign(self, target: Access, value: Expression) -> list[Core]:
        """Lower `target := value`."""
        spot = self.writable(target)
        if isinstance(spot.type, Scalar):
            what = str(target)
            given = self.value(value, spot.type)
            return self.put(spot, adapt(given, spot.type, value.place, self.report, what), target.place)
        source = self.whole(value, spot.type, str(target))
        return self.copy(spot, source, target.place)

    def store(self, target: Access, given: Val, place: Place) -> list[Core]:
        """Write a lowered value."""
        spot = self.writable(target)
        if not isinstance(spot.type, Scalar):
            fail(place, f"{target} is {spot.type.name}, not one value")
        return self.put(spot, adapt(given, spot.type, place, self.report, str(target)), place)

    def writable(self, target: Access) -> Spot:
        """Find where an assignment writes.

        Raises:
            Fault: it must not be written.
        """
        spot = self.spot(target)
        symbol, shown, length = spot.symbol, str(target), len(target.name)
        if symbol.constant:
            fail(target.place, f"{shown} is a constant", "it cannot be written", length=length)
        if symbol.at("%I"):
            where = symbol.address or symbol.open_address
            fail(target.place, f"{shown} is an input ({where})", "the machine gives it a value", length=length)
        outside.written(self, target, spot)
        if symbol.path in self.frame.controls:
            self.report.loose(target.place, f"{shown} counts a FOR loop and is changed in it", "use WHILE", length)
        symbol.written = True
        return spot

    def put(self, spot: Spot, value: Expr, place: Place) -> list[Core]:
        """Write one value at a spot."""
        origin = self.origin(place)
        if spot.letter is not None:
            return self.put(spot.whole(), with_letter(self, spot, spot.letter, value), place)
        if spot.view is not None and spot.bit is None:
            return put_view(self, spot, value, place)
        if spot.bit is not None:
            whole = spot.whole()
            assert isinstance(whole.type, Scalar), "a part of a bit string"
            size = SIZES[spot.bit.size][1]
            arguments = (self.read(whole), Const(spot.bit.number, DINT), Const(size, DINT), value)
            return self.put(whole, Function("WITH_BIT", arguments, whole.type.base), place)
        if spot.index is not None:
            return [Store(spot.path, spot.index, value, origin)]
        return [Assign(spot.path, value, origin)]

    @staticmethod
    def turned(argument: Argument, value: Val) -> Val:
        """Give what an output is taken as: `NOT Q => x` is its opposite."""
        if not argument.inverted:
            return value
        if value.type.base is not BOOL:
            fail(argument.place, f"NOT {argument.name} => is {value.type.name}", "only a BOOL has an opposite")
        return Val(Unary(Op.NOT, value.expr, BOOL), value.type)

    # structures and arrays

    def whole(self, value: Expression, wanted: StType, what: str) -> Spot:
        """Find a structure, array or instance that is to be moved."""
        if isinstance(value, Call):
            name = value.callee.name.upper()
            given = [a.value for a in value.arguments if a.value is not None]
            chooses = len(given) == {"MOVE": 1, "SEL": 3}.get(name) and name not in self.frame.names.units
            if chooses:
                return self._chosen(value, given, wanted, what)
            return self._result(value, wanted, what)
        if not isinstance(value, Access):
            fail(value.place, f"{what} is {wanted.name}", "a whole one is only copied from a variable")
        spot = self.spot(value)
        if not alike(spot.type, wanted):
            fail(value.place, f"{what} is {wanted.name}, {value} is {spot.type.name}", length=len(value.name))
        outside.looked_at(self, value, spot)
        self.same_bounds(value, spot.type, wanted, what)
        spot.symbol.read = True
        if spot.symbol.folded:
            self.hold(spot.symbol)
        return spot

    def same_bounds(self, node: Access, given: StType, wanted: StType, what: str) -> None:
        """Tell of an array of the length that is wanted, but with other bounds: it is copied by position."""
        if bounds(given) != bounds(wanted):
            told = f"{what} is {plain(wanted).name}, {node} is {plain(given).name}"
            self.report.loose(node.place, told, "declare both with the same bounds", len(node.name))

    def _chosen(self, value: Call, given: list[Expression], wanted: StType, what: str) -> Spot:
        """Give MOVE of a structure or an array, or SEL of two."""
        if len(given) == 1:
            return self.whole(given[0], wanted, what)
        condition, own = self.condition(given[0], "G of SEL"), self.frame.fresh("chosen")
        no, yes = (self.whole(each, wanted, what) for each in given[1:])
        made = Spot(Symbol(own, own, wanted, "VAR", value.place), own, wanted)
        self.begun(own, wanted)
        arms = ((condition, tuple(self.copy(made, yes, value.place))),)
        self.before.append(Branch(arms, tuple(self.copy(made, no, value.place)), self.origin(value.place)))
        return made

    def begun(self, own: str, type_: StType) -> None:
        """Let a structure or array of the frame's own exist."""
        for leaf in leaves(own, type_):
            self.frame.types[leaf.name] = leaf.type
            if leaf.is_row:
                self.frame.rows[leaf.name] = leaf.initial

    def _result(self, value: Call, wanted: StType, what: str) -> Spot:
        """Call a function that gives a structure or an array."""
        unit = self.frame.names.units.get(value.callee.name.upper())
        if unit is None or not isinstance(unit.result, Struct | Array):
            fail(value.place, f"{what} is no single value, {value.callee} gives one")
        if not alike(unit.result, wanted):
            fail(value.place, f"{what} is {wanted.name}, {value.callee} gives {unit.result.name}")
        self.same_bounds(value.callee, unit.result, wanted, what)
        own, root = self.frame.fresh("call"), unit.tree.name
        self.begun(own, unit.result)
        perform_function(self, value, unit, {n.name: own + n.name[len(root) :] for n in leaves(root, unit.result)})
        return Spot(Symbol(own, own, unit.result, "VAR", value.place), own, unit.result)

    def copy(self, target: Spot, source: Spot, place: Place) -> list[Core]:
        """Copy all leaves."""
        if target.view is not None or source.view is not None:
            return [core for one, other in pairs(target, source) for core in self.put(one, self.read(other), place)]
        made: list[Core] = []
        for into, out in zip(leaves(target.path, target.type), leaves(source.path, source.type), strict=True):
            if into.is_row:
                ends = (offset(target, into), out.name, offset(source, out), into.count)
                made.append(Copy(into.name, *ends, self.origin(place)))
            else:
                made += self.put_leaf(target, into, self.get_leaf(source, out), place)
        return made

    @staticmethod
    def get_leaf(spot: Spot, leaf: Leaf) -> Expr:
        """Give a single value below a spot."""
        base = leaf.type.base
        return Ref(leaf.name, base) if spot.index is None else Element(leaf.name, spot.index, base)

    def put_leaf(self, spot: Spot, leaf: Leaf, value: Expr, place: Place) -> list[Core]:
        """Write a single value below a spot."""
        origin = self.origin(place)
        return [Assign(leaf.name, value, origin) if spot.index is None else Store(leaf.name, spot.index, value, origin)]

    # parameters

    def pass_input(
        self, symbol: Symbol, given: Argument | None, values: dict[str, Expr], rows: dict[str, Row], place: Place
    ) -> None:
        """Put an argument among the values and rows of a call, by the names of the leaves that it is for."""
        if isinstance(symbol.type, Scalar):
            value = given.value if given is not None else None
            leaf = leaves(symbol.path, symbol.type, symbol.initial)[0]
            values[symbol.path] = (
                Const(leaf.initial[0], symbol.type.base)
                if value is None
                else self.as_type(value, symbol.type, f"input {symbol.name}")
            )
            return
        if given is None or given.value is None:
            fail(
                place, f"{symbol.name} is not given", f"it is {symbol.type.name}", f"write {symbol.name} := a variable"
            )
        spot = self.whole(given.value, symbol.type, f"input {symbol.name}")
        own = self.own_copy(spot, given.place)
        for inner, outer in zip(leaves(symbol.path, symbol.type), leaves(own, spot.type), strict=True):
            if inner.is_row:
                rows[inner.name] = Row(outer.name)
            else:
                values[inner.name] = Ref(outer.name, outer.type.base)

    def pass_in_out(
        self, symbol: Symbol, given: Argument, values: dict[str, Expr], rows: dict[str, Row], targets: dict[str, str]
    ) -> list[Core]:
        """Put a VAR_IN_OUT among the values, rows and targets of a call; give what must follow the call."""
        if not isinstance(given.value, Access):
            fail(given.place, f"{symbol.name} is a VAR_IN_OUT", "it needs a variable, not a value")
        spot = self.writable(given.value)
        if not alike(spot.type, symbol.type):
            fail(given.place, f"{symbol.name} is {symbol.type.name}, {given.value} is {spot.type.name}")
        self.same_bounds(given.value, spot.type, symbol.type, symbol.name)
        spot.symbol.read = True
        after: list[Core] = []
        if spot.cell and (isinstance(spot.type, Array) or isinstance(symbol.type, Cell)):
            path = spot.path
        elif spot.index is not None or spot.is_part:
            path, after = self._lent(spot, given.place)
        else:
            path = spot.path
        for inner, outer in zip(leaves(symbol.path, symbol.type), leaves(path, spot.type), strict=True):
            if inner.is_row:
                rows[inner.name] = Row(outer.name)
            else:
                values[inner.name] = Ref(outer.name, outer.type.base)
                targets[inner.name] = outer.name
        return after

    def _lent(self, spot: Spot, place: Place) -> tuple[str, list[Core]]:
        """Copy what stands in an array into a variable of its own; give its name, and what copies it back."""
        if isinstance(spot.type, Scalar):
            name = self.frame.fresh("lent")
            self.frame.types[name] = spot.type
            self.before.append(Assign(name, self.read(spot), self.origin(place)))
            return name, self.put(spot, Ref(name, spot.type.base), place)
        own = self.own_copy(spot, place)
        return own, self.copy(spot, Spot(spot.symbol, own, spot.type), place)

    def own_copy(self, spot: Spot, place: Place) -> str:
        """Copy a structure or array into a variable of the frame's own; give its name."""
        own = self.frame.fresh("copy")
        self.begun(own, spot.type)
        if isinstance(spot.type, Standard):
            self.frame.blocks[own] = spot.type.block
        self.before += self.copy(Spot(spot.symbol, own, spot.type), spot, place)
        return own

    def pass_globals(
        self, unit: UnitInfo, values: dict[str, Expr], rows: dict[str, Row], targets: dict[str, str]
    ) -> None:
        """Hand on the globals that a unit uses."""
        for symbol in unit.externals.values():
            self.frame.used[symbol.path] = symbol
            for leaf in leaves(symbol.path, symbol.type):
                if leaf.is_row:
                    rows[leaf.name] = Row(leaf.name)
                else:
                    values[leaf.name] = Ref(leaf.name, leaf.type.base)
                    targets[leaf.name] = leaf.name

    def spare(self, routine: Routine, result: str) -> str:
        """Give a name for a result that nobody takes."""
        name = self.frame.fresh("spare")
        self.frame.types[name] = Scalar(routine.types[result], routine.types[result].name)
        return name

    def spare_row(self, leaf: Leaf) -> str:
        """Give a row for an array that nobody takes."""
        name = self.frame.fresh("spare")
        self.frame.types[name], self.frame.rows[name] = leaf.type, leaf.initial
        return name


def bounds(type_: StType) -> tuple[tuple[int, int], ...]:
    """Give the bounds of an array, and of the arrays in it."""
    type_ = plain(type_)
    return (*type_.ranges, *bounds(type_.of)) if isinstance(type_, Array) else ()


def offset(spot: Spot, leaf: Leaf) -> Expr:
    """Give where the values of a leaf begin in its row."""
    if spot.index is None:
        return Const(0, DINT)
    made = Binary(Op.MUL, spot.index, Const(leaf.count, DINT), DINT)
    return Const(evaluate(made, {}), DINT) if isinstance(spot.index, Const) else made
