"""Drawings with more lines than a rung has, run as they are and as the rungs that they can be said in."""

from random import Random

import pytest

from simplant.logic.fbd.as_ladder import as_ladder
from simplant.logic.fbd.for_rungs import rungs_of
from simplant.logic.fbd.tree import Block, Coil, Contact, Graph, Input, Output, Rail, Sink, Source, Wire
from simplant.logic.ladder.tree import Action, Sense
from simplant.logic.st.tree import Access, Literal
from tests.agree.test_ladder_as_graph import traced
from tests.ladder.trees import BOOLS
from tests.st.trees import HERE

BLOCKS = {
    "CTU": ("tally", ("CU", "R"), ("Q",)), "TON": ("late", ("IN",), ("Q", "Q")), "AND": ("", ("IN1", "IN2"), ("OUT",)),
    "XOR": ("", ("IN1", "IN2", "IN3"), ("OUT",)),
}  # fmt: skip
RAIL = (Wire(1),)
VALUES = {"CTU": ("PV", Literal(HERE, 2, None, "2")), "TON": ("PT", Access(HERE, "span"))}


class Drawn:
    """A drawing by chance: a line of contacts to each pin of each block, coils behind its outputs."""

    def __init__(self, seed):
        self.random, self.nodes = Random(seed), [Rail(1, HERE)]
        for kind in self.random.sample(sorted(BLOCKS), self.random.randint(1, 2)):
            self.block(kind, *BLOCKS[kind])

    def add(self, make):
        number = len(self.nodes) + 1
        self.nodes.append(make(number))
        return Wire(number)

    def line(self, wires=RAIL):
        """One to three contacts, some of them beside one another."""
        if wires == RAIL and self.random.random() < 0.2:
            name = Access(HERE, self.random.choice(BOOLS))
            wires = (self.add(lambda n: Source(n, HERE, name, self.random.random() < 0.5)),)
        for _ in range(self.random.randint(1, 3)):
            beside = [self.contact(wires) for _ in range(self.random.choice((1, 1, 2)))]
            wires = tuple(beside)
        return wires

    def contact(self, wires):
        sense = self.random.choice((*4 * (Sense.OPEN,), *4 * (Sense.CLOSED,), Sense.RISING))
        name = Access(HERE, self.random.choice(BOOLS))
        return self.add(lambda n: Contact(n, HERE, sense, name, Input("", wires)))

    def block(self, kind, instance, pins, outputs):
        marked = self.random.random
        inputs = [Input(name, self.line(), negated=marked() < 0.1) for name in pins]
        if kind in VALUES:
            name, value = VALUES[kind]
            inputs.append(Input(name, (self.add(lambda n: Source(n, HERE, value)),)))
        outs = tuple(Output(name, negated=marked() < 0.1) for name in dict.fromkeys(outputs))
        block = self.add(lambda n: Block(n, HERE, kind, instance, tuple(inputs), (), outs))
        for name in outputs:
            wires = (Wire(block.node, name),) if marked() < 0.6 else self.line((Wire(block.node, name),))
            action, target = self.random.choice(list(Action)), Access(HERE, self.random.choice(BOOLS))
            if action in (Action.PLAIN, Action.NEGATED) and wires[0].node != block.node:
                end = Input("", wires, negated=action is Action.NEGATED)
                self.add(lambda n, t=target, e=end: Sink(n, HERE, t, e))
            else:
                self.add(lambda n, a=action, t=target, w=wires: Coil(n, HERE, a, t, Input("", w)))


def test_they_do_the_same():
    """Values in every scan are equal; rungs are found for many drawings that are none as they stand."""
    found = {"rungs as they stand": 0, "rungs with fewer wires": 0, "no rungs": 0}
    for seed in range(60):
        graph = Graph(HERE, tuple(Drawn(seed).nodes))
        rungs = rungs_of(graph)
        if rungs is None:
            found["no rungs"] += 1
            continue
        found["rungs as they stand" if as_ladder(graph) is not None else "rungs with fewer wires"] += 1
        assert traced(rungs, seed) == traced(graph, seed), seed
    assert all(count >= 5 for count in found.values()), found


@pytest.mark.slow
def test_they_do_the_same_at_length():
    """As above, many times."""
    for seed in range(60, 600):
        graph = Graph(HERE, tuple(Drawn(seed).nodes))
        rungs = rungs_of(graph)
        assert rungs is None or traced(rungs, seed) == traced(graph, seed), seed
