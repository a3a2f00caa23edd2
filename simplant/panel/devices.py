"""What stands on the machine's own operator panel: its colours, positions, displays and messages.

They come from `[panel]` in machine.toml and, where that is silent, from the I/O list. Rule: a colour is one of
IEC 60204-1, and what is not said is white.
"""

import re
from typing import Final

from simplant.errors import SimplantError
from simplant.panel.gauges import stock_name
from simplant.rig.machine import Machine
from simplant.rig.machine_file import COLOURS

_DESIGNATION: Final = re.compile(r"[A-Za-z]{1,2}\d+")
_SOUND: Final = re.compile(r"horn|sound|buzzer|bell|siren")


class Devices:
    """The devices of one machine's panel.

    Attributes:
        lamps: lamp part -> colour, or "sound" for a sounder.
        buttons, stops, selectors, gates: parts by what they are; gates are doors, locks and curtains.
        others: what else people act on, as (part, action).
        shows: caption -> tag or truth.
        messages: text -> Boolean tag or truth.
    """

    def __init__(self, machine: Machine) -> None:
        table = machine.file.panel
        kinds = {name: stock_name(plan.kind) for name, plan in machine.plans.items()}
        self._machine: Final = machine
        self.lamps: Final = {name: self._colour(name) for name, kind in kinds.items() if kind == "lamp"}
        self.colours: Final = table.colours
        self.positions: Final = table.positions
        self.kinds: Final = kinds
        acted = [n for n, plan in machine.plans.items() if plan.kind.ACTIONS and n not in machine.io]
        self.panel: Final = [n for n in acted if kinds[n] in _OPPOSED or kinds[n] in ("push_button", "selector")]
        self.others: Final = [(n, a) for n in acted if n not in self.panel for a in machine.plans[n].kind.ACTIONS]
        kept = {t.name: t.name for t in machine.program.declared.values() if t.retain and "." not in t.name}
        self.shows: Final = table.shows or {**machine.file.machine.counts, **kept}
        self.messages: Final = table.messages

    def _colour(self, lamp: str) -> str:
        given = self._machine.file.panel.colours
        if lamp in given:
            return given[lamp]
        points = [p for p in self._machine.io.outputs if p.part == lamp]
        texts = [lamp, *(text for p in points for text in (p.name, p.tag.description))]
        words = [word for text in texts for word in re.findall(r"[a-z]+", text.lower())]
        if any(_SOUND.match(word) for word in words):
            return "sound"
        return next((word for word in words if word in COLOURS), "white")

    def opposed(self, part: str) -> tuple[str, str, str] | None:
        """Give the truth that says in which of two states a device is, and the actions to the one and back."""
        return _OPPOSED.get(self.kinds[part])

    def positions_of(self, part: str) -> list[str]:
        """Give the names of a selector's positions."""
        plan = self._machine.plans[part]
        count = int(plan.parameters.get("positions", plan.kind.PARAMETERS["positions"].default))
        named = self.positions.get(part, [])
        return [named[n] if n < len(named) else f"position {n}" for n in range(count)]

    def meaning(self, part: str, action: str) -> str:
        """Give what an action means."""
        return self._machine.plans[part].kind.ACTIONS[action]

    def caption(self, part: str) -> str:
        """Give the name of a device; of one that has a designation only (S1), also the point that it is wired to."""
        if not _DESIGNATION.fullmatch(part):
            return part
        return next((f"{part} {point.name}" for point in self._machine.io if point.part == part), part)

    def refusal(self, part: str, action: str, value: float | None) -> SimplantError | None:
        """Say why a part cannot take an action; None if it can."""
        return self._machine.plans[part].refusal(action, value)


_OPPOSED: Final = {
    "emergency_stop": ("pressed", "press", "release"),
    "door": ("open", "open", "close"),
    "guard_lock": ("open", "open", "close"),
    "light_curtain": ("occupied", "interrupt", "leave"),
}
