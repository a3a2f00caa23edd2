"""Reading a sequential function chart in the standard's textual form: the body of a program or function block.

What a chart means is lowered.py, whether it makes sense checks.py. Rule: a mistake costs one step, transition or
action, and what stands after it is read all the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from simplant.logic.sfc.tree import Action, Association, Chart, Step, Transition
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Literal

if TYPE_CHECKING:
    from simplant.logic.st.parse_statements import Statements as Reader

_PARTS: Final = ("INITIAL_STEP", "STEP", "TRANSITION", "ACTION")
_BEHIND: Final = (
    *_PARTS, "END_PROGRAM", "END_FUNCTION_BLOCK", "END_FUNCTION", "PROGRAM", "FUNCTION_BLOCK", "FUNCTION",
    "CONFIGURATION",
)  # fmt: skip
TIMED: Final = ("L", "D", "SD", "DS", "SL")
"""Qualifiers with a time."""
QUALIFIERS: Final = ("N", "R", "S", "P", "P0", "P1", *TIMED)


def chart_follows(reader: Reader) -> bool:
    """Say whether the body that begins here is a chart: a word of charts and a name stand side by side."""
    named = reader.ahead().kind == "name"
    if reader.at("TRANSITION"):
        return named or reader.ahead().text == "("
    return named and reader.at("INITIAL_STEP", "STEP", "ACTION")


def read_chart(reader: Reader) -> Chart:
    """Read a chart up to what ends its program or block; mistakes go into the reader's report."""
    place = reader.place()
    steps: list[Step] = []
    transitions: list[Transition] = []
    actions: list[Action] = []
    while reader.at(*_PARTS):
        word = reader.step().word
        match word:
            case "STEP" | "INITIAL_STEP":
                step = reader.guarded(lambda w=word: _step(reader, w), *_BEHIND)  # type: ignore[misc]
                steps += [step] if step is not None else []
            case "TRANSITION":
                transition = reader.guarded(lambda: _transition(reader), "END_TRANSITION", *_BEHIND)
                transitions += [transition] if transition is not None else []
            case _:
                action = reader.guarded(lambda: _action(reader), "END_ACTION", *_BEHIND)
                actions += [action] if action is not None else []
        while not reader.taken("END_STEP", "END_TRANSITION", "END_ACTION") and not reader.at(*_BEHIND):
            if reader.token.kind == "end":
                break
            reader.step()  # what is left of a part with a mistake in it
        reader.taken(";")
    return Chart(place, tuple(steps), tuple(transitions), tuple(actions))


def _closed(reader: Reader, word: str, what: str) -> None:
    if not reader.at(word):
        reader.unexpected(f"{word!r} (of the {what})")


# steps


def _step(reader: Reader, word: str) -> Step:
    name = reader.want_name("the name of a step")
    if not reader.taken(":"):
        place = reader.report.place(name.at + len(name.text))
        reader.report.error(place, f"':' is missing after {name.text!r}", mend="write ':' behind the name of a step")
    actions: list[Association] = []
    while not reader.at("END_STEP", *_BEHIND) and reader.token.kind != "end":
        found = reader.guarded(lambda: _association(reader), "END_STEP", *_BEHIND)
        actions += [found] if found is not None else []
    _closed(reader, "END_STEP", f"step {name.text}")
    return Step(reader.place(name), name.text, word == "INITIAL_STEP", tuple(actions))


def _association(reader: Reader) -> Association:
    """Read `action(qualifier, time, indicators);`."""
    place = reader.place()
    action = reader.target()
    qualifier, time, indicators = "N", None, []
    if reader.taken("("):
        if reader.token.kind == "name":
            qualifier = _qualifier(reader)
        if qualifier in TIMED:
            time = _time(reader, qualifier)
        while reader.taken(","):
            indicators.append(reader.want_name("the name of a variable").text)
        reader.want(")", "or ','")
    else:
        reader.report.loose(place, f"{action} has no qualifier", f"write {action}(N);", len(str(action)))
    if not reader.taken(";"):
        reader.unexpected(f"';' after the action {action}")
    return Association(place, action, qualifier, time, tuple(indicators))


def _qualifier(reader: Reader) -> str:
    token = reader.step()
    if token.word not in QUALIFIERS:
        mend = f"write one of: {', '.join(QUALIFIERS)}"
        fail(reader.place(token), f"{token.text!r} is no qualifier of an action", mend=mend, length=len(token.text))
    return token.word


def _time(reader: Reader, qualifier: str) -> Expression:
    if not reader.taken(","):
        mend = f"write for instance ({qualifier}, T#5s)"
        fail(reader.place(reader.last), f"the qualifier {qualifier} has no time", mend=mend, length=len(qualifier))
    return reader.expression()


# transitions


def _transition(reader: Reader) -> Transition:
    """Read `name (PRIORITY := n) FROM steps TO steps := condition;`."""
    place = reader.place(reader.last)
    name = ""
    if not reader.at("FROM", "("):
        token = reader.want_name("the name of a transition, or FROM")
        name, place = token.text, reader.place(token)
    priority = _priority(reader) if reader.at("(") else None
    reader.want("FROM")
    sources = _steps(reader)
    reader.want("TO")
    targets = _steps(reader)
    if reader.at(":"):
        why = "only conditions in Structured Text are read in text"
        fail(reader.place(), "a condition begins with ':'", why, "write := and an expression")
    reader.want(":=", "and the condition of the transition")
    condition = reader.expression()
    if not reader.taken(";"):
        at = reader.report.place(reader.last.at + len(reader.last.text))
        reader.report.error(at, f"';' is missing after {reader.last.text!r}", mend="a condition ends with ';'")
    _closed(reader, "END_TRANSITION", "transition")
    return Transition(place, name, sources, targets, condition, priority)


def _priority(reader: Reader) -> int:
    reader.want("(")
    reader.want("PRIORITY")
    reader.want(":=")
    place, number = reader.place(), reader.expression()
    if not isinstance(number, Literal) or not isinstance(number.value, int):
        fail(place, "a priority is a whole number", mend="write for instance (PRIORITY := 1)")
    reader.want(")")
    return number.value


def _steps(reader: Reader) -> tuple[str, ...]:
    """Read one step, or several in parentheses."""
    if not reader.taken("("):
        return (reader.want_name("the name of a step").text,)
    names = [reader.want_name("the name of a step").text]
    while reader.taken(","):
        names.append(reader.want_name("the name of a step").text)
    reader.want(")", "or ','")
    return tuple(names)


# actions


def _action(reader: Reader) -> Action:
    name = reader.want_name("the name of an action")
    reader.want(":", "after the name of the action")
    body = reader.statements()
    _closed(reader, "END_ACTION", f"action {name.text}")
    return Action(reader.place(name), name.text, body)


__all__ = ["QUALIFIERS", "TIMED", "chart_follows", "read_chart"]
