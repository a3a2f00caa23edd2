"""How a controller hangs in the plant: who tells it levels, and where its outputs go.

The controller is kernel/, its plan machine.py. Rule: values only; when something happens is the
controller's and the rig's affair.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, Final

from simplant.kernel.controller import Controller
from simplant.plant.world import World
from simplant.rig.machine import MAIN, ControllerPlan, Machine
from simplant.rig.port import Port
from simplant.scenario.model import Scenario
from simplant.timebase import Ns
from simplant.values import Value

Hear = Callable[[Any, Ns], None]


class Link:
    """One controller with its plan and its place in the plant."""

    def __init__(self, plan: ControllerPlan, controller: Controller, base: int) -> None:
        self.name: Final = plan.name
        self.plan: Final = plan
        self.controller: Final = controller
        self._base = base
        prefix = "" if plan.name == MAIN else f"{plan.name}."
        slots = {s.name: s for _, e in plan.tasks for s in e.slots if s.shown}
        inner = [n for n in slots if n not in plan.outputs and n not in plan.inputs]
        self._words = {name: slots[name].words for name in inner if slots[name].words}
        own = [*plan.inputs, *plan.outputs, *inner] if plan.name == MAIN else [*plan.outputs, *inner]
        self.names: Final = [f"{prefix}{name}" for name in own]
        self._number = {name: base + n for n, name in enumerate(own)}
        self._inner = inner
        self._heard: dict[str, list[Hear]] = {}
        for number, name in enumerate(plan.inputs):
            source = f"{name}.level" if plan.name == MAIN else plan.sources.get(name, "")
            self._heard.setdefault(source, []).append(self._level(number))
        if plan.supply:
            self._heard.setdefault(plan.supply, []).append(self._power)

    def _level(self, number: int) -> Hear:
        return lambda value, now: self.controller.set_input(number, value, now)

    def _power(self, value: Any, now: Ns) -> None:
        self.controller.power(now, on=bool(value))

    def hearers(self, signal: str) -> list[Hear]:
        """Give who listens to a signal of the plant."""
        return self._heard.get(signal, [])

    def attach(self, world: World) -> None:
        """Take the plant in which this controller hangs; without a supply of its own it has power from the start."""
        self._world = world
        port = world.parts.get(self.name)
        self._port = port if isinstance(port, Port) else None
        if not self.plan.supply:
            self.controller.power(Ns(0), on=True, cold=True)

    def first_values(self) -> Iterator[tuple[str, Value]]:
        """Give the first value of each own signal."""
        prefix = "" if self.name == MAIN else f"{self.name}."
        for name in self.plan.outputs:
            yield f"{prefix}{name}", self.controller.value(name)
        for name in self._inner:
            yield f"{prefix}{name}", self._word(name, self.controller.value(name))

    def _word(self, name: str, value: Value) -> Value:
        words = self._words.get(name)
        return words[int(value)] if words else value

    def publish(self, now: Ns, moment: dict[int, Any]) -> bool:
        """Bring outputs to their terminals; say whether any changed."""
        changed = self.controller.publish(now)
        for name, value in changed:
            moment[self._number[name]] = value
            if self._port is None:
                self._world.feed(name, "level", value)
            else:
                self._port.driven[name] = value
                self._world.touch(self.name)
        return bool(changed)

    def collect(self, now: Ns, moment: dict[int, Any], notes: list[tuple[Ns, str]]) -> None:
        """Take over what changed inside the controller, and its events."""
        for name, value in self.controller.collect():
            moment[self._number[name]] = value
        if self.controller.events:
            notes.extend(
                (event.time, f"{self.name}: {event.kind.value}: {event.text}") for event in self.controller.events
            )
            self.controller.events.clear()


def build_controllers(
    machine: Machine, scenario: Scenario, *, every_scan: bool, extra_wakes: Callable[[str, int], bool] | None
) -> list[Link]:
    """Build every controller of a machine for one run."""
    links: list[Link] = []
    base = 0
    for plan in machine.controllers:
        setup = replace(plan.setup, seed=scenario.seed, sleep=not every_scan)
        controller = Controller(setup, plan.tasks, plan.inputs, plan.outputs, plan.safe, extra_wakes=extra_wakes)
        link = Link(plan, controller, base)
        base += len(link.names)
        links.append(link)
    return links


__all__ = ["Link", "build_controllers"]
