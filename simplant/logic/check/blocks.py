"""Block instances: called where they must not be skipped, called twice, never called; and plain Python.

Rule: what a skipped or doubled call does is said in the words of the block: an edge, a time, a count.
"""

from collections.abc import Iterator

from simplant.logic.check.findings import Finding, listed
from simplant.logic.check.reading import conjuncts
from simplant.logic.check.view import View
from simplant.logic.nodes import Call, Opaque


def check_blocks(view: View) -> Iterator[Finding]:
    """Give the instances that are called wrongly or not at all."""
    for name, instance in view.program.instances.items():
        calls = view.calls.get(name, [])
        kind = instance.block.name
        if not calls:
            yield Finding(
                "warning", "block never called", f"{name} ({kind}) is declared but never called",
                "its outputs keep their initial values", "call it in every scan, or remove it", instance.place,
            )  # fmt: skip
        if len(calls) > 1:
            places = listed([str(call.place) for call in calls])
            yield Finding(
                "warning", "block called twice", f"{name} ({kind}) is called {len(calls)} times: at {places}",
                "the calls share one memory, so each sees what the other left",
                "declare an instance for each call", calls[-1].place,
            )  # fmt: skip
        for call in calls:
            yield from _conditional(call)


def _conditional(call: Call) -> Iterator[Finding]:
    if not conjuncts(call.when):
        return
    name, block = call.instance.name, call.instance.block
    if block.edge:
        yield Finding(
            "warning", "conditional edge block", f"{name} ({block.name}) is called only when {call.when}",
            "while it is not called it misses edges, and then sees one that is long past",
            "call it in every scan, and put the condition into its input or behind its output", call.place,
        )  # fmt: skip
    elif block.elapsed is not None:
        yield Finding(
            "note", "conditional timer", f"{name} ({block.name}) is called only when {call.when}",
            "while it is not called its Q stands still and its time runs on",
            "put the condition into IN", call.place,
        )  # fmt: skip


def check_python(view: View) -> Iterator[Finding]:
    """Name the plain Python."""
    for node in view.nodes.values():
        if isinstance(node, Opaque):
            name = getattr(node.function, "__name__", "a function")
            yield Finding(
                "note", "plain Python", f"plain Python {name!r} is run in every scan",
                "it cannot be printed, covered or exported, never sleeps, and is not looked through for races",
                "", node.place,
            )  # fmt: skip
