"""Lowering calls of function block instances: the standard's and the user's, single or in arrays.

Rule: inputs that a call leaves out keep their values; what comes out is read after the call.
"""

from simplant.blocks import BlockType
from simplant.errors import nearest
from simplant.expr import Expr, Ref, TimerElapsed
from simplant.logic.core import Core, Invoke, Perform, Row, Store
from simplant.logic.st.adapt import Val, adapt
from simplant.logic.st.calls import as_called, bound, call_value
from simplant.logic.st.enabling import gated, is_gated
from simplant.logic.st.foreign import PARAMETERS, foreign
from simplant.logic.st.moving import Moving
from simplant.logic.st.outside import looked_at, mixed
from simplant.logic.st.report import counted, fail
from simplant.logic.st.scope import UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import Argument, Call, Expression
from simplant.logic.st.types import Scalar, Standard, Struct, elementary, leaves
from simplant.values import LTIME, TIME


class Instances(Moving):
    """Lowers calls of instances."""

    def call(self, node: Call, wanted: Scalar | None) -> Val:
        """Lower a call of a function."""
        return call_value(self, node, wanted)

    def call_instance(self, node: Call, spot: Spot) -> list[Core]:
        """Lower a call of the instance at a spot."""
        spot.symbol.read = spot.symbol.written = True
        looked_at(self, node.callee, spot)
        mixed(self, node)
        own = spot.type.fields if isinstance(spot.type, Struct) else {}
        if not is_gated(node, own):
            return self._call(node, spot)
        gated(self, node, own, lambda call: (self._call(call, spot), ()))
        return []

    def _call(self, node: Call, spot: Spot) -> list[Core]:
        if isinstance(spot.type, Standard):
            return self._standard(node, spot, spot.type.block)
        assert isinstance(spot.type, Struct), "an instance"
        return self._user(node, spot, self.frame.names.units[spot.type.unit.upper()])

    # standard blocks

    def _standard(self, node: Call, spot: Spot, block: BlockType) -> list[Core]:
        arguments, outs = self._sorted(node, block)
        origin, path = self.origin(node.place), spot.path
        if spot.index is not None:
            path = self.own_copy(spot, node.place)
        self.frame.blocks[path] = block
        made: list[Core] = [Invoke(path, block, tuple(arguments.items()), origin)]
        if spot.index is not None:
            for field in block.stored:
                back = Ref(f"{path}.{field.name}", field.type)
                made.append(Store(f"{spot.path}.{field.name}", spot.index, back, origin))
        for argument in outs:
            made += self._standard_out(argument, path, block)
        return made

    def _sorted(self, node: Call, block: BlockType) -> tuple[dict[str, Expr], list[Argument]]:
        """Give the values for the inputs of a standard block, and the arguments that take outputs."""
        inputs = {f.name: f for f in block.inputs}
        arguments: dict[str, Expr] = {}
        outs: list[Argument] = []
        for number, argument in enumerate(node.arguments):
            name = argument.name.upper() or (block.inputs[number].name if number < len(inputs) else "")
            if argument.target is not None or (argument.value is None and name not in inputs):
                outs.append(argument)
                continue
            if name not in inputs:
                self._no_input(argument, block)
            if name in arguments:
                fail(argument.place, f"{name} is given twice")
            if argument.value is not None:
                what = f"input {name} of {node.callee}"
                arguments[name] = self._input(argument.value, elementary(inputs[name].type), what)
        return arguments, outs

    def _input(self, node: Expression, wanted: Scalar, what: str) -> Expr:
        """Give the value of an input; that of a time is ANY_DURATION (TON_LTIME of edition 3)."""
        given = self.value(node, wanted)
        given = Val(given.expr, wanted) if (given.type.base, wanted.base) == (LTIME, TIME) else given
        return adapt(given, wanted, node.place, self.report, what)

    @staticmethod
    def _no_input(argument: Argument, block: BlockType) -> None:
        if not argument.name:
            fail(argument.place, f"{block.name} takes {counted(len(block.inputs), 'value')}, this is one more")
        if argument.name.upper() in {f.name for f in block.outputs}:
            what = f"{argument.name} is an output of {block.name}"
            fail(argument.place, what, mend=f"write {argument.name} => variable", length=len(argument.name))
        known = [f.name for f in block.inputs]
        meant = [n for n in PARAMETERS.get(argument.name.upper(), ()) if n in known]
        if meant:
            foreign(argument.place, f"{argument.name} of a {block.name}", f"write {meant[0]}", len(argument.name))
        what = f"{block.name} has no input {argument.name!r}"
        fail(argument.place, what, mend=nearest(argument.name.upper(), known), length=len(argument.name))

    def _standard_out(self, argument: Argument, path: str, block: BlockType) -> list[Core]:
        found = next((f for f in block.outputs if f.name == argument.name.upper()), None)
        if found is None:
            mend = nearest(argument.name.upper(), [f.name for f in block.outputs])
            what = f"{block.name} has no output {argument.name!r}"
            fail(argument.place, what, mend=mend, length=len(argument.name))
        timed = found.name == "ET" and block.elapsed is not None
        value: Expr = TimerElapsed(path, block.name) if timed else Ref(f"{path}.{found.name}", found.type)
        return self._take(argument, Val(value, elementary(found.type)))

    def _take(self, argument: Argument, value: Val) -> list[Core]:
        """Write an output to its target."""
        if argument.target is None:
            return []
        return self.store(argument.target, self.turned(argument, value), argument.place)

    # the user's blocks

    def _user(self, node: Call, spot: Spot, unit: UnitInfo) -> list[Core]:
        unit = as_called(self, node, unit)
        routine = self.project.routine(unit, node.place)
        assert isinstance(spot.type, Struct), "an instance"
        given = bound(node, unit, unit.of("VAR_INPUT"), unit.of("VAR_IN_OUT"), unit.of("VAR_OUTPUT"))
        made = self._set_inputs(given, spot, unit)
        path = spot.path
        if spot.index is not None:
            path, moved = self._moved(node, spot)
            made += moved
        values: dict[str, Expr] = {}
        rows: dict[str, Row] = {}
        targets: dict[str, str] = {}
        for leaf in leaves(path, spot.type):
            inner = leaf.name[len(path) + 1 :]
            if leaf.is_row:
                rows[inner] = Row(leaf.name)
            else:
                values[inner], targets[inner] = Ref(leaf.name, leaf.type.base), leaf.name
        after: list[Core] = []
        for symbol in unit.of("VAR_IN_OUT"):
            after += self.pass_in_out(symbol, given[symbol.name.upper()], values, rows, targets)
        self.pass_globals(unit, values, rows, targets)
        arguments = tuple(rows[p] if p in rows else values[p] for p in routine.parameters)
        made.append(Perform(routine, arguments, tuple(targets[r] for r in routine.results), self.origin(node.place)))
        if spot.index is not None:
            made += self.copy(spot, Spot(spot.symbol, path, spot.type), node.place)
        return made + after + self._outs(given, spot, path, unit)

    def _moved(self, node: Call, spot: Spot) -> tuple[str, list[Core]]:
        """Copy an instance to be called; refuse one with places of its own. Give its name, and what copies it."""
        found = next((leaf.name for leaf in leaves("", spot.type) if leaf.cell), "")
        if found:
            what = f"{spot.type.name} has references to its own {found[1:]}"
            why = "so it cannot stand in an array, and no reference may lead to it"
            fail(node.place, what, why, "declare each instance by itself", len(node.callee.name))
        outer, self.before = self.before, []
        path = self.own_copy(spot, node.place)
        made, self.before = self.before, outer
        return path, made

    def _set_inputs(self, given: dict[str, Argument], spot: Spot, unit: UnitInfo) -> list[Core]:
        made: list[Core] = []
        for symbol in unit.of("VAR_INPUT"):
            argument = given.get(symbol.name.upper())
            if argument is None or argument.value is None:
                continue
            into = spot.field(symbol.name, symbol.type, "VAR_INPUT")
            what = f"input {symbol.name} of {spot.symbol.name}"
            if isinstance(into.type, Scalar):
                made += self.put(into, self.as_type(argument.value, into.type, what), argument.place)
            else:
                made += self.copy(into, self.whole(argument.value, into.type, what), argument.place)
        return made

    def _outs(self, given: dict[str, Argument], spot: Spot, path: str, unit: UnitInfo) -> list[Core]:
        made: list[Core] = []
        for symbol in unit.of("VAR_OUTPUT"):
            argument = given.get(symbol.name.upper())
            if argument is None or argument.target is None:
                continue
            source = Spot(spot.symbol, f"{path}.{symbol.name}", symbol.type).entered()
            if isinstance(source.type, Scalar):
                made += self._take(argument, Val(self.read(source), source.type))
            else:
                made += self.copy(self.writable(argument.target), source, argument.place)
        return made


__all__ = ["Instances"]
