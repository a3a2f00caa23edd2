"""What the blocks of a graph do: calls of function blocks and functions, with EN and ENO.

A function with EN does nothing while EN is FALSE: a Boolean value is then FALSE, since no power leaves it; any other
stays what it was. Source: IEC 61131-3, EN and ENO, from memory, which leaves the value open. Rule: the value of a
function stands in the expression that needs it as long as nothing can tell the difference; else it is kept.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from simplant.logic.fbd.hidden import Hidden, conjunction, is_true, negation
from simplant.logic.fbd.kinds import COMPARISONS, Kinds
from simplant.logic.fbd.measured import Measured
from simplant.logic.fbd.order import ACTORS, Network
from simplant.logic.fbd.tree import Block, Input, Output, Sink, Wire, inputs_of
from simplant.logic.fbd.values import LONGEST
from simplant.logic.ladder.fragment import access_of
from simplant.logic.st.built import truth
from simplant.logic.st.declared import Named
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Argument, Call, Do, Expression, If, Infix, Let, Prefix

_SIGNS: Final = {
    "ADD": "+", "SUB": "-", "MUL": "*", "DIV": "/", "MOD": "MOD", "EXPT": "**", "AND": "AND", "OR": "OR", "XOR": "XOR",
    "GT": ">", "GE": ">=", "EQ": "=", "LE": "<=", "LT": "<", "NE": "<>",
}  # fmt: skip
_NUMBERED: Final = re.compile(r"(?i:IN)\d{1,3}")
"""The inputs of functions that may have many: the numbers say which is meant, in whatever order they are listed."""
_RESULTS: Final = ("", "OUT")
_MOST: Final = 100
"""Inputs of one block."""


class Blocks(Measured):
    """Lowers the blocks of one network."""

    def __init__(self, network: Network, hidden: Hidden, kinds: Kinds) -> None:
        super().__init__(network, hidden, kinds)
        self.order = network.order
        self.at = {node.number: at for at, node in enumerate(network.order)}
        self.readers: dict[Wire, list[int]] = {}
        for node in network.nodes:
            for wire in (w for pin in inputs_of(node) for w in pin.wires):
                self.readers.setdefault(wire, []).append(node.number)

    def _enable(self, node: Block) -> tuple[Input | None, list[Input]]:
        """Give the EN of a block (None if it has none, or declares it itself), and its other inputs that are joined."""
        own = self.kinds.units.get(node.type.upper())
        joined = [pin for pin in node.inputs if pin.wires]
        if own is not None and any(v.name.upper() == "EN" for v in own.variables):
            return None, joined
        enable = next((pin for pin in joined if pin.name.upper() == "EN"), None)
        return enable, [pin for pin in joined if pin is not enable]

    def _arguments(self, node: Block, pins: list[Input]) -> list[Argument]:
        if len(pins) > _MOST:
            fail(node.place, f"{node.type} has {len(pins)} inputs", f"at most {_MOST} are read", "put blocks in a row")
        made = [Argument(node.place, pin.name, self.value(pin, node)) for pin in pins]
        passed = [Argument(node.place, pin.name, self.variable(pin, node)) for pin in node.in_outs if pin.wires]
        return [*made, *passed]

    def _power(self, node: Block, enable: Input | None) -> Expression | None:
        """Give what EN gets (None: always TRUE), and let ENO give the same."""
        power = self.value(enable, node) if enable is not None else truth(node.place, value=True)
        done = next((Wire(node.number, out.name) for out in node.outputs if self.is_enable(node, out.name)), None)
        if done is not None and self.wires[done]:
            power = self.kept(power, node, None)
            turned = any(out.negated for out in node.outputs if out.name == done.pin)
            self.give(done, negation(power, node.place) if turned else power, node.place)
        return None if is_true(power) else power

    def instance(self, node: Block) -> None:
        """Lower the call of a function block."""
        enable, pins = self._enable(node)
        power = self._power(node, enable)
        arguments = self._arguments(node, pins)
        if power is not None:
            arguments.insert(0, Argument(node.place, "EN", power))
        self.measure(node)
        self.out.append(Do(node.place, Call(node.place, access_of(node.instance, node.place), tuple(arguments))))

    def function(self, node: Block) -> None:
        """Lower the call of a function."""
        enable, pins = self._enable(node)
        power = self._power(node, enable)
        others, more = self._others(node)
        arguments = [*self._arguments(node, pins), *more]
        main = self._main(node)
        wire = Wire(node.number, main.name) if main is not None else None
        if wire is None or not self.wires[wire]:
            self.measure(node)
            self._called_only(node, power, arguments)
        else:
            value = self._called(node, pins, arguments)
            value = negation(value, node.place) if main is not None and main.negated else value
            self._given_on(node, wire, power, value, alone=not more)
        for each, target in others:
            self.give(each, target, node.place)

    def _given_on(self, node: Block, wire: Wire, power: Expression | None, value: Expression, *, alone: bool) -> None:
        """Let the value of a function go on from its output; `alone`: it has no further outputs."""
        if power is not None and self._leaves_power(wire):
            value, power = self._powered(node, power, value), None
        sink = self._sink(wire) if power is not None and wire not in self.early else None
        self.measure(node, *([sink.target.name] if sink is not None else []))
        if sink is not None:
            self.done.add(sink.number)
            self._when(node, power, Let(node.place, sink.target, value))
        elif power is None and alone and wire not in self.early and self._may_wait(node, wire):
            self.results[wire] = value
        elif power is None and wire not in self.early:
            self.hold(wire, value)
        else:
            self._keep(node, wire, power, value)

    def _leaves_power(self, wire: Wire) -> bool:
        """Say whether a function with EN gives a Boolean value that goes on as power."""
        spec = self.spec_of(wire)
        return isinstance(spec, Named) and spec.name.upper() == "BOOL" and self._sink(wire) is None

    def _powered(self, node: Block, power: Expression, value: Expression) -> Expression:
        """Give the power that leaves a function with EN; what may do something is called only where EN is TRUE."""
        if "*" not in self.changed(node):
            return conjunction(power, value, node.place)
        target, none = self.hidden.temporary("power", node.place), truth(node.place, value=False)
        self.measure(node)
        self.out.append(If(node.place, ((power, (Let(node.place, target, value),)),), (Let(node.place, target, none),)))
        return target

    def _called_only(self, node: Block, power: Expression | None, arguments: list[Argument]) -> None:
        """Call a function whose result nobody takes, if it may do something."""
        if "*" in self.changed(node):
            call = Call(node.place, Access(node.place, node.type), tuple(arguments))
            self._when(node, power, Do(node.place, call))

    def _when(self, node: Block, power: Expression | None, done: Do | Let) -> None:
        self.out.append(done if power is None else If(node.place, ((power, (done,)),), ()))

    def _keep(self, node: Block, wire: Wire, power: Expression | None, value: Expression) -> None:
        """Keep what a function gives to the next scan: it is read before, or stays while EN is FALSE."""
        target = self.early.get(wire)
        if target is None:
            spec = self.needed(wire)
            if spec is None:
                what = f"the type that {node.type} gives cannot be told here"
                fail(node.place, what, "it stays while EN is FALSE", "give it to a variable, and read that")
            keep = self.hidden.temporary if self.hidden.unit.kind == "FUNCTION" else self.hidden.memory
            target = keep("value", node.place, spec)
            self.specs[wire] = spec
        self._when(node, power, Let(node.place, target, value))
        self.results[wire] = target

    def _main(self, node: Block) -> Output | None:
        """Give the output pin of a function that is its result."""
        names = (*_RESULTS, node.type.upper())
        own = self.kinds.units.get(node.type.upper())
        extra = {v.name.upper() for v in own.variables if v.section.word == "VAR_OUTPUT"} if own else set()
        rest = [out for out in node.outputs if not self.is_enable(node, out.name) and out.name.upper() not in extra]
        return next((out for out in rest if out.name.upper() in names), rest[0] if rest else None)

    def _others(self, node: Block) -> tuple[list[tuple[Wire, Access]], list[Argument]]:
        """Give hidden variables for the further outputs of a user's function, and the arguments that fill them."""
        own = self.kinds.units.get(node.type.upper())
        kinds = {v.name.upper(): v.type for v in own.variables if v.section.word == "VAR_OUTPUT"} if own else {}
        found, arguments = [], []
        for out in node.outputs:
            wire = Wire(node.number, out.name)
            if out.name.upper() in kinds and self.wires[wire]:
                target = self.hidden.temporary("value", node.place, kinds[out.name.upper()])
                found.append((wire, target))
                arguments.append(Argument(node.place, out.name, target=target, inverted=out.negated))
        return found, arguments

    def _called(self, node: Block, pins: list[Input], arguments: list[Argument]) -> Expression:
        """Give the call of a function, as an operator where it is one."""
        place, key = node.place, node.type.upper()
        if all(_NUMBERED.fullmatch(a.name) for a in arguments):
            arguments = sorted(arguments, key=lambda a: int(a.name[2:]))
        values = [a.value for a in arguments if a.value is not None]
        named = [pin for pin in node.inputs if pin.name.upper() != "EN"]
        plain = key not in self.kinds.units and len(values) == len(arguments) == len(named)
        if plain and key == "NOT" and len(values) == 1:
            return Prefix(place, "NOT", values[0])
        if plain and key in _SIGNS and (len(values) == 2 or (len(values) > 2 and key not in COMPARISONS)):
            whole = values[0]
            for value in values[1:]:
                whole = conjunction(whole, value, place) if key == "AND" else Infix(place, _SIGNS[key], whole, value)
            return whole
        if not all(a.name for a in arguments):
            arguments = [replace(a, name="") for a in arguments]
        return Call(place, Access(place, node.type), tuple(arguments))

    # where a value may stay in an expression

    def _may_wait(self, node: Block, wire: Wire) -> bool:
        """Say whether what a function gives may be computed where it is needed."""
        end = self._end(wire)
        size = 1 + sum(self.size.get(w.node, 1) for pin in inputs_of(node) for w in pin.wires)
        if end is None or end in self.done or size > LONGEST:
            return False
        self.size[node.number] = size
        if "*" in self.changed(node):
            return self.at[end] == self.at[node.number] + 1
        self.pending[wire] = end
        return True

    def _end(self, wire: Wire) -> int | None:
        """Give the only thing that acts on a value, by number; None if there are several, or none."""
        for _ in range(len(self.nodes)):
            readers = self.readers.get(wire, [])
            if len(readers) != 1:
                return None
            if isinstance(self.nodes[readers[0]], ACTORS):
                return readers[0]
            wire = Wire(readers[0])
        return None

    def _sink(self, wire: Wire) -> Sink | None:
        """Give the only thing a value goes to, if that is a variable."""
        readers = self.readers.get(wire, [])
        node = self.nodes[readers[0]] if len(readers) == 1 else None
        plain = isinstance(node, Sink) and node.input == Input("", (wire,)) and not self.uses[node.number]
        return node if plain and isinstance(node, Sink) and node.number not in self.done else None


__all__ = ["Blocks"]
