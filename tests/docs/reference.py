"""The tables of the README that are made from the code: commands, columns, stock parts, public names.

`python -m tests.docs.reference` writes them anew between their marks; test_readme_reference.py says whether they are
current. Rule: nothing between two marks is written by hand.
"""

import argparse
import inspect
import re
from collections.abc import Callable, Collection, Iterable, Mapping
from textwrap import fill
from types import ModuleType
from typing import Any

import simplant
import simplant.rules
import simplant.testing
from simplant.cli.main import parser
from simplant.curves import Curve
from simplant.faults import POWER_CUT
from simplant.panel.keys import KEYS
from simplant.part import Part
from simplant.rig.machine import HANGING, STOCK
from simplant.values import ElementaryType
from simplant.wiring.analog_points import AnalogInputPoint, AnalogOutputPoint
from simplant.wiring.io_file import COLUMNS
from simplant.wiring.points import InputPoint, OutputPoint
from tests.docs.markdown import README

PLAIN = {
    "NEVER": "Later than any instant of any run.",
    "Ns": "Type of instants and durations: whole nanoseconds.",
    "__version__": "Version of simplant.",
    "Faults": 'Under how many faults at a time a rule must hold: `"none"`, `"single"` or `"pair"`.',
}
"""What names mean that cannot carry a docstring."""


def made() -> dict[str, str]:
    """Give every made piece of the README: name of the mark -> text."""
    return {
        "commands": commands(),
        "keys": table(("key", "what it does"), ((key.shown, key.does) for key in KEYS)),
        "columns": table(("column", "what is in it"), COLUMNS.items()),
        "parts": parts(),
        "points": points(),
        "program": methods(simplant.Program, but=("add", "next_id", "sources", "tasks")),
        "sequence": methods(type(_sequence()), but=("expand",)),
        "rig": methods(simplant.Rig, but=("header_of", "severity", "fail", "force", "note", "loop", "world", "judge")),
        "machine": methods(simplant.Machine, but=("kept", "alarm_texts", "digest", "build")),
        "names": names(simplant),
        "rules": names(simplant.rules),
        "testing": names(simplant.testing),
    }


def renewed(text: str) -> str:
    """Give a page with every made piece as it should be."""
    for name, piece in made().items():
        begin, end = f"<!-- made: {name} -->", f"<!-- end: {name} -->"
        pattern = re.compile(f"{re.escape(begin)}.*?{re.escape(end)}", re.DOTALL)
        assert pattern.search(text), f"the page has no marks for {name!r}"
        text = pattern.sub(lambda _, whole=f"{begin}\n{piece}\n{end}": whole, text)  # type: ignore[misc]
    return text


def table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """Write a Markdown table; the first cell of a row is code."""
    titles = list(head)
    lines = [f"| {' | '.join(titles)} |", f"|{'---|' * len(titles)}"]
    for first, *others in rows:
        lines.append(f"| `{first}` | {' | '.join(_cell(each) for each in others)} |")
    return "\n".join(lines)


def _cell(text: str) -> str:
    return re.sub(r"\s+", " ", text).replace("|", "\\|").strip()


# Commands


def commands() -> str:
    """Write every command with its options."""
    pieces = []
    for name, sub in subcommands().items():
        rows = [(_option(a), a.help or "") for a in sub._actions if "--help" not in a.option_strings]
        pieces.append(f"`simplant {name}`: {_about(name)}.\n\n{table(('', ''), rows)}")
    return "\n\n".join(pieces)


def subcommands() -> Mapping[str, argparse.ArgumentParser]:
    """Give the parser of each command."""
    chooser = next(a for a in parser()._actions if isinstance(a, argparse._SubParsersAction))
    choices: Mapping[str, argparse.ArgumentParser] = chooser.choices
    return choices


def _about(name: str) -> str:
    chooser = next(a for a in parser()._actions if isinstance(a, argparse._SubParsersAction))
    return next(a.help or "" for a in chooser._choices_actions if a.dest == name)


def _option(action: argparse.Action) -> str:
    word = action.metavar or action.dest.upper()
    if not action.option_strings:
        return f"{word}".upper() + ("..." if action.nargs == "+" else "")
    return ", ".join(action.option_strings) + ("" if action.nargs == 0 else f" {word}")


# Parts


def parts() -> str:
    """Write every stock part: what it is, terminals, parameters, failures, actions."""
    return "\n\n".join(_part(name, kind) for name, kind in STOCK.items())


def points() -> str:
    """Write what an input or output point of `io.csv` has, and what every controller has."""
    fails = "; ".join(f"`{m.kind}` ({m.cause}: {m.effect})" for m in (HANGING, POWER_CUT))
    controller = f"**controller**\n\n{_wrapped(f'- fails: {fails}')}"
    kinds = {
        "input point": InputPoint,
        "output point": OutputPoint,
        "input point of a number": AnalogInputPoint,
        "output point of a number": AnalogOutputPoint,
    }
    return "\n\n".join((*(_part(title, kind) for title, kind in kinds.items()), controller))


def _part(name: str, kind: type[Part]) -> str:
    lines = [f"**{name}** - {_first(kind)}", ""]
    lines.append(f"- in: {_terminals(kind.INPUTS)}; out: {_terminals(kind.OUTPUTS)}")
    given = [f"`{key}`{_amount(p.default, p.unit, p.tolerance)} ({p.meaning})" for key, p in kind.PARAMETERS.items()]
    fails = [f"`{m.kind}`{_amount(m.value, m.unit)} ({m.cause}: {m.effect})" for m in kind.FAILURES]
    acts = [f"`{word}` ({what})" for word, what in kind.ACTIONS.items()]
    for head, entries in (("parameters", given), ("fails", fails), ("actions", acts)):
        if entries:
            lines.append(f"- {head}: {_cell('; '.join(entries))}")
    return "\n".join(_wrapped(line) for line in lines)


def _wrapped(line: str) -> str:
    return fill(line, 118, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)


def _amount(value: float | None, unit: str, tolerance: float = 0.0) -> str:
    if value is None:
        return ""
    return f" {value:g} {unit}".rstrip() + (f" ±{tolerance * 100:g} %" if tolerance else "")


def _terminals(terminals: Mapping[str, Any]) -> str:
    return ", ".join(f"`{name}` {_carried(value)}" for name, value in terminals.items()) or "none"


def _carried(value: object) -> str:
    match value:
        case bool():
            return "bit"
        case int():
            return "count"
        case float():
            return "number"
        case Curve():
            return "curve"
        case _:
            return "word"


# Names


def names(module: ModuleType) -> str:
    """Write every public name of a module: functions and constants, types and classes, errors; each in a table."""
    groups: dict[str, list[tuple[str, str]]] = {}
    types = [n for n in module.__all__ if isinstance(getattr(module, n), ElementaryType)]
    for name in module.__all__:
        if name not in types:
            groups.setdefault(_group(module, name), []).append((_called(module, name), meaning(module, name)))
    if types:
        groups["class"].append((", ".join(types), "The elementary types of IEC 61131-3, with its ranges and wrap."))
    order = [g for g in ("claim", "function", "class", "error") if g in groups]
    return "\n\n".join(table((g, "what it is"), groups[g]) for g in order)


def _group(module: ModuleType, name: str) -> str:
    thing = getattr(module, name)
    if inspect.isclass(thing) or name in ("Faults", "Ns"):
        return "error" if inspect.isclass(thing) and issubclass(thing, Exception) else "class"
    if inspect.isfunction(thing) and "label" in inspect.signature(thing).parameters:
        return "claim"
    return "function"


def meaning(module: ModuleType, name: str) -> str:
    """Give the first sentence of a name's docstring, or its entry in `PLAIN`; "" if it has none."""
    thing = getattr(module, name)
    return _first(thing) if inspect.isclass(thing) or inspect.isfunction(thing) else PLAIN.get(name, "")


def methods(kind: type, *, but: Collection[str]) -> str:
    """Write the public methods and properties of a class; `but`: those that an author of a machine has no use for."""
    assert set(but) <= set(vars(kind)), f"{kind.__name__} has no {set(but) - set(vars(kind))}"
    rows = []
    for name, member in vars(kind).items():
        if name.startswith("_") or name in but:
            continue
        plain = member.__func__ if isinstance(member, classmethod | staticmethod) else member
        if inspect.isfunction(plain):
            rows.append((f"{name}{_arguments(plain)}", _first(plain)))
        elif inspect.getdoc(member) and not isinstance(member, str):
            rows.append((name, _first(member)))
    return table(("", ""), rows)


def _sequence() -> Any:
    return simplant.Program("p", ()).sequence("s", ["a"])


def _called(module: ModuleType, name: str) -> str:
    thing = getattr(module, name)
    return f"{name}{_arguments(thing)}" if inspect.isfunction(thing) else name


def _arguments(function: Callable[..., object]) -> str:
    """Write names and defaults of the arguments, without types."""
    shown: list[str] = []
    stars: Mapping[Any, str] = {inspect.Parameter.VAR_POSITIONAL: "*", inspect.Parameter.VAR_KEYWORD: "**"}
    for name, one in inspect.signature(function).parameters.items():
        if name in ("self", "cls"):
            continue
        if one.kind is one.KEYWORD_ONLY and not any(each.startswith("*") for each in shown):
            shown.append("*")
        shown.append(stars.get(one.kind, "") + name + ("" if one.default is one.empty else f"={_default(one.default)}"))
    return f"({', '.join(shown)})"


def _default(value: object) -> str:
    return value.name if isinstance(value, ElementaryType) else repr(value)


def _first(thing: object) -> str:
    """Give the first sentence of a docstring."""
    whole = (inspect.getdoc(thing) or "").partition("\n\n")[0]
    return _cell(whole)


if __name__ == "__main__":
    README.write_text(renewed(README.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
