"""Reading the body of a sequential function chart from TC6 XML: steps, transitions, action blocks.

What a chart does is ../sfc. Every object names what stands above it; divergences and convergences only lead through.
Source: from memory: TC6 XML formats for IEC 61131-3, version 2.01. Rule: of several transitions that leave one step
the leftmost goes first; a join that does not say of which kind it is, is refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING, Final

from simplant.logic.sfc.read import QUALIFIERS, TIMED
from simplant.logic.sfc.tree import Action, Association, Chart, Step, Transition
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, Prefix
from simplant.logic.xml.chart_lines import check_lines, lines_of
from simplant.logic.xml.drawn import has_pins, position
from simplant.logic.xml.elements import Element
from simplant.logic.xml.inside import attribute_access, attribute_time
from simplant.logic.xml.read_conditions import Conditions, beside
from simplant.logic.xml.read_types import SILENT

if TYPE_CHECKING:
    from simplant.logic.st.declared import Body
    from simplant.logic.xml.read import XmlReader

_DEEPEST: Final = 200


def read_chart(reader: XmlReader, body: Element, pou: Element) -> Chart:
    """Read an SFC body.

    Args:
        reader: of the file.
        body: the <SFC> element.
        pou: holds the actions and transitions that the chart names.

    Raises:
        Fault: it cannot be read as a whole.
    """
    return _Reader(reader, body, pou).chart()


@dataclass(slots=True)
class _Reader:
    """Reads one chart."""

    reader: XmlReader
    body: Element
    pou: Element
    objects: dict[str, Element] = field(default_factory=dict)
    made: list[Action] = field(default_factory=list)

    def chart(self) -> Chart:
        """Read everything."""
        for element in self.body.children:
            if element.name == "macroStep":
                fail(element.place, "a macro step stands here", "it is not read", "draw its steps into the chart", 10)
            if element.name not in SILENT:
                number = element.need("localId")
                if number in self.objects:
                    fail(element.place, f"two objects have the localId {number}", length=len(element.name) + 1)
                self.objects[number] = element
        report = self.reader.report
        for element in beside(self.body):
            what, why = f"a <{element.name}> is drawn beside the chart", "it leads to no condition of a transition"
            if element.name == "vendorElement" and not has_pins(element):
                report.warn(element.place, what, "it is its maker's own", length=len(element.name) + 1)
            else:
                report.error(element.place, what, why, "do it in an action", len(element.name) + 1)
        check_lines(report, self.objects)
        actions = self._named_actions()
        steps = [report.guarded(self._step, e) for e in self._each("step")]
        found = [report.guarded(self._transition, e) for e in self._ordered()]
        kept = tuple(step for step in steps if step is not None)
        return Chart(self.body.place, kept, tuple(t for t in found if t is not None), (*actions, *self.made))

    def _each(self, name: str) -> list[Element]:
        return [e for e in self.objects.values() if e.name == name]

    # steps and actions

    def _step(self, element: Element) -> Step:
        name = element.name_in("name")
        found: list[Association] = []
        for block in self._each("actionBlock"):
            if element.get("localId") in self._above(block):
                if block.flag("negated"):
                    what, why = "an action block is negated", "that has no meaning in IEC 61131-3"
                    self.reader.report.error(block.place, what, why, length=len("<actionBlock"))
                read = [self.reader.report.guarded(self._association, each, name) for each in block.each("action")]
                found += [each for each in read if each is not None]
        return Step(element.place, name, element.flag("initialStep"), tuple(found))

    def _association(self, element: Element, step: str) -> Association:
        qualifier = element.get("qualifier").upper() or "N"
        time = self._time(element, qualifier)
        report = self.reader.report
        inside, reference = element.child("inline"), element.child("reference")
        if inside is not None:
            name = self._unused(f"{step}_action")
            self.made.append(Action(element.place, name, self._done(inside)))
            action = Access(element.place, name)
        elif reference is not None:
            reference.need("name")
            action = attribute_access(report, reference, "name")
        else:
            fail(element.place, "an action names nothing", mend='write <reference name="..."/>', length=len("<action"))
        indicator = (element.get("indicator"),) if element.get("indicator") else ()
        return Association(element.place, action, qualifier, time, indicator)

    def _unused(self, stem: str) -> str:
        """Give a name that nothing in the unit has."""
        taken = {e.get("name").upper() for e in self.pou.within()} | {action.name.upper() for action in self.made}
        return next(name for n in count(1) if (name := f"{stem}{n}").upper() not in taken)

    def _time(self, element: Element, qualifier: str) -> Expression | None:
        """Give the time of an action; one that its qualifier has no use for is told."""
        length, given = len("<action"), element.get("duration")
        if qualifier not in QUALIFIERS:
            mend = f"write one of {', '.join(QUALIFIERS)}"
            fail(element.place, f"the qualifier {qualifier} is not read", mend=mend, length=length)
        if qualifier in TIMED and not given:
            fail(element.place, f"the qualifier {qualifier} has no time", mend='write duration="T#5s"', length=length)
        if given and qualifier not in TIMED:
            self.reader.report.warn(
                element.place, f"a duration stands beside the qualifier {qualifier}, which has none"
            )
            return None
        return attribute_time(self.reader.report, element, "duration") if given else None

    def _named_actions(self) -> list[Action]:
        found = []
        for holder in self.pou.each("actions"):
            for each in holder.each("action"):
                read = self.reader.report.guarded(self._named_action, each)
                found += [read] if read is not None else []
                if read is None:
                    self.reader.report.breaks(each.get("name"))
        return found

    def _named_action(self, element: Element) -> Action:
        bodies = element.each("body")
        if len(bodies) != 1:
            fail(element.place, f"an action has {len(bodies)} bodies", length=len("<action"))
        return Action(element.place, element.name_in("name"), self._done(bodies[0]))

    def _done(self, body: Element) -> Body:
        """Read the body of an action."""
        chart = body.child("SFC")
        if chart is not None:
            mend = "draw its steps into the chart around it"
            fail(chart.place, "a chart stands in an action", "it is not read there", mend, len("<SFC"))
        return self.reader.body(body, self.pou)

    # transitions

    def _ordered(self) -> list[Element]:
        """Give the transitions as written, but those that leave one step from left to right."""
        found = self._each("transition")
        places: dict[frozenset[str], list[int]] = {}
        for at, element in enumerate(found):
            steps = self.reader.report.guarded(self._steps_above, element)
            places.setdefault(frozenset(steps or ()), []).append(at)
        result = list(found)
        for ats in places.values():
            group = sorted((found[at] for at in ats), key=self._rank)
            for at, element in zip(ats, group, strict=True):
                result[at] = element
        return result

    def _rank(self, element: Element) -> tuple[int, float]:
        """Give how far to the left a transition stands: by its output of a divergence, then by its place."""
        for connection in lines_of(element):
            above = self.objects.get(connection.get("refLocalId"))
            if above is not None and above.name == "selectionDivergence":
                return self._output(above, connection), position(element)[1]
        return 0, position(element)[1]

    @staticmethod
    def _output(above: Element, connection: Element) -> int:
        names = [e.get("formalParameter") for e in above.each("connectionPointOut")]
        name = connection.get("formalParameter")
        return names.index(name) if name and name in names else 0

    def _transition(self, element: Element) -> Transition:
        sources = self._steps_above(element)
        targets = self._steps_below(element)
        if not sources or not targets:
            where = "no step leads to it" if not sources else "it leads to no step"
            fail(element.place, "a transition hangs in the air", where, length=len("<transition"))
        name, condition = self._condition(element)
        given = element.get("priority")
        if given and not given.isdigit():
            fail(element.place, f"the priority is {given!r}", "it is a whole number", length=len("<transition"))
        return Transition(
            element.place, name, sources, targets, condition, int(given) if given and int(given) else None
        )

    def _condition(self, element: Element) -> tuple[str, Expression]:
        holder = element.child("condition")
        if holder is None:
            fail(element.place, "a transition has no condition", mend="write TRUE", length=len("<transition"))
        name, found = Conditions(self.reader.report, self.body, self.pou).read(holder)
        return name, Prefix(holder.place, "NOT", found) if holder.flag("negated") else found

    # along the lines

    def _above(self, element: Element) -> list[str]:
        """Give the numbers of what stands directly above an object."""
        found = [c.need("refLocalId") for c in lines_of(element)]
        for number in found:
            if number not in self.objects:
                fail(element.place, f"it is joined to the localId {number}, which nothing has",
                     length=len(element.name) + 1)  # fmt: skip
        return found

    def _steps_above(self, element: Element) -> tuple[str, ...]:
        """Give the steps that a transition leaves."""
        joined = self._above(element)
        if len(joined) > 1:
            fail(element.place, "several lines meet at a transition", "whether all or one must be active is not said",
                 "join them by a simultaneousConvergence", len("<transition"))  # fmt: skip
        return tuple(dict.fromkeys(self._up_to_steps(element, 0)))

    def _up_to_steps(self, element: Element, depth: int) -> Iterator[str]:
        if depth > _DEEPEST:
            fail(element.place, "the lines of the chart go round in a circle", length=len(element.name) + 1)
        for number in self._above(element):
            above = self.objects[number]
            match above.name:
                case "step":
                    yield above.name_in("name")
                case "selectionDivergence" | "simultaneousConvergence":
                    yield from self._up_to_steps(above, depth + 1)
                case _:
                    fail(element.place, f"a <{above.name}> stands above it", "a step is wanted there",
                         length=len(element.name) + 1)  # fmt: skip

    def _steps_below(self, element: Element) -> tuple[str, ...]:
        """Give the steps that a transition leads to, from left to right."""
        found: list[tuple[tuple[int, ...], str]] = []
        for each in (*self._each("step"), *self._each("jumpStep")):
            for start, way in self._up_to_transitions(each, 0):
                if start is element:
                    name = each.name_in("name" if each.name == "step" else "targetName")
                    found.append((way, name))
        return tuple(dict.fromkeys(name for _, name in sorted(found, key=lambda pair: pair[0])))

    def _up_to_transitions(self, element: Element, depth: int) -> Iterator[tuple[Element, tuple[int, ...]]]:
        """Give the transitions that lead to a step, each with the outputs of simultaneous divergences on the way."""
        if depth > _DEEPEST:
            fail(element.place, "the lines of the chart go round in a circle", length=len(element.name) + 1)
        for connection in lines_of(element):
            above = self.objects.get(connection.get("refLocalId"))
            if above is None:
                self._above(element)
                continue
            match above.name:
                case "transition":
                    yield above, ()
                case "selectionConvergence" | "simultaneousDivergence":
                    out = (self._output(above, connection),) if above.name == "simultaneousDivergence" else ()
                    for start, way in self._up_to_transitions(above, depth + 1):
                        yield start, (*way, *out)
                case _:
                    fail(element.place, f"a <{above.name}> stands above it", "a transition is wanted there",
                         length=len(element.name) + 1)  # fmt: skip


__all__ = ["read_chart"]
