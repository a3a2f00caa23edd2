"""Printing a chart in the standard's textual form: steps, then transitions, then actions, each in written order.

Reading it is read.py. Rule: print, read, print gives the same text.
"""

from collections.abc import Iterator

from simplant.errors import UsageError
from simplant.logic.sfc.tree import Association, Chart, Step, Transition
from simplant.logic.st.printed_expressions import before, behind, filled, pieces, printed_access, printed_expression
from simplant.logic.st.printed_statements import STEP, Notes, printed_comment, printed_statements


def printed_chart(chart: Chart, notes: Notes | None = None) -> Iterator[str]:
    """Print a chart row by row; `notes`: comments by the place of a step, transition, action or statement.

    Raises:
        UsageError: an action is drawn.
    """
    known = notes or {}
    for number, step in enumerate(chart.steps):
        yield from [""] if number else []
        yield from printed_comment(known[step.place]) if step.place in known else []
        yield from _step(step)
    for transition in chart.transitions:
        yield ""
        yield from printed_comment(known[transition.place]) if transition.place in known else []
        yield from _transition(transition)
    for action in chart.actions:
        if not isinstance(action.body, tuple):
            what = f"the action {action.name} is drawn, and cannot be printed as text"
            raise UsageError(what, "the text of a chart has actions in Structured Text", "write it as statements")
        yield ""
        yield from printed_comment(known[action.place]) if action.place in known else []
        yield f"ACTION {action.name}:"
        yield from printed_statements(action.body, STEP, known)
        yield "END_ACTION"


def _step(step: Step) -> Iterator[str]:
    yield f"{'INITIAL_STEP' if step.initial else 'STEP'} {step.name}:"
    for block in step.actions:
        yield f"{' ' * STEP}{printed_access(block.action)}({printed_qualifier(block)});"
    yield "END_STEP"


def printed_qualifier(block: Association) -> str:
    """Print what stands in the parentheses of an action block: `L, T#5s`."""
    time = [printed_expression(block.time)] if block.time is not None else []
    return ", ".join([block.qualifier, *time, *block.indicators])


def _transition(node: Transition) -> Iterator[str]:
    name = f" {node.name}" if node.name else ""
    priority = f" (PRIORITY := {node.priority})" if node.priority is not None else ""
    yield f"TRANSITION{name}{priority} FROM {_ends(node.sources)} TO {_ends(node.targets)}"
    head = " " * STEP + ":= "
    yield from filled(behind(before(":= ", pieces(node.condition)), ";"), STEP, len(head))
    yield "END_TRANSITION"


def _ends(steps: tuple[str, ...]) -> str:
    return steps[0] if len(steps) == 1 else f"({', '.join(steps)})"


__all__ = ["printed_chart", "printed_qualifier"]
