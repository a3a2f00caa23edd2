"""Run a program plainly: walk its core node by node on a table of values.

The oracle for compile.py: slow, obvious, and on the same layout. Rule: no cleverness; blocks are
called as the functions they are, expressions evaluated as the trees they are, every scan.
"""

from collections.abc import Callable, Iterable, Mapping

from simplant.blocks import BlockType
from simplant.expr import NOW, evaluate
from simplant.expr.places import MEMORY, Memory, Places
from simplant.kernel.executable import Executable
from simplant.logic.compile_structured import BUDGET
from simplant.logic.core import (
    Assign,
    Branch,
    Copy,
    Core,
    Invoke,
    Leave,
    Locate,
    Loop,
    Perform,
    PythonCall,
    Stamp,
    Store,
    blamed,
)
from simplant.logic.layout import Layout
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.walk_structured import Left, walk_structured
from simplant.timebase import Ns
from simplant.values import Value

Watch = Callable[[Core, Mapping[str, Value]], None]
"""Told each statement once it is done, and the values by then, those of the routine that it stands in."""


class _Values(dict[str, Value]):
    """Values by name, rows as lists; a timer's ET is computed when it is asked for."""

    def __init__(self, blocks: Mapping[str, BlockType], now: Ns, left: list[int], watch: Watch | None = None) -> None:
        super().__init__()
        self.watch = watch
        self[NOW] = now
        self.now = now
        self.blocks = blocks
        self.left = left

    def inner(self, blocks: Mapping[str, BlockType]) -> "_Values":
        """Give the values of a routine that is called now: none yet."""
        made = _Values(blocks, self.now, self.left, self.watch)
        if MEMORY in self:
            made[MEMORY] = self[MEMORY]
        return made

    def load(self, layout: Layout, inputs: tuple[Value, ...], state: tuple[Value, ...]) -> None:
        """Take what a scan begins with."""
        self.update((slot.name, slot.initial) for slot in layout.passing)
        self.update(zip(layout.inputs, inputs, strict=True))
        self.update(zip((s.name for s in layout.slots), state, strict=True))
        start = len(state) - sum(count for _, count in layout.rows)
        rows: dict[str, list[Value]] = {name: list(values) for name, values in layout.own_rows}
        for name, count in layout.rows:
            rows[name] = list(state[start : start + count])
            start += count
        self.update(rows)  # type: ignore[arg-type]  # a row is a list, and only rows are indexed
        if layout.memory is not None:
            memory = Memory(Places(layout.memory), [rows[home.name] for home in layout.memory])
            self[MEMORY] = memory  # type: ignore[assignment]  # only references look at it

    def state(self, layout: Layout) -> tuple[Value, ...]:
        """Give the state that a scan leaves."""
        single = layout.slots[: len(layout.slots) - sum(count for _, count in layout.rows)]
        rows = (self[name] for name, _ in layout.rows)
        return (*(self[s.name] for s in single), *(v for row in rows for v in row))  # type: ignore[union-attr]

    def __missing__(self, key: str) -> Value:
        instance, _, field = key.rpartition(".")
        if field != "ET" or instance not in self.blocks:
            raise KeyError(key)
        block = self.blocks[instance]
        assert block.elapsed is not None, "only timers have an ET that is not stored"
        return block.elapsed(self.state_of(instance), self.now)

    def state_of(self, instance: str) -> tuple[Value, ...]:
        block = self.blocks[instance]
        return block.state(*(self[f"{instance}.{f.name}"] for f in block.stored))


def _do(core: Iterable[Core], layout: Layout, values: _Values) -> None:
    for node in core:
        try:
            _do_one(node, layout, values)
        except Left:
            raise
        except Exception as error:
            raise blamed(error, node.origin.place) from error
        if values.watch is not None:
            values.watch(node, values)


def _do_one(node: Core, layout: Layout, values: _Values) -> None:
    match node:
        case Assign():
            values[node.target] = evaluate(node.value, values)
        case Stamp():
            values[node.target] = values.now
        case Invoke():
            _invoke(node, values)
        case Branch():
            _branch(node, layout, values)
        case PythonCall():
            _python(node, layout, values)
        case Loop() | Leave() | Store() | Copy() | Perform() | Locate():
            walk_structured(node, values, lambda core, inner: _do(core, layout, inner))


def _invoke(node: Invoke, values: _Values) -> None:
    given = [(name, evaluate(value, values)) for name, value in node.arguments]
    values.update({f"{node.instance}.{name}": value for name, value in given})
    after = node.block.step(values.state_of(node.instance), values.now)
    values.update({f"{node.instance}.{f.name}": value for f, value in zip(node.block.stored, after, strict=True)})


def _branch(node: Branch, layout: Layout, values: _Values) -> None:
    for number, (condition, body) in enumerate(node.arms):
        try:
            holds = evaluate(condition, values)
        except Exception as error:
            raise blamed(error, node.of_arm(number).place) from error
        if holds:
            _do(body, layout, values)
            return
    _do(node.otherwise, layout, values)


def _python(node: PythonCall, layout: Layout, values: _Values) -> None:
    given = node.function(*(values[name] for name in node.reads))
    results = (given,) if len(node.writes) == 1 else given or ()
    for name, value in zip(node.writes, results, strict=True):  # type: ignore[call-overload]  # a tuple by contract
        values[name] = layout.types[name].check(value)


def walk_task(layout: Layout, watch: Watch | None = None) -> Executable:
    """Give one task as an executable that is walked, every statement of it told to `watch`; it never sleeps."""

    def run(inputs: tuple[Value, ...], state: tuple[Value, ...], now: Ns) -> tuple[tuple[Value, ...], Ns]:
        values = _Values(layout.blocks, now, [BUDGET], watch)
        values.load(layout, inputs, state)
        _do(layout.core, layout, values)
        if FIRST_SCAN.name in values:
            values[FIRST_SCAN.name] = False
        return values.state(layout), Ns(now + 1)

    return Executable(layout.inputs, layout.slots, layout.outputs, layout.shared, run, layout.restless or "walked")
