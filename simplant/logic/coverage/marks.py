"""What marks items of a sheet: statements that do so, values that do so when they are looked at.

Where they stand is probes.py. Rule: what is marked with it stays what it was.
"""

from collections.abc import Iterable, Mapping

from simplant.blocks import BlockType
from simplant.blocks.steps import STEP
from simplant.expr import Checked, Expr
from simplant.logic.core import Assign, Copy, Core, Invoke, Origin, Perform, PythonCall, Store
from simplant.logic.coverage.sheet import Item


def flags(blocks: Mapping[str, BlockType]) -> frozenset[str]:
    """Give the flags of the steps among block instances."""
    return frozenset(f"{name}.X" for name, block in blocks.items() if block is STEP)


def telling(value: Expr, items: Iterable[Item], *, when: bool | None = None) -> Expr:
    """Give a value that marks items when it is looked at (`when`: and comes out so)."""
    seen = tuple(items)

    def tell(given: object) -> object:
        if when is None or given is when:
            for item in seen:
                item.seen = True
        return given

    return Checked(value, tell, value.type)  # type: ignore[arg-type]  # what goes in comes out


def mark(items: Iterable[Item], origin: Origin) -> list[Core]:
    """Give what marks items when it is done."""
    found = tuple(items)
    if not found:
        return []

    def done() -> None:
        for item in found:
            item.seen = True

    return [PythonCall(done, (), (), origin)]


def target(node: Core) -> str | None:
    """Give what a statement changes or calls, for people."""
    match node:
        case Assign() | Store() | Copy():
            return node.target
        case Invoke():
            return node.instance
        case Perform():
            return node.routine.name
        case PythonCall():
            return getattr(node.function, "__name__", "python")
        case _:
            return None
