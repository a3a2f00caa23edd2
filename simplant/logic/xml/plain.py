"""The plain form of a file: what is read back from XML that was written from it.

Two files with one plain form mean the same. Rule: nothing is changed here but what XML has one word for where the
source had several.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from simplant.errors import Place
from simplant.logic.fbd.as_ladder import as_ladder
from simplant.logic.fbd.from_ladder import InOuts, plainest
from simplant.logic.fbd.plain import plain_graph
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.tree import Ladder
from simplant.logic.sfc.tree import Chart
from simplant.logic.st.declared import (
    ArrayOf,
    Body,
    Configuration,
    Enumeration,
    FieldInit,
    File,
    Init,
    ListInit,
    Named,
    ProgramInstance,
    RefTo,
    Structure,
    Subrange,
    Task,
    TypeName,
    TypeSpec,
    Unit,
    Variable,
)
from simplant.logic.st.tree import Literal
from simplant.logic.xml.iec_names import ELEMENTARY
from simplant.logic.xml.write_graph import is_ladder

_WORDS: Final = ("SINGLE", "INTERVAL", "PRIORITY")
_ALIKE: Final = {"TIME_OF_DAY": "TOD", "DATE_AND_TIME": "DT"}
_LAST: Final = "65535"
"""The priority of a task that has none: after all others."""


def plain_form(file: File) -> File:
    """Give a file in its plain form."""
    configurations = list(file.configurations)
    if file.variables:
        first = configurations[0] if configurations else Configuration(file.variables[0].place, "globals", (), (), ())
        configurations[:1] = [replace(first, variables=(*file.variables, *first.variables))]
    return File(
        tuple(_type_name(row) for row in file.types), tuple(_unit(unit, in_outs_of(file)) for unit in file.units), (),
        tuple(_configuration(each) for each in configurations),
    )  # fmt: skip


def _type_name(row: TypeName) -> TypeName:
    return replace(row, type=_spec(row.type), initial=_initial(row.initial))


def in_outs_of(file: File) -> InOuts:
    """Give the VAR_IN_OUTs of the file's own blocks and functions."""
    return {
        unit.name.upper(): frozenset(v.name.upper() for v in unit.variables if v.section.word == "VAR_IN_OUT")
        for unit in file.units
    }


def _unit(unit: Unit, in_outs: InOuts) -> Unit:
    result = _spec(unit.result) if unit.result is not None else None
    return replace(unit, result=result, variables=_variables(unit.variables), body=_body(unit.body, in_outs))


def _variables(variables: tuple[Variable, ...]) -> tuple[Variable, ...]:
    return tuple(
        replace(v, type=_spec(v.type), initial=_initial(v.initial), address=v.address.upper()) for v in variables
    )


def _spec(spec: TypeSpec) -> TypeSpec:
    match spec:
        case Named():
            return replace(spec, name=_word(spec.name))
        case ArrayOf():
            return replace(spec, of=_spec(spec.of))
        case RefTo():
            return replace(spec, of=_spec(spec.of))
        case Structure():
            return replace(spec, fields=_variables(spec.fields))
        case Subrange() | Enumeration():
            return replace(spec, base=_word(spec.base))


def _word(name: str) -> str:
    """Give the name of an elementary type in the one way it is written."""
    key = _ALIKE.get(name.upper(), name.upper())
    return key if key in ELEMENTARY or key in ("STRING", "WSTRING") else name


def _initial(value: Init | None) -> Init | None:
    match value:
        case ListInit():
            once = [None if isinstance(c, Literal) and c.text == "1" else c for c, _ in value.items]
            return replace(value, items=tuple((c, _initial(v)) for c, (_, v) in zip(once, value.items, strict=True)))
        case FieldInit():
            return replace(value, items=tuple((p, n, _of(v)) for p, n, v in value.items))
        case _:
            return value


def _of(value: Init) -> Init:
    found = _initial(value)
    assert found is not None, "a value stays one"
    return found


def _body(body: Body, in_outs: InOuts) -> Body:
    match body:
        case Ladder():
            return plainest(body, in_outs)
        case Graph():
            rungs = as_ladder(body) if is_ladder(body.nodes) else None
            return plainest(rungs, in_outs) if rungs is not None else plain_graph(body)
        case Chart():
            actions = tuple(replace(a, body=_body(a.body, in_outs)) for a in body.actions)
            steps = tuple(replace(s, actions=tuple(replace(a, qualifier=a.qualifier.upper()) for a in s.actions))
                          for s in body.steps)  # fmt: skip
            return replace(body, steps=steps, actions=actions)
        case _:
            return body


def _configuration(tree: Configuration) -> Configuration:
    """Tasks and programs by their resources; what is of none is of one named `resource`."""
    of = [*(t.resource for t in tree.tasks), *(p.resource for p in tree.programs)]
    names = list(dict.fromkeys(name or "resource" for name in of))
    tasks = sorted((_task(task) for task in tree.tasks), key=lambda t: names.index(t.resource))
    order = {(task.resource, task.name.upper()): n for n, task in reversed(list(enumerate(tasks)))}

    def rank(program: ProgramInstance) -> tuple[int, int]:
        return names.index(program.resource), order.get((program.resource, program.task.upper()), len(tasks))

    programs = sorted((replace(p, resource=p.resource or "resource") for p in tree.programs), key=rank)
    programs = [replace(p, task=tasks[rank(p)[1]].name) if rank(p)[1] < len(tasks) else p for p in programs]
    settings = tuple(replace(s, type=_spec(s.type), initial=_initial(s.initial)) for s in tree.settings)
    return replace(tree, variables=_variables(tree.variables), tasks=tuple(tasks), programs=tuple(programs),
                   settings=settings)  # fmt: skip


def _task(task: Task) -> Task:
    settings: list[tuple[Place, str, object]] = sorted(
        task.settings, key=lambda s: _WORDS.index(s[1]) if s[1] in _WORDS else 9
    )
    if not any(word == "PRIORITY" for _, word, _ in settings):
        settings.append((task.place, "PRIORITY", Literal(task.place, int(_LAST), None, _LAST)))
    return replace(task, settings=tuple(settings), resource=task.resource or "resource")  # type: ignore[arg-type]


__all__ = ["in_outs_of", "plain_form"]
