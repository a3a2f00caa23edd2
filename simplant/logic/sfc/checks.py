"""What is wrong with a chart as a chart: names that are not there, no initial step, steps that nothing reaches.

What needs a search through all its situations is situations.py. Rule: an error keeps the chart from running, all of
them are told at once; a chart with none can be lowered.
"""

from collections.abc import Iterable, Iterator

from simplant.errors import Place, nearest
from simplant.logic.sfc.tree import Chart, Transition
from simplant.logic.st.declared import Unit
from simplant.logic.st.report import Mistake


def errors_of(unit: Unit, chart: Chart) -> list[Mistake]:
    """Give what keeps a chart from running."""
    if unit.kind == "FUNCTION":
        why = "a function remembers nothing, and a chart must"
        return [Mistake(unit.place, f"the body of the FUNCTION {unit.name} is a chart", why, "write a FUNCTION_BLOCK")]
    return [*_names(unit, chart), *_transitions(chart), *_initial(chart)]


def warnings_of(chart: Chart) -> list[Mistake]:
    """Give what is allowed but looks wrong, as far as it is seen without a search."""
    return [*_several_initial(chart), *_never_used(chart), *_always(chart)]


def _names(unit: Unit, chart: Chart) -> Iterator[Mistake]:
    variables = {v.name.upper(): v.place for v in unit.variables}
    for things, what in ((chart.steps, "step"), (chart.actions, "action")):
        seen = dict(variables)
        for each in things:
            key = each.name.upper()
            if key in seen:
                where = f"first at line {seen[key].line}"
                yield Mistake(each.place, f"the {what} {each.name} is declared twice", where, length=len(each.name))
            seen[key] = each.place


def _transitions(chart: Chart) -> Iterator[Mistake]:
    known = {step.name.upper(): step.name for step in chart.steps}
    for transition in chart.transitions:
        for end, steps in (("from", transition.sources), ("to", transition.targets)):
            for number, step in enumerate(steps):
                if step.upper() not in known:
                    what = f"a transition leads {end} {step!r}, and there is no such step"
                    mend = nearest(step.upper(), known)
                    yield Mistake(transition.place, what, mend=_cased(mend, known))
                elif step.upper() in (s.upper() for s in steps[:number]):
                    yield Mistake(transition.place, f"a transition leads {end} {step} twice")


def _cased(told: str, known: dict[str, str]) -> str:
    """Write names as they were declared."""
    for key, name in known.items():
        told = told.replace(key, name)
    return told


def parts_of(chart: Chart) -> list[set[str]]:
    """Give the steps of each network of a chart: those that transitions connect."""
    parts: list[set[str]] = [{step.name.upper()} for step in chart.steps]
    for transition in chart.transitions:
        ends = {s.upper() for s in (*transition.sources, *transition.targets)}
        met = [part for part in parts if part & ends]
        if met:
            parts = [p for p in parts if not p & ends] + [set().union(*met)]
    return sorted(parts, key=lambda part: min(_numbers(chart, part)))


def _numbers(chart: Chart, part: set[str]) -> Iterable[int]:
    return (number for number, step in enumerate(chart.steps) if step.name.upper() in part)


def _initial(chart: Chart) -> Iterator[Mistake]:
    initial = {step.name.upper() for step in chart.steps if step.initial}
    if not initial:
        yield Mistake(chart.place, "the chart has no initial step", "nothing would ever be active",
                      'say in which step it begins: INITIAL_STEP in text, initialStep="true" in XML')  # fmt: skip


def _several_initial(chart: Chart) -> Iterator[Mistake]:
    for part in parts_of(chart):
        initial = [step for step in chart.steps if step.initial and step.name.upper() in part]
        if len(initial) > 1:
            names = ", ".join(step.name for step in initial)
            yield _warning(initial[1].place, f"one network begins in several steps: {names}",
                           "IEC 61131-3 has one initial step in a network, IEC 60848 several")  # fmt: skip


def _never_used(chart: Chart) -> Iterator[Mistake]:
    used = {block.action.name.upper() for step in chart.steps for block in step.actions}
    for action in chart.actions:
        if action.name.upper() not in used:
            yield _warning(action.place, f"no step has the action {action.name}", "it never runs", "take it away",
                           len(action.name))  # fmt: skip
    yield from _never_reset(chart)


def _never_reset(chart: Chart) -> Iterator[Mistake]:
    blocks = [block for step in chart.steps for block in step.actions]
    reset = {str(block.action).upper() for block in blocks if block.qualifier == "R"}
    told: set[str] = set()
    for block in blocks:
        key = str(block.action).upper()
        if block.qualifier in ("S", "SD", "DS", "SL") and key not in reset | told:
            told.add(key)
            yield _warning(block.place, f"the action {block.action} is stored by {block.qualifier} and never reset",
                           "it stays active for good", f"reset it in a later step: {block.action}(R);",
                           len(str(block.action)))  # fmt: skip


def _always(chart: Chart) -> Iterator[Mistake]:
    """Find alternatives behind one that always fires."""
    for number, transition in enumerate(chart.transitions):
        for other in chart.transitions[:number]:
            same = _keys(other) == _keys(transition) and (other.priority, transition.priority) == (None, None)
            if same and getattr(other.condition, "value", None) is True:
                why = f"the one of line {other.place.line} from the same step is always there first"
                yield _warning(transition.place, "this transition never fires", why)


def _keys(transition: Transition) -> set[str]:
    return {source.upper() for source in transition.sources}


def _warning(place: Place, what: str, why: str = "", mend: str = "", length: int = 1) -> Mistake:
    return Mistake(place, what, why, mend, length, "warning")


__all__ = ["errors_of", "parts_of", "warnings_of"]
