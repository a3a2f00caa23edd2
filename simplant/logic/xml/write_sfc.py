"""Writing a sequential function chart as the objects of TC6 XML, with a layout.

A step hangs below the first transition that leads to it; every other way to it is a jump. Source: from memory: TC6 XML
formats for IEC 61131-3, version 2.01. Rule: what is read back is the same chart: steps and transitions in their order.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import count
from typing import Final

from simplant.logic.fbd.layout import Box
from simplant.logic.sfc.tree import Association, Chart, Step, Transition
from simplant.logic.st.printed_expressions import printed_access, printed_expression
from simplant.logic.st.printed_statements import Notes
from simplant.logic.st.report import fail
from simplant.logic.xml.elements import Element
from simplant.logic.xml.write_graph import box_attributes, position_element
from simplant.logic.xml.write_types import element, formatted, remark

_COLUMN: Final = 320
_ACTIONS: Final = 120
_ROW: Final = 30
_SIZE: Final = 80
_BAR: Final = 40


def chart_element(chart: Chart, notes: Notes | None = None) -> Element:
    """Give a chart as a body, with remarks by the place of what they are about; raises `Fault` if it cannot be held."""
    writer = _Writer(chart, notes or {})
    writer.place_all()
    for step in chart.steps:
        writer.step(step)
    for transition in chart.transitions:
        writer.transition(transition)
    return element("SFC", *writer.objects)


@dataclass(slots=True)
class _Writer:
    """Writes one chart.

    Attributes:
        first: the transition that a step hangs below, by name of the step in capitals.
        at: where steps and transitions stand, by name or index.
        ends: what stands at the lower end of steps, and below transitions to the targets.
    """

    chart: Chart
    notes: Notes
    objects: list[Element] = field(default_factory=list)
    first: dict[str, int] = field(default_factory=dict)
    at: dict[str | int, Box] = field(default_factory=dict)
    numbers: dict[str | int, int] = field(default_factory=dict)
    count: int = 0

    def new(self) -> int:
        """Give the next number."""
        self.count += 1
        return self.count

    # where everything stands

    def place_all(self) -> None:
        """Give steps and transitions their places, level by level."""
        levels = self._levels()
        y = 20
        for level in range(max(levels.values(), default=0) + 1):
            steps = [s for s in self.chart.steps if levels[s.name.upper()] == level]
            below = [n for n, t in enumerate(self.chart.transitions) if self._level(t, levels) == level]
            for column, step in enumerate(steps):
                self.at[step.name.upper()] = Box(20 + column * _COLUMN, y, _SIZE, _BAR)
                self.numbers[step.name.upper()] = self.new()
            y += max([_BAR, *(_ROW * len(s.actions) for s in steps)]) + 20
            for column, number in enumerate(below):
                self.at[number] = Box(20 + column * _COLUMN, y + 80, _SIZE, 4)
                self.numbers[number] = self.new()
            targets = [len(self.chart.transitions[n].targets) for n in below]
            y += 160 + _ROW * max(targets, default=0) + 20

    def _levels(self) -> dict[str, int]:
        """Give each step how many transitions lie between it and an initial one; note what it hangs below."""
        names = {step.name.upper() for step in self.chart.steps}
        levels = {step.name.upper(): 0 for step in self.chart.steps if step.initial}
        changed = True
        while changed:
            changed = False
            for number, transition in enumerate(self.chart.transitions):
                above = [levels.get(name.upper()) for name in transition.sources]
                if any(level is None for level in above):
                    continue
                for name in (n.upper() for n in transition.targets if n.upper() in names and n.upper() not in levels):
                    levels[name] = 1 + max(level for level in above if level is not None)
                    self.first[name] = number
                    changed = True
        deepest = max(levels.values(), default=0) + 1
        return {step.name.upper(): levels.get(step.name.upper(), deepest) for step in self.chart.steps}

    def _level(self, transition: Transition, levels: dict[str, int]) -> int:
        return max((levels.get(name.upper(), 0) for name in transition.sources), default=0)

    # objects

    def add(self, name: str, number: int, box: Box, /, *content: Element, **attributes: str) -> None:
        """Add an object."""
        inner = (position_element(box), *content)
        self.objects.append(element(name, *inner, **box_attributes(number, box), **attributes))

    def step(self, step: Step) -> None:
        """Write a step and its actions."""
        key = step.name.upper()
        box, number = self.at[key], self.numbers[key]
        entry = [self._entry(self.first[key], key)] if key in self.first else []
        outputs = [point("connectionPointOut", formalParameter="sfc")]
        if step.actions:
            outputs.append(point("connectionPointOutAction", formalParameter="action"))
        content = (*entry, *outputs, *remark(step.place, self.notes))
        self.add("step", number, box, *content, name=step.name, initialStep="true" if step.initial else "false")
        if step.actions:
            beside = Box(box.x + _ACTIONS, box.y, _COLUMN - _ACTIONS - 40, _ROW * len(step.actions))
            joined = joined_to(number, "action")
            numbers = (self.new() for _ in step.actions)
            rows = [_action(*each) for each in zip(step.actions, numbers, count(), strict=False)]
            self.add("actionBlock", self.new(), beside, joined, *rows)
        leaving = [n for n, t in enumerate(self.chart.transitions) if key in _upper(t.sources)]
        if len(leaving) > 1:
            outs = [point("connectionPointOut", formalParameter=f"out{n}") for n in range(len(leaving))]
            at = self.at[leaving[0]]
            bar = Box(box.x, at.y - 70, _SIZE, 4)
            self.numbers[f"{key}.below"] = self.new()
            self.add("selectionDivergence", self.numbers[f"{key}.below"], bar, joined_to(number, "sfc"), *outs)

    def _entry(self, number: int, key: str) -> Element:
        """Give the connection from a transition down to one of its targets."""
        transition = self.chart.transitions[number]
        if len(transition.targets) == 1:
            return joined_to(self.numbers[number])
        return joined_to(self._bar(number), f"out{_upper(transition.targets).index(key)}")

    def _bar(self, number: int) -> int:
        """Give the number of the divergence below a transition."""
        name = f"{number}.below"
        if name not in self.numbers:
            self.numbers[name] = self.new()
        return self.numbers[name]

    def transition(self, transition: Transition) -> None:
        """Write a transition with what joins it to the steps around it."""
        number = next(n for n, t in enumerate(self.chart.transitions) if t is transition)
        box = self.at[number]
        above = [self._exit(name.upper(), number) for name in transition.sources]
        entry = above[0]
        if len(above) > 1:
            mine = self.new()
            bar = Box(box.x, box.y - 40, _SIZE, 4)
            self.add("simultaneousConvergence", mine, bar, *above, point("connectionPointOut"))
            entry = joined_to(mine)
        priority = {"priority": str(transition.priority)} if transition.priority is not None else {}
        inline = element("inline", formatted("ST", printed_expression(transition.condition)), name=transition.name)
        condition = element("condition", inline)
        out = point("connectionPointOut")
        content = (entry, out, condition, *remark(transition.place, self.notes))
        self.add("transition", self.numbers[number], box, *content, **priority)
        self._below(transition, number, box)

    def _exit(self, key: str, number: int) -> Element:
        """Give the connection from a step down to one of its transitions."""
        leaving = [n for n, t in enumerate(self.chart.transitions) if key in _upper(t.sources)]
        if len(leaving) == 1:
            return joined_to(self.numbers[key], "sfc")
        return joined_to(self.numbers[f"{key}.below"], f"out{leaving.index(number)}")

    def _below(self, transition: Transition, number: int, box: Box) -> None:
        """Write the divergence below a transition, and the jumps."""
        if len(transition.targets) > 1:
            outs = [point("connectionPointOut", formalParameter=f"out{n}") for n in range(len(transition.targets))]
            bar = Box(box.x, box.y + 20, _SIZE, 4)
            self.add("simultaneousDivergence", self._bar(number), bar, joined_to(self.numbers[number]), *outs)
        for row, name in enumerate(transition.targets):
            if self.first.get(name.upper()) != number:
                jump = Box(box.x, box.y + 40 + _ROW * row, _SIZE, _ROW - 10)
                self.add("jumpStep", self.new(), jump, self._entry(number, name.upper()), targetName=name)


def _upper(names: tuple[str, ...]) -> list[str]:
    return [name.upper() for name in names]


def point(name: str, /, **attributes: str) -> Element:
    """Give a connection point."""
    return element(name, **attributes)


def joined_to(number: int, pin: str = "") -> Element:
    """Give a connection point that is joined to an object."""
    name = {"formalParameter": pin} if pin else {}
    return element("connectionPointIn", element("connection", refLocalId=str(number), **name))


def _action(each: Association, number: int, row: int) -> Element:
    if len(each.indicators) > 1:
        fail(each.place, "an action has several indicators", "the scheme has room for one")
    time = {"duration": printed_expression(each.time)} if each.time is not None else {}
    indicator = {"indicator": each.indicators[0]} if each.indicators else {}
    name = element("reference", name=printed_access(each.action))
    at = element("relPosition", x="0", y=str(_ROW * row))
    return element("action", at, name, localId=str(number), qualifier=each.qualifier, **time, **indicator)


__all__ = ["chart_element"]
