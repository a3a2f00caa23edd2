"""A laid-out program with probes in it: it does the same, and tells a sheet what it did.

Decisions are conditions.py, counting sheet.py. Rule: a probed task leaves the states, dues and outputs of the plain
one, so it may stand in for it in any run (tests/agree/test_coverage_agrees).
"""

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field, replace

from simplant.errors import Place
from simplant.expr import Const, Expr
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Origin,
    Perform,
    PythonCall,
    Routine,
    Stamp,
    Store,
)
from simplant.logic.coverage.conditions import Written
from simplant.logic.coverage.marks import flags, mark, target, telling
from simplant.logic.coverage.sheet import Item, Sheet
from simplant.logic.coverage.text_ways import Way, declared_ways
from simplant.logic.layout import Layout, Prepared
from simplant.logic.names import nodes
from simplant.logic.nodes import AlarmTable, Rung, Source
from simplant.logic.program import Program
from simplant.logic.sequence import Sequence_
from simplant.logic.sfc.lowered import fires
from simplant.logic.sfc.tree import Chart as SeveralSteps
from simplant.logic.st.library import NAME
from simplant.values import BOOL


@dataclass(slots=True)
class Prober:
    """Puts probes into the tasks of one program.

    Args:
        program: what is covered.
        sheet: where it goes.
    """

    program: Program
    sheet: Sheet = field(init=False)
    _charts: Mapping[str, Sequence_] = field(init=False)
    _sources: dict[str, Source] = field(init=False)
    _written: Written = field(init=False)
    _routines: dict[int, tuple[Routine, Routine]] = field(init=False, default_factory=dict)
    _ways: Mapping[Place, Way] = field(init=False)
    _cases: Set[Place] = field(init=False)
    _pointed: dict[str, str] = field(init=False, default_factory=dict)
    """What a place that a reference leads to is called in the core, and by people."""

    def __post_init__(self) -> None:
        self.sheet = Sheet(self.program.name)
        self._charts = self.program.charts
        self._sources = {node.id: node for task in self.program.tasks for node in task.body}
        for chart in self._charts.values():
            for name in chart.steps:
                self.sheet.item("step", f"{chart.name}.{name}", chart.place).seen |= name == chart.initial
        for unit, several in self._several():
            for step in several.steps:
                self.sheet.item("step", f"{unit}.{step.name}", step.place).seen |= step.initial
        self._ways, self._cases = declared_ways(self.program, self.sheet, self._charts)

    def _several(self) -> Iterable[tuple[str, SeveralSteps]]:
        """Give the charts with several active steps, by the name of their unit."""
        return self.program.charts_of_units.items() if isinstance(self.program, Prepared) else ()

    def probed(self, layout: Layout) -> Layout:
        """Give a task with probes."""
        words = {slot.name: slot.words for slot in layout.slots if slot.words}
        hidden = self.program.hidden if isinstance(self.program, Prepared) else frozenset()
        self._written = Written(words, self._charts.keys(), flags(layout.blocks), hidden)
        return replace(layout, core=self._body(layout.core))

    # statements

    def _body(self, core: Iterable[Core]) -> tuple[Core, ...]:
        """Put probes into statements; what is done one after the other is marked once."""
        made: list[Core] = []
        marked: list[Item] = []
        head = 0
        for node in core:
            made += self._ways[node.origin.place].probe(node) if node.origin.place in self._ways else ()
            made.append(self._node(node))
            marked += self._statements(node)
            if any(isinstance(each, Leave) for each in nodes([node])):
                made[head:head] = mark(marked, node.origin)
                marked, head = [], len(made)
        if marked and made:
            made[head:head] = mark(marked, made[-1].origin)
        return tuple(made)

    def _statements(self, node: Core) -> Iterator[Item]:
        """Give what is seen when a node is reached."""
        name = self._said(target(node))
        source = self._sources.get(node.origin.id)
        if name is None or self._written.is_hidden(name) or isinstance(source, AlarmTable):
            return
        chart = self._charts.get(name.partition(".")[0])
        if f"{name}.X" in self._written.flags or (chart is not None and chart.chart is not None):
            return  # how a chart works
        if not isinstance(node, Assign) or not self._driven(node.value):
            yield self.sheet.item("statement", name, node.origin.place)

    def _said(self, name: str | None) -> str | None:
        """Give the name of a target; of a place that a reference leads to as it was written."""
        own, known = name or "", None
        if own.startswith("deref."):
            root = ".".join(own.split(".")[:2])
            known = self._pointed.get(root)
            own = own.removeprefix(root)
        return name if known is None else known + own

    def _driven(self, value: Expr) -> bool:
        """Say whether a value is nothing but which steps are active: what a step drives."""
        return bool(list(self._written.conditions(value))) and not self._written.wrote(value)

    def _node(self, node: Core) -> Core:
        match node:
            case Assign():
                return self._assign(node)
            case Invoke():
                given = [(name, self._input(node, name, value)) for name, value in node.arguments]
                return replace(node, arguments=tuple(given))
            case Branch():
                return self._branch(node)
            case Loop():
                return self._loop(node)
            case Perform():
                return replace(node, routine=self._routine(node.routine))
            case Store() | Locate():
                return self._led(node)
            case Stamp() | PythonCall() | Leave() | Copy():
                return node

    # decisions

    def _assign(self, node: Assign) -> Assign:
        if node.target in self._charts and isinstance(node.value, Const):
            return replace(node, value=self._entering(node))
        if node.value.type is not BOOL:
            return node
        if fires(node.target):
            return replace(node, value=self._firing(node))
        power = self._written.is_power(node.target)
        if (self._written.is_hidden(node.target) and not power) or not self._written.wrote(node.value):
            return node
        return replace(node, value=self._watched(node.value, "rung", "power" if power else node.target, node.origin))

    def _led(self, node: Store | Locate) -> Store | Locate:
        """Put probes into what writes into a row, and keep what people call a place that a reference leads to."""
        if isinstance(node, Locate):
            self._pointed[node.at.rpartition(".")[0]] = f"{node.label}^"
            return node
        name = self._said(node.target) or node.target
        if node.value.type is not BOOL or self._written.is_hidden(name) or not self._written.wrote(node.value):
            return node
        return replace(node, value=self._watched(node.value, "rung", name, node.origin))

    def _input(self, node: Invoke, name: str, value: Expr) -> Expr:
        if value.type is not BOOL or self._written.is_hidden(node.instance) or not self._written.wrote(value):
            return value
        return self._watched(value, "rung", f"{node.instance}.{name}", node.origin)

    def _watched(self, value: Expr, kind: str, name: str, origin: Origin) -> Expr:
        return self._written.watched(value, self.sheet, kind, name, origin.place)

    def _branch(self, node: Branch) -> Branch:
        arms = []
        for number, (condition, body) in enumerate(node.arms, start=1):
            arms.append((self._arm(node, number, condition, body), self._body(body)))
        return replace(node, arms=tuple(arms), otherwise=self._body(node.otherwise))

    def _arm(self, node: Branch, number: int, condition: Expr, body: tuple[Core, ...]) -> Expr:
        going = next((n for n in body if isinstance(n, Assign) and self._goes(n)), None)
        if going is not None:
            return self._watched(condition, "transition", self._way(going), going.origin)
        source = self._sources.get(node.origin.id)
        chooses = isinstance(source, AlarmTable) or node.origin.place in self._cases
        if chooses or not self._written.wrote(condition):
            return condition
        kind = "rung" if isinstance(source, Rung) else "branch"
        name = f"{number} of {len(node.arms)}" if len(node.arms) > 1 else self._first_of(body)
        return self._watched(condition, kind, name, node.of_arm(number - 1))

    def _first_of(self, body: Iterable[Core]) -> str:
        """Name a body by what it changes first."""
        return next((name for node in body if (name := target(node)) and not self._written.is_hidden(name)), "")

    def _loop(self, node: Loop) -> Loop:
        condition = node.condition
        if condition is not None and self._written.wrote(condition):
            condition = self._watched(condition, "branch", "loop", node.origin)
        head, body, step = map(self._body, (node.head, node.body, node.step))
        return replace(node, head=head, condition=condition, body=body, step=step)

    def _routine(self, routine: Routine) -> Routine:
        """Put probes into a routine, once; what the standard gives is nobody's program."""
        if any(node.origin.place.file == NAME for node in routine.body):
            return routine
        known = self._routines.get(id(routine))
        if known is None:
            outer = self._written
            self._written = replace(outer, flags=flags(routine.blocks))
            known = self._routines[id(routine)] = (routine, replace(routine, body=self._body(routine.body)))
            self._written = outer
        return known[1]

    # charts

    def _goes(self, node: Assign) -> bool:
        """Say whether this is a Python chart's going from step to step."""
        chart = self._charts.get(node.target)
        return chart is not None and chart.chart is not None

    def _dest(self, node: Assign) -> str:
        assert isinstance(node.value, Const), "a chart goes to a step"
        return list(self._charts[node.target].steps)[int(node.value.value)]

    def _way(self, node: Assign) -> str:
        """Name a transition of a Python chart by its ends."""
        whole, _, last = node.origin.id.rpartition("/")
        source = whole.rpartition("/")[2] if last == "limit" else node.origin.id.rpartition(":")[2]
        return f"{node.target}: {source} -> {self._dest(node)}{' at its time limit' if last == 'limit' else ''}"

    def _entering(self, node: Assign) -> Expr:
        items = [self.sheet.item("step", f"{node.target}.{self._dest(node)}", self._charts[node.target].place)]
        if self._goes(node):
            items.append(self.sheet.item("transition", self._way(node), node.origin.place))
        return telling(node.value, items)

    def _firing(self, node: Assign) -> Expr:
        """Watch a transition of a chart with several active steps; where it fires, what it leads to is entered."""
        place = node.origin.place
        stand_here = [(u, c, t) for u, c in self._several() for t in c.transitions if t.place == place]
        if not stand_here:
            return node.value  # the flag before anybody looked
        unit, chart, found = stand_here[0]
        name = f"{unit}: {found.name or ' -> '.join(', '.join(ends) for ends in (found.sources, found.targets))}"
        targets = {target.upper() for target in found.targets}
        items = [self.sheet.item("transition", name, place)]
        entered = [step for step in chart.steps if step.name.upper() in targets]
        items += [self.sheet.item("step", f"{unit}.{step.name}", step.place) for step in entered]
        steady = isinstance(node.value, Const)
        value = node.value if steady else self._watched(node.value, "transition", name, node.origin)
        return telling(value, items, when=True)
