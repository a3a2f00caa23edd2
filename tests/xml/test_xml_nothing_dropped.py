"""Nothing that is drawn is dropped: each object of a drawing is in what was read, or was told at its place."""

from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from random import Random

import pytest

from simplant.errors import Place
from simplant.logic.fbd.lower import statements_of_graph
from simplant.logic.ladder.lower import lowered
from simplant.logic.ladder.tree import Ladder
from simplant.logic.st.parts import every
from simplant.logic.st.report import Fault, Report
from simplant.logic.st.tree import Do, Let
from simplant.logic.xml.elements import read_elements
from simplant.logic.xml.read import read_xml
from tests.xml.drawn import RAIL, coil, contact, declared, in_frame
from tests.xml.spoilt import SEEDS, spoil

HERE = Path(__file__).parent
FILES = sorted(path for path in (*HERE.rglob("*.xml"), *(HERE.parents[1] / "programs").rglob("*.xml")))
RAILS = ("leftPowerRail", "rightPowerRail", "connector", "continuation")
"""What only leads on; that it leads where it should is shown by what it leads to."""
JOINS = ("selectionDivergence", "selectionConvergence", "simultaneousDivergence", "simultaneousConvergence")


def inside(node, found):
    """Gather the places, and the texts, that stand in a tree."""
    if isinstance(node, Place):
        found.add((node.line, node.column))
    elif isinstance(node, str):
        found.add(node.upper())
    elif isinstance(node, tuple):
        for each in node:
            inside(each, found)
    elif is_dataclass(node) and not isinstance(node, Enum):
        for field in fields(node):
            inside(getattr(node, field.name), found)


def drawings(root):
    """Give each drawing and its objects, each with the places that are in it."""
    for holder in (e for e in root.within() if any("localId" in inner.attributes for inner in e.children)):
        yield holder, [
            (element, {(p.place.line, p.place.column) for p in (element, *element.within(), *element.pieces())})
            for element in holder.children if "localId" in element.attributes
        ]  # fmt: skip


def words(element):
    """Give what an object says that is read for its name or words alone."""
    said = [element.get("label"), element.get("targetName")]
    said += ["".join(p.text for p in each.pieces()).strip() for each in element.each("content")]
    return {each.upper() for each in said if each}


def named(root):
    """Give the names of conditions: what is drawn for one ends in its name, which nobody needs to keep."""
    return {e.get("name") for holder in root.within() if holder.name == "transitions" for e in holder.children}


def dropped(text):
    """Give the objects of a file that are neither read nor told, nor hang on one that was told."""
    report, found = Report("t.xml", text), set()
    inside(read_xml(report), found)
    try:
        root = read_elements(Report("t.xml", text))
    except Fault:
        return []
    told, names = {(m.place.line, m.place.column) for m in report.mistakes}, named(root)
    parts = [drawing for holder, drawing in drawings(root) if (holder.place.line, holder.place.column) not in told]
    lost = [element for drawing in parts for element in dropped_of(drawing, found, told, names)]
    return [f"{e.name} {e.get('localId')} at {e.place.line}" for e in lost]


def dropped_of(drawing, found, told, names):
    """Give the objects of one drawing that were dropped; none, if the drawing as a whole was refused."""
    refused = {element.get("localId") for element, own in drawing if own & told}
    if refused and not any(own & found for _, own in drawing):
        return
    for _ in drawing:
        refused |= {e.get("localId") for e, _ in drawing for c in e.within() if c.get("refLocalId") in refused}
    for element, own in drawing:
        ends = {"".join(p.text for p in e.pieces()).strip() for e in element.each("expression", "variable")}
        silent = element.name in (*RAILS, *JOINS) or (element.name == "comment" and not words(element))
        kept = own & found or words(element) & found or ends & names or element.get("localId") in refused
        if not silent and not kept:
            yield element


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_object_is_read_or_told(path):
    """All our files: contacts, coils, variables, blocks, steps, actions, transitions, jumps, labels, comments."""
    assert dropped(path.read_text(encoding="utf-8")) == []


def sink(number, name, after, y=0, **marks):
    """A variable that is written."""
    made = coil(number, name, after, number, y, **marks)
    return made.replace("<coil", "<outVariable").replace("coil>", "outVariable>").replace("variable>", "expression>")


def block(number, rnd, powers):
    """A timer, an edge, or a comparison with EN."""
    kind = rnd.choice(("TON", "R_TRIG", "GT"))
    first = {"TON": "IN", "R_TRIG": "CLK", "GT": "EN"}[kind]
    values = {"TON": {"PT": "T#20ms"}, "R_TRIG": {}, "GT": {"IN1": "n", "IN2": "3"}}[kind]
    pin = '<variable formalParameter="{}"><connectionPointIn>{}</connectionPointIn></variable>'
    pins = pin.format(first, wire(rnd.choice(powers)))
    pins += "".join(pin.format(name, f"<expression>{value}</expression>") for name, value in values.items())
    out = "OUT" if kind == "GT" else "Q"
    instance = f' instanceName="b{number}"' if kind != "GT" else ""
    return out, kind, (
        f'<block localId="{number}" typeName="{kind}"{instance}><position x="{number}" y="0"/><inputVariables>{pins}'
        f'</inputVariables><outputVariables><variable formalParameter="{out}"/></outputVariables></block>'
    )  # fmt: skip


def wire(power):
    """A line from an object, or from a pin of one."""
    number, pin = power
    return f'<connection refLocalId="{number}"' + (f' formalParameter="{pin}"/>' if pin else "/>")


def by_chance(rnd):
    """A rung of contacts, blocks, coils and variables, joined to whatever stands before them."""
    powers, rows, types, written = [(1, "")], [], {"n": "INT"}, []
    for number in range(2, rnd.randrange(5, 14)):
        kind, after = rnd.choice(("contact", "contact", "block", "coil", "sink", "sink")), rnd.choice(powers)
        if kind == "block":
            pin, type_, made = block(number, rnd, powers)
            rows.append(made)
            powers.append((number, pin))
            types |= {} if type_ == "GT" else {f"b{number}": type_}
            continue
        name = f"v{number}"
        types[name] = "BOOL"
        marks = {"negated": "true"} if rnd.random() < 0.3 else {}
        if kind == "sink":
            row = sink(number, name, [0], y=10 * rnd.randrange(3), **marks)
        else:
            row = (contact if kind == "contact" else coil)(number, name, [0], number, 0, **marks)
        rows.append(row.replace('<connection refLocalId="0"/>', wire(after)))
        if kind == "contact":
            powers.append((number, ""))
        else:
            written.append(name)
    return in_frame(RAIL + "\n".join(rows), declared(**types)), written


def targets(text):
    """Give the variables that the statements of a program give a value to."""
    report = Report("t.xml", text)
    file = read_xml(report)
    report.raise_errors()
    (unit,) = file.units
    lower = lowered if isinstance(unit.body, Ladder) else statements_of_graph
    body = lower(unit, unit.body).body
    found = [node.target.name for node in every(body) if isinstance(node, Let)]
    calls = [node.call for node in every(body) if isinstance(node, Do)]
    return found + [a.target.name for call in calls for a in call.arguments if a.target is not None]


@pytest.mark.parametrize("seed", range(100))
def test_each_variable_of_a_rung_gets_a_value(seed):
    """Rungs by chance: nothing is dropped, and each coil and each variable is given its value, once, in any face."""
    text, written = by_chance(Random(seed))
    assert dropped(text) == []
    assert sorted(set(targets(text)) & set(written)) == sorted(written)


@pytest.mark.slow
def test_nothing_is_dropped_of_spoilt_files():
    """Files changed at a place, by chance: if no error is told, each object is read, or a warning tells of it."""
    rnd, runs = Random(7), 0
    for _ in range(200):
        text = spoil(rnd.choice(SEEDS), rnd)
        report = Report("t.xml", text)
        read_xml(report)
        if not report.errors:
            runs += 1
            assert dropped(text) == []
    assert runs > 50
