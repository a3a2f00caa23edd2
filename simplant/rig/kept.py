"""What a controller keeps over a power loss, as a scenario writes it under `[retained]`.

Holding it at a start is kernel/controller.py (`remember`). Rule: what is given here is what a scenario or a file of
retained memory takes back.
"""

from simplant.kernel.controller import Controller
from simplant.values import Value


def kept_of(controller: Controller) -> dict[str, Value]:
    """Give the retained tags and charts of a controller as they now are, a chart by the name of its step."""
    kept: dict[str, Value] = {}
    for task in controller.tasks:
        for slot in task.executable.slots:
            if slot.retain and slot.shown and slot.name not in kept:
                value = controller.value(slot.name)
                kept[slot.name] = slot.words[int(value)] if slot.words else value
    return kept
