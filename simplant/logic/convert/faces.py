"""From any face of a program to another: which way there is, and why there is none.

Saying Python in Structured Text is programs.py; printing is st/printed.py, XML xml/. Rule: nothing is dropped: what the
other face cannot hold is refused with the reason.
"""

from __future__ import annotations

import sys
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from simplant.errors import Place, ProgramError, UsageError
from simplant.logic.convert.programs import SAFETY, Converted
from simplant.logic.fbd.for_rungs import rungs_of
from simplant.logic.fbd.plain import in_networks
from simplant.logic.fbd.tree import Graph, Remark
from simplant.logic.ladder.tree import Ladder, Parallel, elements
from simplant.logic.sfc.tree import Action, Chart
from simplant.logic.st.bodies import statements_of
from simplant.logic.st.comments import beside, head_of
from simplant.logic.st.comments_among import among
from simplant.logic.st.declared import File, Structure, Unit
from simplant.logic.st.prepared import prepared
from simplant.logic.st.printed import printed
from simplant.logic.st.printed_statements import Notes
from simplant.logic.st.project import Project
from simplant.logic.st.report import Fault, SourceErrors
from simplant.logic.st.statements import every
from simplant.logic.xml.remarks import remarks_of
from simplant.logic.xml.write import write_xml
from simplant.tags import Tag

FACES: Final = {
    "st": "Structured Text",
    "sfc": "sequential function charts in text",
    "ladder": "ladder text",
    "xml": "XML",
}


def of_python(program: Converted, to: str, name: str, tags: Sequence[Tag], edition: str = "tc6") -> str:
    """Give a Python program, already said in Structured Text, in another face.

    Args:
        program: the program.
        to: one of FACES.
        name: of the Python file.
        tags: the I/O list it is bound to.
        edition: of XML.

    Raises:
        UsageError: it has no such face.
        ProgramError: the text would not be right: a constant divisor of 0, or the like.
    """
    if to == "ladder":
        why = "its sequences and calculations have no rungs, and drawing some for them would be guessing"
        raise UsageError(f"{name} is Python, it does not become a ladder", why, "convert it --to st")
    text = printed(program.file, program.notes, program.head)
    try:
        prepared(text, name, tags)
    except SourceErrors as error:
        why = f"the text that says it is not right: {error.what}"
        raise ProgramError(f"{name} cannot be said in {FACES['st']} as it is", why) from None
    if to == "xml":
        return write_xml(program.file, Path(name).stem, edition=edition, head=program.head, notes=program.notes)
    return text


def of_project(project: Project, face: str, to: str, edition: str = "tc6") -> str:
    """Give a program that was read from a file in another face.

    Args:
        project: read and right.
        face: the face that it has.
        to: one of FACES.
        edition: of XML.

    Raises:
        UsageError: it has no such face.
        ProgramError: something cannot be said there.
    """
    name = project.report.name
    if to == face != "xml":
        raise UsageError(f"{name} is {FACES[face]} already", "there is nothing to convert")
    match to:
        case "st":
            head, notes = _said(project, face)
            return _printed(_in_text(project), _with_rungs(project, notes), head)
        case "xml":
            head, notes = _said(project, face)
            return write_xml(project.written, Path(name).stem, edition=edition, head=head, notes=notes)
        case "sfc":
            why = "a chart says which step follows which, and finding that out would be guessing"
            raise UsageError(f"{name} is {FACES.get(face, 'a program')}, it does not become a chart", why,
                             "write its sequences as charts, or in Python")  # fmt: skip
        case _:
            return _ladder(project, face)


def read_as_text(project: Project) -> str:
    """Give a program that came as XML as text to be looked at, without a head: charts, and statements for drawings."""
    _, notes = _said(project, "xml")
    return _printed(_in_text(project), _with_rungs(project, notes), "")


def _in_text(project: Project) -> File:
    """Give a file with every body in the standard's text: charts as they are, drawings as statements."""
    pairs = zip(project.written.units, project.file.units, strict=True)
    units = (_without_drawings(w, w.body, project.written) if isinstance(w.body, Chart) else low for w, low in pairs)
    return replace(project.file, units=tuple(units))


def _without_drawings(unit: Unit, chart: Chart, file: File) -> Unit:
    """Give a unit with a chart whose drawn actions are statements."""
    actions: list[Action] = []
    for action in chart.actions:
        drawn = isinstance(action.body, Ladder | Graph)
        unit = statements_of(replace(unit, body=action.body), file) if drawn else unit
        actions.append(replace(action, body=unit.body) if drawn else action)
    return replace(unit, body=replace(chart, actions=tuple(actions)))


def _ladder(project: Project, face: str) -> str:
    """Print a file whose bodies are ladders."""
    file = replace(project.written, units=tuple(map(_as_rungs, project.written.units)))
    for unit in file.units:
        if isinstance(unit.body, Graph):
            what = f"the body of {unit.name} is a network of blocks"
            raise UsageError(what, "it is no ladder of contacts, coils and blocks in rungs", "convert it --to st")
    if not any(isinstance(unit.body, Ladder) for unit in file.units):
        raise UsageError(f"no body in {project.report.name} is a ladder", "statements and charts do not become rungs")
    head, notes = _said(project, face)
    return _printed(file, notes, head)


def _as_rungs(unit: Unit) -> Unit:
    """Give a unit whose body is a network as rungs, if it can be said so."""
    rungs = rungs_of(unit.body) if isinstance(unit.body, Graph) else None
    return replace(unit, body=rungs) if rungs is not None else unit


def _said(project: Project, face: str) -> tuple[str, dict[Place, str]]:
    """Give what stands at the top of the new text (the words there, the safety lines), and comments by places."""
    if face == "xml":
        words, notes = remarks_of(project.report, project.written)
    else:
        file, text = project.written, project.report.text
        fields = (row.type.fields for row in file.types if isinstance(row.type, Structure))
        rows = (file.variables, *(u.variables for u in file.units), *(c.variables for c in file.configurations))
        words, notes = head_of(text), among(project.report, file, whole=True)
        notes |= beside(text, [*file.types, *(variable for row in (*rows, *fields) for variable in row)])
    words = words.replace(SAFETY, "").strip()
    return "\n\n".join(part for part in (words, f"From {project.report.name}.", SAFETY) if part), notes


def _printed(file: File, notes: Notes, head: str) -> str:
    try:
        return printed(file, notes, head)
    except Fault as fault:
        mistake = fault.mistake
        raise ProgramError(mistake.what, mistake.why, mistake.mend, mistake.place) from None


def _with_rungs(project: Project, notes: dict[Place, str]) -> dict[Place, str]:
    """Add the comments of rungs and networks, by the place of the first thing that each became."""
    found = dict(notes)
    for written, lowered in zip(project.written.units, project.file.units, strict=True):
        match written.body:
            case Ladder():
                rows = _said_in_rungs(written.body, lowered)
            case Graph():
                rows = _said_in_networks(written.body)
            case _:
                continue
        for place, words in _above(rows, lowered):
            found[place] = "\n".join(part for part in (found.get(place), words) if part)
    return found


_Said = Iterator[tuple[str, Collection[Place]]]
"""Comments, each with the places of what it is said of."""


def _above(rows: _Said, lowered: Unit) -> Iterator[tuple[Place, str]]:
    """Give comments by statements; of what became none, by what follows, or else by the unit."""
    places, waiting = [n.place for n in every(lowered.statements)], list[str]()
    for words, own in rows:
        waiting += [words] if words else []
        place = next((p for p in places if p in own), None) if waiting else None
        if place is not None:
            yield place, "\n".join(waiting)
            waiting = []
    if waiting:
        yield places[-1] if places else lowered.place, "\n".join(waiting)


def _said_in_rungs(body: Ladder, lowered: Unit) -> _Said:
    own = [{e.place for e in elements(rung.line) if not isinstance(e, Parallel)} for rung in body.rungs]
    others = [n.place for n in every(lowered.statements) if not any(n.place in places for places in own)]
    ends = [rung.place.line for rung in body.rungs]
    for number, rung in enumerate(body.rungs):
        end = ends[number + 1] if number + 1 < len(ends) else sys.maxsize
        near = [place for place in others if rung.place.line <= place.line < end]  # in XML lines say nothing
        yield rung.comment, own[number].union(near)


def _said_in_networks(body: Graph) -> _Said:
    for node in in_networks(body.nodes):
        yield (node.text, ()) if isinstance(node, Remark) else ("", (node.place,))
