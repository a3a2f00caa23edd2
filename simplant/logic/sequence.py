"""Sequences as `transitions` tables: the authored state machine, checked when built.

A table of rows with guard expressions as conditions is a plain `transitions` table; the library's own Machine
is made of it, and read back, in machines.py. Rule: whatever a row or a step cannot be is said here, when it is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from simplant.errors import Place, ProgramError, nearest
from simplant.expr import Assignment, Elapsed, Expr, Ref, StepActive
from simplant.logic.lower import overtime_ref, step_time
from simplant.logic.nodes import Chart, Step, Transition
from simplant.place import written_at
from simplant.tags import name_problem
from simplant.values import BOOL, INT, TIME

if TYPE_CHECKING:
    from simplant.logic.program import Program

Row = Sequence[Any] | Mapping[str, Any]
"""One row of a table: `[trigger, source, dest, conditions]` or a mapping with those keys."""

_ROW_KEYS: Final = ("trigger", "source", "dest", "conditions", "unless", "before")
_STATE_KEYS: Final = ("name", "on_enter", "on_exit")
TRIGGER: Final = "scan"


class PlacedRow(dict[str, Any]):
    """A row that knows the author's line; to the library it is a row like any other."""

    def __init__(self, place: Place, **keys: Any) -> None:
        """Keep both."""
        super().__init__(keys)
        self.place: Final = place


def go(source: str | Sequence[str], dest: str, when: Expr, *actions: Assignment) -> dict[str, Any]:
    """Write one row: from `source` to `dest` where `when` holds, doing `actions` on the way."""
    row = {"trigger": TRIGGER, "source": source, "dest": dest, "conditions": [when], "before": list(actions)}
    return PlacedRow(written_at(), **row)


class Sequence_:  # noqa: N801 - `Sequence` is the standard library's word
    """A sequence under construction, and its parts as expressions: `calls["aim"]`, `calls.time`."""

    def __init__(
        self, program: Program, name: str, steps: tuple[Step, ...], initial: str, place: Place, *, retain: bool
    ) -> None:
        """Keep the declared steps; the chart is complete once `transitions` is called."""
        self._program: Final = program
        self.name: Final = name
        self.steps: Final = {step.name: step for step in steps}
        self.place: Final = place
        self.retain: Final = retain
        self.initial: Final = self._known(initial, "the initial step", place)
        self.chart: Chart | None = None

    def __getitem__(self, step: str) -> Expr:
        """TRUE while this step is active."""
        return self.among(step)

    def among(self, *steps: str) -> Expr:
        """TRUE while one of these steps is active."""
        return StepActive(self.name, tuple(self._known(s, "a step", self.place) for s in steps))

    @property
    def time(self) -> Elapsed:
        """How long the active step has been active."""
        return step_time(self.name)

    @property
    def number(self) -> Ref:
        """The number of the active step, from 0 in declared order."""
        return Ref(self.name, INT)

    def overtime(self, *steps: str) -> Expr:
        """TRUE in the scan in which the time limit of one of these steps (of any, if none is named) ran out."""
        limited = [s.name for s in self.steps.values() if s.limit is not None]
        chosen = [self._known(s, "a step", self.place) for s in steps] or limited
        if not set(chosen) <= set(limited):
            raise ProgramError(
                f"{self.name}: step {next(s for s in chosen if s not in limited)!r} has no time limit",
                mend="give it one: Step(..., limit=seconds(3))",
                place=self.place,
            )
        joined: Expr = overtime_ref(self.name, chosen[0])
        for step in chosen[1:]:
            joined = joined | overtime_ref(self.name, step)
        return joined

    def transitions(self, table: Iterable[Row]) -> Chart:
        """Complete the chart; it runs at this place of the scan. Rows are tried in written order.

        Args:
            table: rows as `transitions` takes them; guards are expressions; `source` may be a list or "*"
                (all steps but the destination); `dest` "=" means the source itself (step time starts anew).

        Raises:
            ProgramError: an unknown step, a guard that is not an expression, a row that can never be reached.
        """
        place = written_at()
        rows = rows_of(table, self, place)
        chart = Chart(
            self._program.next_id("chart"),
            place,
            self.name,
            self.initial,
            tuple(self.steps.values()),
            rows,
            self.retain,
        )
        for step in chart.steps:
            if step.on_limit is not None:
                self._known(step.on_limit, f"on_limit of step {step.name!r}", place)
        self.chart = chart
        self._program.add(chart)
        return chart

    def _known(self, step: str, what: str, place: Place) -> str:
        if step not in self.steps:
            raise ProgramError(
                f"{self.name}: {what} is {step!r}, which is not declared", mend=nearest(step, self.steps), place=place
            )
        return step

    def expand(self, source: object, dest: str, place: Place) -> list[str]:
        """Give the steps that a row's source means."""
        if source == "*":
            return [s for s in self.steps if s != dest]
        names = [source] if isinstance(source, str) else source
        if not isinstance(names, list | tuple):
            raise ProgramError(f"{self.name}: a source must be a step name or a list, not {source!r}", place=place)
        return [self._known(s, "a source", place) for s in names]


def steps_of(steps: Iterable[Step | str | Mapping[str, Any]], place: Place) -> tuple[Step, ...]:
    """Read declared steps: `Step`s, names, or states as `transitions` takes them (on_enter, on_exit)."""
    listed = tuple(_step(s, place) for s in steps)
    seen: set[str] = set()
    for step in listed:
        why = name_problem(step.name)
        if why or step.name in seen:
            raise ProgramError(f"step {step.name!r} cannot be used", why or "it is declared twice", place=place)
        seen.add(step.name)
    if not listed:
        raise ProgramError("a sequence needs at least one step", place=place)
    return listed


def _step(state: Step | str | Mapping[str, Any], place: Place) -> Step:
    if isinstance(state, Step):
        return state
    if isinstance(state, str):
        return Step(state)
    for key in state:
        if key in ("timeout", "on_timeout"):
            raise ProgramError(
                f"state {state.get('name')!r} has a {key!r}, which runs on the wall clock",
                "a scan has a clock of its own",
                'write Step("name", limit=seconds(3), on_limit="other") instead',
                place,
            )
        if key not in _STATE_KEYS:
            raise ProgramError(f"a state has no key {key!r}", mend=nearest(key, _STATE_KEYS), place=place)
    return Step(
        str(state["name"]), entry=_actions(state.get("on_enter"), place), exit=_actions(state.get("on_exit"), place)
    )


def _actions(given: object, place: Place) -> tuple[Assignment, ...]:
    listed: list[Any] = [] if given is None else list(given) if isinstance(given, list | tuple) else [given]
    for action in listed:
        if not isinstance(action, Assignment):
            raise ProgramError(
                f"an action must be an assignment such as count.becomes(0), not {action!r}",
                "a callback by name or a plain function cannot be printed or checked",
                "use tag.becomes(...), or Program.python for plain Python",
                place,
            )
    return tuple(action for action in listed if isinstance(action, Assignment))


def rows_of(table: Iterable[Row], sequence: Sequence_, place: Place) -> tuple[Transition, ...]:
    """Read a table of transitions into ordered, checked rows, one for each source; `place` is that of the table."""
    rows: list[Transition] = []
    for number, row in enumerate(table, start=1):
        at = row.place if isinstance(row, PlacedRow) else place
        keyed = dict(row) if isinstance(row, Mapping) else dict(zip(_ROW_KEYS, row, strict=False))
        where = f"{sequence.name}: row {number}"
        for key in keyed:
            if key not in _ROW_KEYS:
                raise ProgramError(f"{where} has no key {key!r}", mend=nearest(key, _ROW_KEYS), place=at)
        guard = _guard(keyed, where, at)
        actions = _actions(keyed.get("before"), at)
        dest = keyed["dest"] if keyed["dest"] == "=" else sequence._known(keyed["dest"], f"dest of row {number}", at)
        for source in sequence.expand(keyed["source"], dest, at):
            name = f"{sequence.name}/{number}:{source}"
            rows.append(Transition(name, at, source, source if dest == "=" else dest, guard, actions))
    return tuple(rows)


def _guard(row: Mapping[str, Any], where: str, place: Place) -> Expr:
    """Join `conditions` and `unless` into one Boolean expression."""
    terms: list[Expr] = []
    for key in ("conditions", "unless"):
        given = row.get(key)
        for term in [] if given is None else given if isinstance(given, list | tuple) else [given]:
            if not isinstance(term, Expr) or term.type is not BOOL:
                raise ProgramError(
                    f"{where}: {key} holds {term!r}, which is not a Boolean expression on tags",
                    "a guard by name would fail only when it is fired",
                    "write for instance tags.start_pressed & ~tags.fault",
                    place,
                )
            terms.append(~term if key == "unless" else term)
    if not terms:
        raise ProgramError(
            f"{where} has no condition", "it would fire at once, and rows below it never",
            "give it a guard, for instance sequence.time >= seconds(1)", place,
        )  # fmt: skip
    joined = terms[0]
    for term in terms[1:]:
        joined = joined & term
    return joined


__all__ = ["TIME", "TRIGGER", "Row", "Sequence_", "go", "rows_of", "steps_of"]
