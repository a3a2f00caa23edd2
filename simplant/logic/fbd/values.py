"""What flows along the wires of one network, as expressions, each made where it is first needed.

What acts on it is lower.py. Rule: a value is measured where it is drawn: what several things need, or what something
drawn behind it could change before it is used, is kept in a hidden variable.
"""

from __future__ import annotations

from collections import Counter

from simplant.errors import Place
from simplant.logic.fbd.hidden import Hidden, conjunction, disjunction, negation
from simplant.logic.fbd.kinds import Kinds
from simplant.logic.fbd.leaps import Part
from simplant.logic.fbd.order import Network
from simplant.logic.fbd.tree import (
    Block,
    Coil,
    Contact,
    Edge,
    Input,
    Node,
    Rail,
    Sink,
    Source,
    Wire,
    inputs_of,
)
from simplant.logic.fbd.typed import Typed
from simplant.logic.ladder.fragment import access_of
from simplant.logic.ladder.tree import Sense
from simplant.logic.st.built import truth
from simplant.logic.st.declared import Named, TypeSpec
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Let, Literal
from simplant.values import TYPES, Kind

LONGEST = 24
"""Contacts in one expression; what is longer is kept in between."""
MOST_WIRES = 100
"""Lines that meet at one point."""


class Values(Typed):
    """The values of one network.

    Attributes:
        out: what is done, in order.
        results: what each evaluated output gives, by node and pin.
        given: what contacts and sources are worth, as far as they were measured, by node.
        size: how many things stand in the value of a node.
        early: outputs that were read before they were evaluated, and where they keep the value of the scan before.
        done: what was evaluated, of what acts.
    """

    def __init__(self, network: Network, hidden: Hidden, kinds: Kinds) -> None:
        super().__init__(network, kinds)
        self.hidden = hidden
        self.wires = Counter(w for node in network.nodes for pin in inputs_of(node) for w in pin.wires)
        self.uses = Counter(w.node for node in network.nodes for pin in inputs_of(node) for w in pin.wires)
        self.out: list[Part] = []
        self.results: dict[Wire, Expression] = {}
        self.early: dict[Wire, Access] = {}
        self.done: set[int] = set()
        self.given: dict[int, Expression] = {}
        self.size: dict[int, int] = {}
        self._written = {name for node in network.nodes for name in self.changed(node)}

    def changed(self, node: Node) -> set[str]:
        """Give what a node may change, by name in capitals; `*`: anything, since it calls what a user wrote."""
        match node:
            case Sink() | Coil():
                return {node.target.name.upper()}
            case Block():
                anything = {"*"} if node.type.upper() in self.kinds.units or node.in_outs else set[str]()
                return anything | ({access_of(node.instance, node.place).name.upper()} if node.instance else set())
            case _:
                return set()

    # along the wires

    def value(self, pin: Input, node: Node) -> Expression:
        """Give what reaches an input pin; raises `Fault` if nothing is joined to it."""
        if not pin.wires:
            where = f"the pin {pin.name}" if pin.name else _told(node)
            fail(node.place, f"nothing is joined to {where}", mend="join it, or take it away")
        if len(pin.wires) > MOST_WIRES:
            fail(node.place, f"{len(pin.wires)} lines meet here", f"at most {MOST_WIRES} are read", "give parts names")
        self._only_power(pin, node)
        self.ready(pin)
        value = disjunction([self._at(wire, node.place) for wire in pin.wires], node.place)
        if pin.edge is not Edge.NONE:
            value = self.edge(value, node.place, rising=pin.edge is Edge.RISING)
        return negation(value, node.place) if pin.negated else value

    def _only_power(self, pin: Input, node: Node) -> None:
        """Refuse lines that meet and carry numbers, texts or times: OR is what their meeting means."""
        for wire in pin.wires if len(pin.wires) > 1 else ():
            spec = self.spec_of(wire)
            kind = TYPES.get(spec.name.upper()) if isinstance(spec, Named) else None
            if kind is not None and kind.kind not in (Kind.BOOL, Kind.BITS):
                what = f"{len(pin.wires)} lines meet here, and one carries {kind.name}"
                fail(node.place, what, "lines that meet are joined by OR", "choose one of them by SEL")

    def variable(self, pin: Input, node: Block) -> Access:
        """Give the variable that a VAR_IN_OUT is joined to; raises `Fault` if it is none."""
        for _ in range(len(self.nodes)):
            far = self.nodes.get(pin.wires[0].node) if len(pin.wires) == 1 else None
            match far:
                case Source() if isinstance(far.value, Access) and not far.negated and far.edge is Edge.NONE:
                    return far.value
                case Sink():
                    return far.target
                case Block():
                    passed = next((p for p in far.in_outs if p.name.upper() == pin.wires[0].pin.upper()), None)
                    if passed is None:
                        break
                    pin = passed
                case _:
                    break
        fail(node.place, f"{pin.name} of {node.type} is not joined to a variable", "it is a VAR_IN_OUT")

    def ready(self, pin: Input) -> None:
        """Make the values of all contacts and sources on the way to a pin, the first first."""
        waiting = [(w.node, False) for w in reversed(pin.wires)]
        open_: set[int] = set()
        while waiting:
            number, inside = waiting.pop()
            node = self.nodes.get(number)
            if number in self.given or not isinstance(node, Contact | Source):
                continue
            if inside or isinstance(node, Source):
                open_.discard(number)
                self.given[number] = self._made(node)
            elif number in open_:
                fail(node.place, "power goes round in a circle here", "nothing says where it comes from")
            else:
                open_.add(number)
                waiting.append((number, True))
                waiting += [(w.node, False) for w in reversed(node.input.wires)]

    def _made(self, node: Contact | Source) -> Expression:
        if isinstance(node, Source):
            value = node.value
            if node.edge is not Edge.NONE:
                value = self.edge(value, node.place, rising=node.edge is Edge.RISING)
            value = negation(value, node.place) if node.negated else value
            return self.kept(value, node, self.kinds.of(value)) if self.uses[node.number] > 1 else value
        if not node.input.wires:
            fail(node.place, f"nothing is joined to the contact {node.operand}", mend="join it, or take it away")
        power = disjunction([self._at(wire, node.place) for wire in node.input.wires], node.place)
        size = 1 + sum(self.size.get(w.node, 1) for w in node.input.wires)
        value = conjunction(power, self._test(node), node.place)
        if self.uses[node.number] > 1 or size > LONGEST:
            value, size = self.kept(value, node, None), 1
        self.size[node.number] = size
        return value

    def _test(self, node: Contact) -> Expression:
        match node.sense:
            case Sense.OPEN:
                return node.operand
            case Sense.CLOSED:
                return negation(node.operand, node.place)
            case Sense.RISING | Sense.FALLING:
                return self.edge(node.operand, node.place, rising=node.sense is Sense.RISING)

    def edge(self, now: Expression, place: Place, *, rising: bool) -> Access:
        """Compare a value with what it was when this was done last; at the very first time it was FALSE."""
        was, edge = self.hidden.memory("was", place), self.hidden.temporary("edge", place)
        if not isinstance(now, Access | Literal):
            value, now = now, self.hidden.temporary("now", place)
            self.out.append(Let(place, now, value))
        found = (
            conjunction(now, negation(was, place), place) if rising else conjunction(negation(now, place), was, place)
        )
        self.out += [Let(place, edge, found), Let(place, was, now)]
        return edge

    def kept(self, value: Expression, node: Node, spec: TypeSpec | None) -> Expression:
        """Give a value that stays what it is now; `spec` is its type, if it is not BOOL."""
        if isinstance(value, Literal) or (isinstance(value, Access) and not self._may_change(value)):
            return value
        if spec is None and isinstance(node, Source):
            what = "the type of this value cannot be told here"
            fail(node.place, what, "several things need it", "give each of them a value of its own")
        target = self.hidden.temporary("power" if spec is None else "value", node.place, spec)
        self.out.append(Let(node.place, target, value))
        return target

    def _may_change(self, value: Access) -> bool:
        if value.name in self.hidden.kept:
            return False
        return "*" in self._written or value.name.upper() in self._written or bool(value.selectors)

    def _at(self, wire: Wire, place: Place) -> Expression:
        """Give the value at the far end of a wire."""
        node = self.nodes.get(wire.node)
        match node:
            case Rail():
                return truth(place, value=True)
            case Contact() | Source():
                return self.given[node.number]
            case Sink():
                return node.target
            case Block() if node.instance and not self.is_enable(node, wire.pin):
                return self._output_of(node, wire.pin, place)
            case Block() | Coil():
                return self.results.get(wire) or self._before(wire, node)
            case _:
                fail(place, "this is joined to something that gives no value")

    def _output_of(self, node: Block, pin: str, place: Place) -> Expression:
        passed = next((p for p in node.in_outs if p.name.upper() == pin.upper()), None)
        if passed is not None:
            return self.variable(passed, node)
        found = self.field(node, pin, place)
        turned = any(out.negated for out in node.outputs if out.name == pin)
        return negation(found, place) if turned else found

    def _before(self, wire: Wire, node: Block | Coil) -> Access:
        """Give the value of the scan before of an output that is not evaluated yet."""
        if wire not in self.early:
            spec = self.needed(wire)
            if spec is None:
                what = "the type of the value that goes back here cannot be told"
                fail(node.place, what, mend="give it to a variable, and read that")
            self.early[wire] = self.hidden.memory("before", node.place, spec)
        return self.early[wire]

    def give(self, wire: Wire, value: Expression, place: Place) -> None:
        """Note what an output gives, and keep it for the next scan if it was read before."""
        self.results[wire] = value
        if wire in self.early:
            self.out.append(Let(place, self.early[wire], value))


def _told(node: Node) -> str:
    """Name a node as people do."""
    match node:
        case Sink():
            return f"the variable {node.target}"
        case Coil():
            return f"the coil {node.target}"
        case _:
            return f"the {type(node).__name__.lower()}"


__all__ = ["LONGEST", "Values"]
