"""What a graph does, said in statements: network by network, in each of them what acts, in its order.

Values on the way are values.py. A function with EN does nothing while EN is FALSE, and what it gave last stays. Source:
IEC 61131-3, EN and ENO, negation and edges at pins, from memory. Rule: the value of a function stands in the expression
that needs it, as long as nothing could tell the difference; else it is kept in a hidden variable.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from simplant.logic.fbd.hidden import Hidden, is_true, negation, truth
from simplant.logic.fbd.kinds import COMPARISONS, Kinds
from simplant.logic.fbd.leaps import Leap, Mark, Part, arranged
from simplant.logic.fbd.order import ACTORS, Network, networks
from simplant.logic.fbd.tree import (
    Actor,
    Block,
    Coil,
    Contact,
    Graph,
    Input,
    Jump,
    Label,
    Output,
    Return,
    Sink,
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.fbd.values import Values
from simplant.logic.ladder.lower import names_in
from simplant.logic.ladder.tree import Action
from simplant.logic.st.declared import File, Unit
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Argument, Call, Do, Expression, If, Infix, Leave, Let, Prefix

_SIGNS: Final = {
    "ADD": "+", "SUB": "-", "MUL": "*", "DIV": "/", "MOD": "MOD", "EXPT": "**", "AND": "AND", "OR": "OR", "XOR": "XOR",
    "GT": ">", "GE": ">=", "EQ": "=", "LE": "<=", "LT": "<", "NE": "<>",
}  # fmt: skip
_RESULTS: Final = ("", "OUT")


def statements_of_graph(unit: Unit, graph: Graph, file: File | None = None) -> Unit:
    """Give a unit with a graph as statements, and the hidden variables that they need.

    Args:
        unit: the program, function block or function.
        graph: its body.
        file: what else there is to call, and global variables.

    Raises:
        Fault: the graph has no meaning.
    """
    kinds = Kinds(unit, file)
    hidden = Hidden(unit, (*kinds.variables, *_names(graph)))
    parts: list[Part] = []
    for each in networks(graph):
        if isinstance(each, Label):
            parts.append(Mark(each.place, each.name))
        else:
            parts += _Lowering(each, hidden, kinds).all()
    body = arranged(parts, hidden, graph.place)
    return replace(unit, variables=(*unit.variables, *hidden.made), body=body)


def _names(graph: Graph) -> Iterator[str]:
    """Give the names of all variables in a graph."""
    for node in graph.nodes:
        match node:
            case Source():
                yield from names_in(node.value)
            case Sink() | Coil():
                yield from names_in(node.target)
            case Contact():
                yield from names_in(node.operand)
            case Block():
                yield node.instance
            case _:
                pass


class _Lowering(Values):
    """Lowers one network."""

    def __init__(self, network: Network, hidden: Hidden, kinds: Kinds) -> None:
        super().__init__(network, hidden, kinds)
        self.order = network.order
        self.at = {node.number: at for at, node in enumerate(network.order)}
        self.readers: dict[Wire, list[int]] = {}
        for node in network.nodes:
            for wire in (w for pin in inputs_of(node) for w in pin.wires):
                self.readers.setdefault(wire, []).append(node.number)
        self.done: set[int] = set()
        self._once()

    def _once(self) -> None:
        """Refuse an instance that is called twice in one network: whose outputs are meant could not be told."""
        seen: dict[str, Block] = {}
        for node in self.order:
            if isinstance(node, Block) and node.instance:
                if node.instance.upper() in seen:
                    first = seen[node.instance.upper()].place.line
                    fail(node.place, f"{node.instance} is called twice in one network", f"first at line {first}")
                seen[node.instance.upper()] = node

    def all(self) -> list[Part]:
        """Lower everything that acts."""
        for node in self.order:
            if node.number not in self.done:
                self.done.add(node.number)
                self._act(node)
        return self.out

    def _act(self, node: Actor) -> None:
        match node:
            case Sink():
                self.out.append(Let(node.place, node.target, self.value(node.input, node)))
            case Coil():
                self._coil(node)
            case Block() if node.instance:
                self._instance(node)
            case Block():
                self._function(node)
            case Jump():
                self.out.append(Leap(node.place, self.value(node.input, node), node.label))
            case Return():
                power, leave = self.value(node.input, node), Leave(node.place, "RETURN")
                self.out.append(leave if is_true(power) else If(node.place, ((power, (leave,)),), ()))

    def _coil(self, node: Coil) -> None:
        place, power = node.place, self.value(node.input, node)
        if self.uses[node.number]:
            power = self.kept(power, node, None)
        match node.action:
            case Action.PLAIN:
                self.out.append(Let(place, node.target, power))
            case Action.NEGATED:
                self.out.append(Let(place, node.target, negation(power, place)))
            case Action.SET | Action.RESET:
                change = Let(place, node.target, truth(place, value=node.action is Action.SET))
                self.out.append(change if is_true(power) else If(place, ((power, (change,)),), ()))
            case Action.RISING | Action.FALLING:
                edge = self.edge(power, place, rising=node.action is Action.RISING)
                self.out.append(Let(place, node.target, edge))
        if self.uses[node.number]:
            self.give(Wire(node.number), power, place)

    # blocks

    def _enable(self, node: Block) -> tuple[Input | None, list[Input]]:
        """Give the EN of a block (None if it has none, or declares it itself), and its other inputs that are joined."""
        own = self.kinds.units.get(node.type.upper())
        joined = [pin for pin in node.inputs if pin.wires]
        if own is not None and any(v.name.upper() == "EN" for v in own.variables):
            return None, joined
        enable = next((pin for pin in joined if pin.name.upper() == "EN"), None)
        return enable, [pin for pin in joined if pin is not enable]

    def _arguments(self, node: Block, pins: list[Input]) -> list[Argument]:
        made = [Argument(node.place, pin.name, self.value(pin, node)) for pin in pins]
        for pin in node.in_outs:
            if pin.wires:
                value = self.value(pin, node)
                if not isinstance(value, Access):
                    fail(node.place, f"{pin.name} of {node.type} is not joined to a variable", "it is a VAR_IN_OUT")
                made.append(Argument(node.place, pin.name, value))
        return made

    def _power(self, node: Block, enable: Input | None) -> Expression | None:
        """Give what EN gets (None: always TRUE), and let ENO give the same."""
        power = self.value(enable, node) if enable is not None else truth(node.place, value=True)
        done = next((Wire(node.number, out.name) for out in node.outputs if self.is_enable(node, out.name)), None)
        if done is not None and self.wires[done]:
            power = self.kept(power, node, None)
            turned = any(out.negated for out in node.outputs if out.name == done.pin)
            self.give(done, negation(power, node.place) if turned else power, node.place)
        return None if is_true(power) else power

    def _instance(self, node: Block) -> None:
        enable, pins = self._enable(node)
        power = self._power(node, enable)
        arguments = self._arguments(node, pins)
        if power is not None:
            arguments.insert(0, Argument(node.place, "EN", power))
        self.out.append(Do(node.place, Call(node.place, Access(node.place, node.instance), tuple(arguments))))

    def _function(self, node: Block) -> None:
        enable, pins = self._enable(node)
        power = self._power(node, enable)
        others, more = self._others(node)
        arguments = [*self._arguments(node, pins), *more]
        main = self._main(node)
        value = self._called(node, pins, arguments)
        wire = Wire(node.number, main.name) if main is not None else None
        if main is not None and main.negated:
            value = negation(value, node.place)
        if wire is None or not self.wires[wire]:
            if more or node.in_outs or node.type.upper() in self.kinds.units:
                self._when(
                    node, power, Do(node.place, Call(node.place, Access(node.place, node.type), tuple(arguments)))
                )
        elif power is None and not more and wire not in self.early and self._stays(node, wire):
            self.give(wire, value, node.place)
        elif power is not None and wire not in self.early and (sink := self._sink(wire)) is not None:
            self.done.add(sink.number)
            self._when(node, power, Let(node.place, sink.target, value))
        else:
            self._hold(node, wire, power, value)
        for each, target in others:
            self.give(each, target, node.place)

    def _when(self, node: Block, power: Expression | None, done: Do | Let) -> None:
        self.out.append(done if power is None else If(node.place, ((power, (done,)),), ()))

    def _hold(self, node: Block, wire: Wire, power: Expression | None, value: Expression) -> None:
        """Keep what a function gives in a hidden variable."""
        target = self.early.get(wire)
        if target is None:
            spec = self.spec_of(wire)
            if spec is None:
                what = f"the type that {node.type} gives cannot be told here"
                fail(node.place, what, "several things need its value", "give it to a variable, and read that")
            keep = self.hidden.temporary if power is None or self.hidden.unit.kind == "FUNCTION" else self.hidden.memory
            target = keep("value", node.place, spec)
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
        values = [a.value for a in arguments if a.value is not None]
        plain = key not in self.kinds.units and len(values) == len(arguments) == len(node.inputs)
        if plain and key == "NOT" and len(values) == 1:
            return Prefix(place, "NOT", values[0])
        if plain and key in _SIGNS and (len(values) == 2 or (len(values) > 2 and key not in COMPARISONS)):
            whole = values[0]
            for value in values[1:]:
                whole = Infix(place, _SIGNS[key], whole, value)
            return whole
        if not all(a.name for a in arguments):
            arguments = [replace(a, name="") for a in arguments]
        return Call(place, Access(place, node.type), tuple(arguments))

    # where a value may stay in an expression

    def _stays(self, node: Block, wire: Wire) -> bool:
        """Say whether what a function gives may be computed where it is needed."""
        end = self._end(wire)
        if end is None or self.at[end] < self.at[node.number]:
            return False
        if node.order is None and node.type.upper() not in self.kinds.units:
            return True
        between = self.order[self.at[node.number] + 1 : self.at[end]]
        return all(isinstance(n, Block) and not n.instance and n.type.upper() not in self.kinds.units
                   and self._enable(n)[0] is None for n in between)  # fmt: skip

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


__all__ = ["statements_of_graph"]
