"""When an action is active: the standard's control of actions, one expression and a few statements for each action.

Source: IEC 61131-3:2003 2.6.4 (the body of ACTION_CONTROL without its final scan logic), from memory; held by
tests/external/test_sfc_actions. Choices: several steps that have the action with one qualifier (and one time) are one
input, their OR; timed qualifiers with different times have a timer each; P0 is a fall that was preceded by a rise, so
nothing falls in the first scan. Rule: R is stronger than all the others.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.sfc.tree import Association, Chart
from simplant.logic.st.built import call, joined, let, name, negated, structure, truth, variable
from simplant.logic.st.declared import Variable
from simplant.logic.st.printed_expressions import printed_expression
from simplant.logic.st.tree import Access, Expression, Statement


@dataclass(slots=True)
class Use:
    """One action or Boolean variable of a chart, with the steps that have it.

    Args:
        place: of the first action block.
        action: what is named.
        blocks: step and action block, in written order.
    """

    place: Place
    action: Access
    blocks: list[tuple[str, Association]] = field(default_factory=list)


def uses_of(chart: Chart) -> dict[str, Use]:
    """Give all that the action blocks of a chart name, by name in capitals, in the order of their first block."""
    found: dict[str, Use] = {}
    for step in chart.steps:
        for block in step.actions:
            use = found.setdefault(printed_expression(block.action).upper(), Use(block.place, block.action))
            use.blocks.append((step.name, block))
    return found


@dataclass(slots=True)
class Control:
    """Works out when one action is active.

    Attributes:
        active: the expression, once `statements` have run.
        statements: what must run before, in every scan.
        held: what it keeps from scan to scan.
    """

    use: Use
    active: Expression = field(init=False)
    statements: list[Statement] = field(default_factory=list)
    held: list[Variable] = field(default_factory=list)

    def __post_init__(self) -> None:
        terms = [term for qualifier, time, steps in self._groups() for term in self._term(qualifier, time, steps)]
        place = self.use.place
        self.active = joined("OR", terms) if terms else truth(place, value=False)
        reset = self._of("R")
        if reset is not None and terms:
            self.active = joined("AND", [negated(reset), self.active])

    @property
    def hidden(self) -> str:
        """The variable that holds what it keeps."""
        return f"{printed_expression(self.use.action)}.action"

    def variables(self) -> Iterator[Variable]:
        """Give the hidden variable, if it needs one."""
        if self.held:
            yield structure(self.use.place, self.hidden, self.held)

    def _groups(self) -> Iterable[tuple[str, Expression | None, Expression]]:
        """Give each qualifier and time with the OR of its steps; R apart."""
        found: dict[tuple[str, str], tuple[Expression | None, list[Expression]]] = {}
        for step, block in self.use.blocks:
            if block.qualifier != "R":
                time = printed_expression(block.time).upper() if block.time is not None else ""
                _, steps = found.setdefault((block.qualifier, time), (block.time, []))
                steps.append(name(block.place, step, "X"))
        return [(qualifier, time, joined("OR", steps)) for (qualifier, _), (time, steps) in found.items()]

    def _of(self, qualifier: str) -> Expression | None:
        steps = [name(b.place, step, "X") for step, b in self.use.blocks if b.qualifier == qualifier]
        return joined("OR", steps) if steps else None

    def _term(self, qualifier: str, time: Expression | None, steps: Expression) -> Iterator[Expression]:
        """Give what one qualifier adds to the OR."""
        match qualifier:
            case "N":
                yield steps
            case "S":
                yield self._stored(steps)
            case "P" | "P1":
                edge = self._hold("R_TRIG", "rise")
                self.statements.append(call(edge, CLK=steps))
                yield self._part(edge, "Q")
            case "P0":
                yield self._fall(steps)
            case _:
                assert time is not None, "a qualifier with a time has one"
                yield self._timed(qualifier, time, steps)

    def _timed(self, qualifier: str, time: Expression, steps: Expression) -> Expression:
        if qualifier in ("SD", "SL"):
            steps = self._stored(steps)
        timer = self._hold("TON", "timer")
        self.statements.append(call(timer, IN=steps, PT=time))
        over = self._part(timer, "Q")
        if qualifier == "DS":
            return self._stored(over)
        return joined("AND", [steps, negated(over)]) if qualifier in ("L", "SL") else over

    def _stored(self, setting: Expression) -> Access:
        """Keep what was set until R."""
        flag = self._hold("BOOL", "stored")
        kept = joined("OR", [setting, flag])
        reset = self._of("R")
        self.statements.append(let(flag, joined("AND", [negated(reset), kept]) if reset is not None else kept))
        return flag

    def _fall(self, steps: Expression) -> Access:
        before, fell = self._hold("BOOL", "before"), self._hold("BOOL", "fell")
        self.statements += [let(fell, joined("AND", [before, negated(steps)])), let(before, steps)]
        return fell

    def _hold(self, type_: str, what: str) -> Access:
        """Declare something that is kept; give it."""
        field_name = f"{what}{len(self.held) + 1}"
        self.held.append(variable(self.use.place, field_name, type_))
        return name(self.use.place, self.hidden, field_name)

    @staticmethod
    def _part(instance: Access, part: str) -> Access:
        return name(instance.place, instance.name, *(s.name for s in instance.selectors if hasattr(s, "name")), part)
