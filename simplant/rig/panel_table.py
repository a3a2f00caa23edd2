"""Holding `[panel]` of machine.toml against the machine: every part, tag, truth and colour it names.

What is on a panel is panel/devices.py. Rule: the first wrong name is told with the nearest right ones.
"""

from collections.abc import Collection, Iterator, Mapping

from simplant.errors import nearest
from simplant.rig.machine_file import COLOURS, PanelTable
from simplant.rig.plans import PartPlan
from simplant.wiring.devices import Selector

Problem = tuple[str, str, str]
"""Key, what is wrong, how to mend it."""


def panel_problems(table: PanelTable, plans: Mapping[str, PartPlan], known: Collection[str]) -> Iterator[Problem]:
    """Give what is wrong with the table.

    Args:
        table: `[panel]`.
        plans: the machine's parts.
        known: the tags, charts and truths that have a value.
    """
    for part, colour in table.colours.items():
        if part not in plans:
            yield f"panel.colours.{part}", f"there is no part {part!r} to be coloured", nearest(part, plans)
        if colour not in COLOURS:
            yield (
                f"panel.colours.{part}",
                f"{colour!r} is no colour of a lamp or button",
                f"one of: {', '.join(COLOURS)}",
            )
    selectors = [name for name, plan in plans.items() if issubclass(plan.kind, Selector)]
    for part in (name for name in table.positions if name not in selectors):
        yield f"panel.positions.{part}", f"there is no selector {part!r}", nearest(part, selectors)
    shown = [("shows", *pair) for pair in table.shows.items()] + [
        ("messages", *pair) for pair in table.messages.items()
    ]
    for key, caption, name in shown:
        if name not in known:
            yield f"panel.{key}.{caption}", f"panel.{key} names {name!r}, which is not there", nearest(name, known)
