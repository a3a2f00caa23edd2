"""Lower the source forms to the core: what a rung, a chart or an alarm table *does* in a scan.

The forms are nodes.py, the core is core.py. The order inside a chart is fixed here: guards of the
active step in written order, then the step's time limit; at most one transition a scan; exit
actions, transition actions, entry actions, then the new step's outputs, all in the same scan.
Rule: lowering adds no freedom; everything the walker and the compiler could differ in is decided here.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from simplant.expr import (
    Assignment,
    Binary,
    Const,
    Elapsed,
    Expr,
    Function,
    Op,
    Ref,
    StepActive,
    Unary,
    of_type,
)
from simplant.logic.core import Assign, Branch, Core, Invoke, Origin, PythonCall, Stamp
from simplant.logic.names import expressions, nodes, read_names
from simplant.logic.nodes import AlarmTable, Call, Chart, Coil, Move, Opaque, Rung, Source, Step
from simplant.values import BOOL, INT, TIME

FIRST_SCAN = Ref("first_scan", BOOL)
"""TRUE in the first scan after a start."""

_TRUE = Const(value=True, type=BOOL)
_FALSE = Const(value=False, type=BOOL)

Steps = Mapping[str, tuple[str, ...]]
"""Chart name -> its step names in order: the numbers they stand for."""


def chart_ref(chart: str) -> Ref:
    """The tag that holds the number of a chart's active step."""
    return Ref(chart, INT)


def since_ref(chart: str) -> Ref:
    """The instant at which a chart's active step was entered."""
    return Ref(f"{chart}.since", TIME)


def overtime_ref(chart: str, step: str) -> Ref:
    """TRUE in the scan in which a step's time limit ran out (with no step to go to: as long as it is over)."""
    return Ref(f"{chart}.{step}.overtime", BOOL)


def lower_task(body: Sequence[Source], steps: Steps) -> tuple[Core, ...]:
    """Lower all that one task runs; a step time that is read above its sequence is 0 there in the first scan."""
    made: list[Core] = []
    early: list[Core] = []
    for source in body:
        if isinstance(source, Chart) and since_ref(source.name).name in set(_read(made)):
            early.append(Stamp(since_ref(source.name).name, Origin(source.id, source.place)))
        made += lower(source, steps)
    return (_if(FIRST_SCAN, early, early[0].origin), *made) if early else tuple(made)


def _read(core: Iterable[Core]) -> Iterator[str]:
    """Give every stored name that core nodes read."""
    for node in nodes(core):
        for each in expressions(node):
            yield from read_names(each)


def lower(source: Source, steps: Steps) -> list[Core]:
    """Lower one source node."""
    origin = Origin(source.id, source.place)
    match source:
        case Rung():
            return _rung(source, steps, origin)
        case Move():
            body = [_assignment(a, steps, origin) for a in source.assignments]
            return body if source.when is None else [_if(resolve(source.when, steps), body, origin)]
        case Call():
            return _call(source, steps, origin)
        case Chart():
            return _chart(source, steps, origin)
        case AlarmTable():
            return _alarms(source, steps, origin)
        case Opaque():
            reads, writes = (tuple(r.name for r in refs) for refs in (source.reads, source.writes))
            return [PythonCall(source.function, reads, writes, origin)]


def resolve(node: Expr, steps: Steps) -> Expr:
    """Replace step names by the numbers that the program really compares."""
    match node:
        case StepActive():
            numbers = [steps[node.chart].index(s) for s in node.steps]
            tests = [Binary(Op.EQ, chart_ref(node.chart), Const(n, INT), BOOL) for n in numbers]
            joined: Expr = tests[0]
            for test in tests[1:]:
                joined = Binary(Op.OR, joined, test, BOOL)
            return joined
        case Unary():
            return Unary(node.op, resolve(node.operand, steps), node.type)
        case Binary():
            return Binary(node.op, resolve(node.left, steps), resolve(node.right, steps), node.type)
        case Function():
            return Function(node.name, tuple(resolve(a, steps) for a in node.arguments), node.type)
        case _:
            return node


def _if(condition: Expr, body: Iterable[Core], origin: Origin, otherwise: Iterable[Core] = ()) -> Branch:
    return Branch(((condition, tuple(body)),), tuple(otherwise), origin)


def _assignment(action: Assignment, steps: Steps, origin: Origin) -> Core:
    origin = Origin(origin.id, action.place or origin.place)
    assign = Assign(action.target.name, resolve(action.value, steps), origin)
    return assign if action.when is None else _if(resolve(action.when, steps), [assign], origin)


def _rung(rung: Rung, steps: Steps, origin: Origin) -> list[Core]:
    condition, name = resolve(rung.condition, steps), rung.target.name
    match rung.coil:
        case Coil.PLAIN:
            return [Assign(name, condition, origin)]
        case Coil.NEGATED:
            return [Assign(name, Unary(Op.NOT, condition, BOOL), origin)]
        case Coil.SET:
            return [_if(condition, [Assign(name, _TRUE, origin)], origin)]
        case Coil.RESET:
            return [_if(condition, [Assign(name, _FALSE, origin)], origin)]


def _call(call: Call, steps: Steps, origin: Origin) -> list[Core]:
    arguments = tuple((name, resolve(value, steps)) for name, value in call.arguments.items())
    invoke = Invoke(call.instance.name, call.instance.block, arguments, origin)
    return [invoke] if call.when is None else [_if(resolve(call.when, steps), [invoke], origin)]


def _is(chart: Chart, *names: str) -> Expr:
    return StepActive(chart.name, names)


def _chart(chart: Chart, steps: Steps, origin: Origin) -> list[Core]:
    clear = [Assign(overtime_ref(chart.name, s.name).name, _FALSE, origin) for s in chart.steps if s.limit is not None]
    first = chart.step(chart.initial)
    entry = [] if chart.retain else _actions(first.entry, steps, origin)
    start: list[Core] = [Stamp(since_ref(chart.name).name, origin), *entry]
    evolve = [(resolve(_is(chart, s.name), steps), (arms,)) for s in chart.steps if (arms := _leave(chart, s, steps))]
    turn = [Branch(tuple(evolve), (), origin)] if evolve else []
    during = [
        (resolve(_is(chart, s.name), steps), tuple(_actions(s.during, steps, origin))) for s in chart.steps if s.during
    ]
    return [
        *clear,
        _if(FIRST_SCAN, start, origin, turn),
        *([Branch(tuple(during), (), origin)] if during else []),
        *_drives(chart, steps, origin),
    ]


def _actions(actions: Iterable[Assignment], steps: Steps, origin: Origin) -> list[Core]:
    return [_assignment(a, steps, origin) for a in actions]


def _leave(chart: Chart, step: Step, steps: Steps) -> Branch | None:
    """The ordered ways out of one step; None if there are none."""
    arms: list[tuple[Expr, tuple[Core, ...]]] = []
    for row in chart.transitions:
        if row.source == step.name:
            origin = Origin(row.id, row.place)
            body = _go(chart, step, row.dest, row.actions, steps, origin)
            arms.append((resolve(row.guard, steps), tuple(body)))
    if step.limit is not None:
        origin = Origin(f"{chart.id}/{step.name}/limit", chart.place)
        over = Binary(Op.GE, step_time(chart.name), of_type(step.limit, TIME), BOOL)
        late: list[Core] = [Assign(overtime_ref(chart.name, step.name).name, _TRUE, origin)]
        if step.on_limit is not None:
            late += _go(chart, step, step.on_limit, (), steps, origin)
        arms.append((over, tuple(late)))
    return Branch(tuple(arms), (), Origin(f"{chart.id}/{step.name}", chart.place)) if arms else None


def step_time(chart: str) -> Elapsed:
    """How long the active step of a chart has been active."""
    return Elapsed(since_ref(chart), f"{chart}.T")


def _go(chart: Chart, step: Step, dest: str, actions: Iterable[Assignment], steps: Steps, origin: Origin) -> list[Core]:
    return [
        *_actions(step.exit, steps, origin),
        *_actions(actions, steps, origin),
        Assign(chart.name, Const(chart.names.index(dest), INT), origin),
        Stamp(since_ref(chart.name).name, origin),
        *_actions(chart.step(dest).entry, steps, origin),
    ]


def _drives(chart: Chart, steps: Steps, origin: Origin) -> list[Core]:
    driven: dict[str, list[str]] = {}
    for step in chart.steps:
        for target in step.drive:
            driven.setdefault(target.name, []).append(step.name)
    return [Assign(name, resolve(_is(chart, *by), steps), origin) for name, by in driven.items()]


def first_out_ref(table: str) -> Ref:
    """The number of the alarm that came first (from 1 in table order; 0 = none)."""
    return Ref(f"{table}_first_out", INT)


def _alarms(table: AlarmTable, steps: Steps, origin: Origin) -> list[Core]:
    reset, first = resolve(table.reset, steps), first_out_ref(table.name)
    latches: list[Core] = []
    for alarm in table.alarms:
        held = Binary(Op.AND, Ref(alarm.name, BOOL), Unary(Op.NOT, reset, BOOL), BOOL)
        latches.append(Assign(alarm.name, Binary(Op.OR, resolve(alarm.cause, steps), held, BOOL), origin))
    clear = _if(reset, [Assign(first.name, Const(0, INT), origin)], origin)
    choose: tuple[tuple[Expr, tuple[Core, ...]], ...] = tuple(
        (Ref(alarm.name, BOOL), (Assign(first.name, Const(n, INT), origin),))
        for n, alarm in enumerate(table.alarms, start=1)
    )
    none_yet = Binary(Op.EQ, first, Const(0, INT), BOOL)
    return [*latches, clear, _if(none_yet, [Branch(choose, (), origin)], origin)]
