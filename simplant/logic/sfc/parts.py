"""The variables that stand anywhere in a chart.

Rule: looking only.
"""

from collections.abc import Iterator

from simplant.logic.sfc.tree import Chart
from simplant.logic.st.parts import expressions_of, within
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Access, Do, Expression


def accesses(chart: Chart) -> Iterator[Access]:
    """Give every variable, action and instance that is named in a chart whose actions are in statements."""
    for expression in _expressions(chart):
        yield from (each for each in within(expression) if isinstance(each, Access))


def _expressions(chart: Chart) -> Iterator[Expression]:
    for step in chart.steps:
        for block in step.actions:
            yield block.action
            yield from [block.time] if block.time is not None else []
    yield from (transition.condition for transition in chart.transitions)
    for action in chart.actions:
        assert isinstance(action.body, tuple), "a drawn action is lowered before"
        for node in every(action.body):
            yield from expressions_of(node)
            if isinstance(node, Do):
                yield node.call.callee
                yield from (a.target for a in node.call.arguments if a.target is not None)
