"""A ladder done in the plainest way, element by element: the oracle for its lowering.

It knows contacts, coils, comparisons, moves and gates, jumps and returns; not blocks with a state.
"""

from simplant.logic.ladder.tree import Action, Block, Coil, Contact, Jump, Parallel, Return, Sense
from simplant.logic.st.tree import Access, Infix, Literal

COMPARED = {
    "GT": lambda a, b: a > b,
    "GE": lambda a, b: a >= b,
    "EQ": lambda a, b: a == b,
    "NE": lambda a, b: a != b,
    "LE": lambda a, b: a <= b,
    "AND": lambda a, b: a and b,
    "OR": lambda a, b: a or b,
    "XOR": lambda a, b: a != b,
}


class Left(Exception):  # noqa: N818 - a way out
    """A jump to a label, or a return (None)."""


class Plain:
    """Runs one ladder on `values`; edges remember by their number among all elements."""

    def __init__(self, ladder, values):
        self.ladder, self.values, self.memory = ladder, values, {}

    def scan(self):
        labels = {rung.label: n for n, rung in enumerate(self.ladder.rungs) if rung.label}
        n = 0
        while n < len(self.ladder.rungs):
            try:
                self.where = (n,)
                self.line(self.ladder.rungs[n].line, True, (n,))
                n += 1
            except Left as left:
                if left.args[0] is None:
                    return
                n = labels[left.args[0]]

    def line(self, line, power, where):
        for number, element in enumerate(line.elements):
            power = self.element(element, power, (*where, number))
        return power

    def edge(self, now, where, rising):
        before, self.memory[where] = self.memory.get(where, False), now
        return now and not before if rising else before and not now

    def read(self, node):
        match node:
            case Access():
                index = f"[{node.selectors[0].values[0].value}]" if node.selectors else ""
                return self.values[node.name + index]
            case Literal():
                return node.value
            case Infix():
                return self.read(node.left) + self.read(node.right)

    def element(self, element, power, where):
        match element:
            case Contact():
                now = self.read(element.operand)
                seen = {
                    Sense.OPEN: lambda: now,
                    Sense.CLOSED: lambda: not now,
                    Sense.RISING: lambda: self.edge(now, where, True),
                    Sense.FALLING: lambda: self.edge(now, where, False),
                }[element.sense]()
                return power and seen
            case Coil():
                self.coil(element, power, where)
                return power
            case Parallel():
                given = [self.line(branch, power, (*where, n)) for n, branch in enumerate(element.branches)]
                return any(given)
            case Block():
                return self.block(element, power)
            case Jump() | Return() if power:
                raise Left(getattr(element, "label", None))
            case _:
                return False

    def coil(self, coil, power, where):
        name = coil.target.name
        match coil.action:
            case Action.PLAIN:
                self.values[name] = power
            case Action.NEGATED:
                self.values[name] = not power
            case Action.SET | Action.RESET:
                if power:
                    self.values[name] = coil.action is Action.SET
            case Action.RISING | Action.FALLING:
                self.values[name] = self.edge(power, where, coil.action is Action.RISING)

    def block(self, block, power):
        pins = {pin.name: pin for pin in block.pins}
        if block.type in COMPARED:
            left = power if block.power_in == "IN1" else self.read(pins["IN1"].value)
            result = COMPARED[block.type](left, self.read(pins["IN2"].value))
            return power and result if block.power_in == "EN" else result
        if power:
            values = [self.read(pin.value) for pin in block.pins if pin.value is not None]
            self.values[pins["OUT"].target.name] = max(values)
        return power
