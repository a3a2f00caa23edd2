"""Steps and transitions of the sequences of a text, on a sheet: marked where an assignment leads from step to step.

Which there are is text_sequences.py. Rule: what a sequence was in is read just before the assignment, so the step it
leaves is the one that it truly leaves.
"""

from collections.abc import Container, Iterator, Mapping, Set
from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.core import Assign, Core, PythonCall
from simplant.logic.coverage.sheet import Item, Sheet
from simplant.logic.coverage.text_sequences import TextSequence, sequences_in
from simplant.logic.program import Program
from simplant.logic.st.prepared import TextProgram
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class Way:
    """An assignment that leads from steps to one.

    Args:
        step: the step that it leads to, if it is counted here.
        items: the transitions, by the number of the step that each leaves.
    """

    step: Item | None
    items: Mapping[int, Item] = field(hash=False)

    def probe(self, node: Core) -> Iterator[Core]:
        """Give what marks it, to stand before it."""
        if isinstance(node, Assign):
            yield PythonCall(self._mark, (node.target,), (), node.origin)

    def _mark(self, before: Value) -> None:
        if self.step is not None:
            self.step.seen = True
        item = self.items.get(int(before))
        if item is not None:
            item.seen = True


def declared_ways(program: Program, sheet: Sheet, charts: Container[str]) -> tuple[Mapping[Place, Way], Set[Place]]:
    """Put the sequences of a text on a sheet; those that are charts of the program have their steps there already.

    Returns:
        Their ways by the places of the assignments, and the places of the CASEs that choose by them.
    """
    if not isinstance(program, TextProgram):
        return {}, frozenset()
    found = list(sequences_in(program))
    ways = {place: way for each in found for place, way in _of(each, sheet, charts)}
    return ways, frozenset(place for each in found for place in each.cases)


def _of(each: TextSequence, sheet: Sheet, charts: Container[str]) -> Iterator[tuple[Place, Way]]:
    steps: dict[int, Item] = {}
    if each.name not in charts:
        steps = {n: sheet.item("step", f"{each.name}.{word}", each.place) for n, word in each.words.items()}
        for number, item in steps.items():
            item.seen |= number == each.initial
    for place, (sources, dest) in each.ways.items():
        names = {source: f"{each.name}: {each.words[source]} -> {each.words[dest]}" for source in sources}
        items = {source: sheet.item("transition", name, place) for source, name in names.items()}
        yield place, Way(steps.get(dest), items)
