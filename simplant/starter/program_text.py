"""The control program of a draft as text: a step for each output that moves something.

The other files are texts.py. Rule: one writer for each output, and a comment wherever something was guessed.
"""

from collections.abc import Mapping, Sequence
from typing import Final

from simplant.starter.explore import Answer
from simplant.starter.fit import words
from simplant.starter.sort import Roles, term
from simplant.timebase import seconds
from simplant.wiring.io_list import IoList, Point

_SECOND: Final = seconds(1)


def step_of(point: Point) -> str:
    """Give the step in which an output is on, named after it."""
    stem = point.name.removesuffix("_cmd").lower()
    return f"{stem}_on" if stem in ("ready", "tripped") else stem


def limit_of(answer: Answer | None) -> int:
    """Give the time limit of a step in whole seconds: three times what it took, at least 1 s; 2 s without answer."""
    return max(1, -(-3 * answer.took // _SECOND)) if answer else 2


def logic_text(name: str, io: IoList, roles: Roles, answers: Mapping[str, Answer | None]) -> str:
    """Give `logic.py`: a step for each output that moves something, one writer for each output."""
    if not roles.motions:
        return _idle_text(name, io)
    steps = [(step_of(point), limit_of(answers[point.name])) for point in roles.motions]
    start = f"t.{roles.start.name}" if roles.start else "p.first_scan & ~p.first_scan"
    reset = f'p.rising("reset_edge", t.{roles.reset.name})' if roles.reset else "start"
    lines = [
        *_head(name),
        f'    start = p.rising("start_edge", {start})' + ("" if roles.start else "  # the list has no start button"),
        f"    reset = {reset}" + ("" if roles.reset else "  # the list has no reset button"),
        "",
        '    cycle = p.sequence("cycle", [',
        '        Step("ready"),',
        *(f'        Step("{step}", limit=seconds({limit})),' for step, limit in steps),
        '        Step("tripped"),',
        "    ])",
        '    busy = ~cycle.among("ready", "tripped")',
        *_guards(roles),
        *_transitions(roles, answers, [step for step, _ in steps]),
        *(f'    p.rung(t.{p.name}, cycle["{step_of(p)}"]{_and_healthy(roles)})' for p in roles.motions),
        *(f"    p.rung(t.{p.name}, {_lit(p)})" for p in roles.lamps),
        "    return p",
    ]
    return "\n".join(lines) + "\n"


def _head(name: str) -> list[str]:
    return [
        f'"""A draft of the control program of {name}: after a start each output that moves something has a step.',
        "",
        "The order is that of the I/O list; a step waits for what the drafted plant answered, and its limit is three",
        "times as long as that took: change all three. `&` is AND, `|` is OR, `~` is NOT; the first line runs first.",
        '"""',
        "",
        "from simplant import Alarm, Program, Step, go, seconds",
        "",
        "",
        "def build(tags):",
        f'    p = Program("{name}", tags)',
        "    t = p.tags",
    ]


def _idle_text(name: str, io: IoList) -> str:
    """A program that drives nothing: the list has no output that moves something."""
    lines = [*_head(name)[:1], '"""', "", "from simplant import Program", "", "", *_head(name)[9:]]
    lines += [f"    p.rung(t.{p.name}, p.first_scan & ~p.first_scan)  # never: write when" for p in io.outputs]
    return "\n".join([*lines, "    return p"]) + "\n"


def _guards(roles: Roles) -> list[str]:
    well = [f'    healthy = p.let("healthy", {" & ".join(roles.healthy)})'] if roles.healthy else []
    lost = 'Alarm("not_healthy", busy & ~healthy, "a guard or a stop opened", "close it, then reset"),'
    late = 'Alarm("too_slow", cycle.overtime(), "a step had no answer in time", "see to drive and sensor"),'
    return [
        *well,
        '    alarms = p.alarms("alarm", reset=reset, rows=[',
        *([f"        {lost}"] if well else []),
        f"        {late}",
        "    ])",
    ]


def _transitions(roles: Roles, answers: Mapping[str, Answer | None], steps: Sequence[str]) -> list[str]:
    first = "start" + (" & healthy" if roles.healthy else "")
    stop = (
        [f'        go({list(steps)!r}, "ready", {term(roles.stop, well=True)}),'.replace("'", '"')]
        if roles.stop
        else []
    )
    first += f" & {term(roles.stop, well=False)}" if roles.stop else ""
    rows = [f'        go("ready", "{steps[0]}", {first}),']
    for point, step, then in zip(roles.motions, steps, [*steps[1:], "ready"], strict=True):
        answer = answers[point.name]
        guard = f"{'' if answer.level else '~'}t.{answer.tag}" if answer else "cycle.time >= seconds(1)"
        rows.append(f'        go("{step}", "{then}", {guard}),')
    return [
        "    cycle.transitions([",
        '        go("*", "tripped", alarms.any),',
        '        go("tripped", "ready", ~alarms.any),',
        *stop,
        *rows,
        "    ])",
    ]


def _and_healthy(roles: Roles) -> str:
    return " & healthy" if roles.healthy else ""


def _lit(point: Point) -> str:
    called = words(point.name) | words(point.part)
    return 'cycle["tripped"]' if called & {"red", "fault", "alarm", "trip", "horn", "error", "reset"} else "busy"
