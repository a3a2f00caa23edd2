"""What a converted program declares: tags at their addresses, memory, enumerations of steps, instances of blocks.

Rule: declared in the order of the Python program, since a trace tells what changed in this order.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final

from simplant.errors import Place
from simplant.logic.convert.naming import Naming, in_capitals
from simplant.logic.convert.terms import Terms, Words
from simplant.logic.lower import first_out_ref, overtime_ref
from simplant.logic.program import Program
from simplant.logic.sequence import Sequence_
from simplant.logic.st.declared import Enumeration, Named, Section, Structure, TypeName, TypeSpec, Variable
from simplant.logic.st.standard import signature
from simplant.logic.st.tree import Expression
from simplant.tags import Direction, Tag
from simplant.values import show_value

PLAIN: Final = Section("VAR")
RETAINED: Final = Section("VAR", retain=True)
TEMPORARY: Final = Section("VAR_TEMP")
EXTERNAL: Final = Section("VAR_EXTERNAL")


def words_of(program: Program, naming: Naming) -> dict[str, Words]:
    """Make the enumerations of a program: of each chart's steps, of each table's first-out."""
    named = {name: (f"{in_capitals(name)}Step", tuple(chart.steps)) for name, chart in program.charts.items()}
    for table in program.alarm_tables:
        names = ("none", *(alarm.name for alarm in table.alarms))
        named[first_out_ref(table.name).name] = (f"{in_capitals(table.name)}Name", names)
    every = [program.name.upper(), *(name.upper() for _, names in named.values() for name in names)]
    made: dict[str, Words] = {}
    for variable, (type_, names) in named.items():
        clash = any(naming.is_used(n) or signature(n.upper()) or every.count(n.upper()) > 1 for n in names)
        made[variable] = Words(naming.new(type_), names, clash)
    return made


@dataclass(slots=True)
class Declared:
    """Makes the declarations of a program.

    Args:
        program: the Python program.
        terms: how its values are said.
        notes: where comments go.
    """

    program: Program
    terms: Terms
    notes: dict[Place, str] = field(default_factory=dict)
    _structures: dict[str, str] = field(default_factory=dict)

    def types(self, naming: Naming) -> Iterator[TypeName]:
        """Give the enumerations, and a structure for what became of each chart's time limits."""
        for words in self.terms.words.values():
            names = tuple((self.terms.here(), name, None) for name in words.names)
            yield TypeName(self.terms.here(), words.type, Enumeration(self.terms.here(), names), None)
        for chart in self.terms.overtimes:
            fields = tuple(self._variable(step, Named(self.terms.here(), "BOOL"), Section("FIELD"))
                           for step in self.limited(self.program.charts[chart]))  # fmt: skip
            name = naming.new(f"{in_capitals(chart)}Overtime")
            self._structures[chart] = name
            yield TypeName(self.terms.here(), name, Structure(self.terms.here(), fields), None)

    def limited(self, chart: Sequence_) -> list[str]:
        """Give the steps whose time limits somebody asks about."""
        return [s for s in chart.steps if overtime_ref(chart.name, s).name in self.terms.asked]

    def variables(self, used: Iterable[str]) -> list[Variable]:
        """Give all variables of these names, and what is hidden beside them."""
        names = frozenset(used)
        heads = {name.partition(".")[0] for name in names}
        made = [self._tag(tag) for name, tag in self.program.declared.items() if name in names and "." not in name]
        made += [self._chart(name) for name in self.program.charts if name in names]
        made += [
            self._variable(self.terms.overtimes[name], Named(self.terms.here(), type_))
            for name, type_ in self._structures.items()
            if name in heads
        ]
        made += [
            self._variable(instance.name, Named(self.terms.here(), instance.block.name))
            for instance in self.program.instances.values()
            if instance.name in heads
        ]
        return made

    def _variable(
        self, name: str, type_: TypeSpec, section: Section = PLAIN, initial: Expression | None = None
    ) -> Variable:
        return Variable(self.terms.here(), name, type_, initial, "", section)

    def _tag(self, tag: Tag) -> Variable:
        section = RETAINED if tag.retain and tag.direction is Direction.MEMORY else PLAIN
        if tag.direction is not Direction.MEMORY and not tag.address:
            section = EXTERNAL
        words = self.terms.words.get(tag.name)
        assert tag.initial is not None, "a tag always has an initial value"
        initial = None
        if words is None and show_value(tag.initial, tag.type) != show_value(tag.type.default, tag.type):
            initial = self.terms.literal(tag.initial, tag.type)
        type_ = Named(self.terms.here(), words.type if words else tag.type.name)
        made = replace(self._variable(tag.name, type_, section, initial), address=tag.address)
        note = self._note(tag)
        if note:
            self.notes[made.place] = note
        return made

    def _note(self, tag: Tag) -> str:
        for table in self.program.alarm_tables:
            for alarm in table.alarms:
                if alarm.name == tag.name:
                    return "; ".join(part for part in (alarm.text, alarm.action) if part)
        return tag.description

    def _chart(self, name: str) -> Variable:
        chart = self.program.charts[name]
        type_ = Named(self.terms.here(), self.terms.words[name].type)
        initial = self.terms.word(name, chart.initial)
        return self._variable(name, type_, RETAINED if chart.retain else PLAIN, initial)

    def hidden(self, name: str, type_: str, section: Section = PLAIN) -> Variable:
        """Give a variable that only the conversion needs."""
        return self._variable(name, Named(self.terms.here(), type_), section)


def shared(variables: Iterable[Variable]) -> tuple[list[Variable], list[Variable]]:
    """Give variables as globals, and as what a program says of them."""
    globals_, externals = [], []
    for each in variables:
        globals_.append(replace(each, section=replace(each.section, word="VAR_GLOBAL")))
        externals.append(replace(each, section=EXTERNAL, initial=None, address=""))
    return globals_, externals


__all__ = ["EXTERNAL", "PLAIN", "RETAINED", "TEMPORARY", "Declared", "shared", "words_of"]
