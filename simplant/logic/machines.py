"""Charts as Machines of the library `transitions`, and Machines of the user's own as charts.

How a sequence is written is sequence.py, what it does in a scan lower.py. A Machine is the oracle for step
selection and the source of diagrams; it is never in the scan. Rule: this is the only file that imports `transitions`.
"""

from collections.abc import Iterable, Sequence
from typing import Any

import transitions

from simplant.errors import ProgramError
from simplant.expr import Assignment
from simplant.logic.nodes import Chart
from simplant.logic.sequence import TRIGGER

Machine = transitions.Machine
"""The library's Machine, by the name under which other files may speak of it."""


class ScanTransition(transitions.Transition):
    """A row whose actions run between exit and entry, as in a scan; the library's `before` runs ahead of the exit."""

    def __init__(self, *row: Any, actions: Sequence[Assignment] = (), **more: Any) -> None:
        """Make the row; the library knows all but the actions."""
        super().__init__(*row, **more)
        self.actions = list(actions)

    def _change_state(self, event_data: transitions.EventData) -> None:
        # the library has no callback between the two; tests/agree/test_transitions_machine.py holds the order
        own = event_data.machine
        assert self.dest is not None, "a chart has no internal transitions"
        own.get_state(self.source).exit(event_data)
        own.callbacks(self.actions, event_data)
        own.set_state(self.dest, event_data.model)
        event_data.update(getattr(event_data.model, own.model_attribute))
        own.get_state(self.dest).enter(event_data)


class ScanMachine(transitions.Machine):
    """A `transitions` Machine that takes the actions of a row as a scan does."""

    transition_cls = ScanTransition


def machine(chart: Chart) -> ScanMachine:
    """Build the `transitions` Machine of a chart: the oracle for step selection, and the source of diagrams.

    Fire it once a scan with `trigger("scan", env)`, where `env` maps names to values (see `Expr.__call__`); exit
    actions, row actions and entry actions then change `env`. What it does not know: time limits, `during`, `drive`,
    and the entry actions of the initial step, which the first scan does.
    """
    states = [
        {"name": s.name, "on_enter": list(s.entry), "on_exit": list(s.exit), "ignore_invalid_triggers": True}
        for s in chart.steps
    ]
    rows = [
        {"trigger": TRIGGER, "source": r.source, "dest": r.dest, "conditions": [r.guard], "actions": r.actions}
        for r in chart.transitions
    ]
    return ScanMachine(states=states, transitions=rows, initial=chart.initial, auto_transitions=False, send_event=False)


Table = tuple[list[dict[str, Any]], str, list[dict[str, Any]]]
"""Steps, initial step and rows, as `Program.sequence` and `Sequence_.transitions` take them."""


def table_of(own: transitions.Machine) -> Table:
    """Read a Machine of the user's own back into steps, initial step and rows.

    Rows of one trigger keep their order; the triggers follow each other as they were first named, since a scan tries
    all rows and knows no triggers.

    Raises:
        ProgramError: it has something that a scan cannot do: automatic or internal transitions, wall-clock
            timeouts, callbacks besides `on_enter`, `on_exit` and `before`, or `before` on a row whose source has
            exit actions (the library runs it ahead of them, a scan after them).
    """
    _refuse_callbacks(
        own, "the Machine", ("prepare_event", "before_state_change", "after_state_change", "finalize_event")
    )
    states = [_state_of(state) for state in own.states.values()]
    leaving = {state["name"] for state in states if state["on_exit"]}
    rows: list[dict[str, Any]] = []
    for event in own.events.values():
        if event.name.startswith("to_"):
            raise ProgramError(
                f"the Machine has the automatic transition {event.name!r}", "it jumps past every guard",
                "build it with auto_transitions=False",
            )  # fmt: skip
        rows += [_row_of(row, leaving) for by_source in event.transitions.values() for row in by_source]
    return states, str(getattr(own.initial, "name", own.initial)), rows


def _refuse_callbacks(holder: object, what: str, kinds: Iterable[str]) -> None:
    for kind in kinds:
        if getattr(holder, kind):
            raise ProgramError(
                f"{what} has {kind!r} callbacks", "a scan has no place for them",
                "use on_enter and on_exit of a state, or before of a row",
            )  # fmt: skip


def _state_of(state: transitions.State) -> dict[str, Any]:
    if getattr(state, "timeout", 0):
        raise ProgramError(
            f"state {state.name!r} has a timeout, which runs on the wall clock", "a scan has a clock of its own",
            "write a row with a guard on a timer's Q instead",
        )  # fmt: skip
    return {"name": state.name, "on_enter": list(state.on_enter), "on_exit": list(state.on_exit)}


def _row_of(row: transitions.Transition, leaving: set[str]) -> dict[str, Any]:
    what = f"the transition from {row.source!r}"
    if row.dest is None:
        raise ProgramError(
            f"{what} is internal: it leads nowhere", "a scan takes at most one transition, from step to step",
            "write what it does into the program beside the sequence",
        )  # fmt: skip
    _refuse_callbacks(row, what, ("prepare", "after"))
    if row.before and row.source in leaving:
        raise ProgramError(
            f"{what} has 'before' callbacks, and the state has exit actions",
            "the library does `before` ahead of the exit actions, a scan does it after them",
            "put all of it into on_exit, or into on_enter of the destination",
        )
    terms: dict[str, list[object]] = {"conditions": [], "unless": []}
    for condition in row.conditions:
        terms["conditions" if condition.target else "unless"].append(condition.func)
    actions = [*row.before, *getattr(row, "actions", ())]
    return {"source": row.source, "dest": row.dest, "before": actions, **terms}
