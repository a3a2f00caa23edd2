"""What is written as XML comes back equal, in both editions: random files, ladders, charts, graphs, our programs."""

from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simplant.errors import ProgramError, UsageError
from simplant.logic.fbd.from_ladder import drawn_ladder
from simplant.logic.fbd.layout import drawn_graph
from simplant.logic.fbd.tree import Block, Coil, Contact, Edge, Graph, Input, Output, Rail, Remark, Sink, Source, Wire
from simplant.logic.ladder.tree import Action, Sense
from simplant.logic.st.declared import (
    Configuration,
    File,
    Named,
    ProgramInstance,
    RefTo,
    Structure,
    Task,
    Unit,
    Variable,
)
from simplant.logic.st.faces import reader_of
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tree import Access
from simplant.logic.xml.plain import plain_form
from simplant.logic.xml.read import read_xml
from simplant.logic.xml.write import EDITIONS, write_xml
from tests.agree.charts import random_chart
from tests.ladder.trees import ladders
from tests.st.trees import HERE, NAMES, bare, files, literals

PROGRAMS = sorted(
    [*Path("programs").glob("*/*.st"), *Path("programs").glob("*/*.ladder"), *Path("tests/xml").glob("*.xml")]
)


def comes_back(file, edition):
    """Write a file and read it again: equal, and no word about it."""
    text = write_xml(file, "round", edition=edition)
    report = Report("back.xml", text)
    back = read_xml(report)
    assert [m for m in report.mistakes if not m.what.endswith("leads to nothing")] == []
    wanted = plain_form(file)
    if edition == "iec":
        wanted = replace(wanted, units=tuple(map(parameters_first, wanted.units)))
    assert bare(back) == bare(wanted)
    assert write_xml(back, "round", edition=edition) == text
    return back


def parameters_first(unit):
    """IEC 61131-10 has one place for all parameters of a unit, in front of its other variables."""
    own = ("VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT")
    return replace(unit, variables=tuple(sorted(unit.variables, key=lambda v: v.section.word not in own)))


UNSAID = {
    Named: {"edge": ""}, ProgramInstance: {"arguments": (), "retain": False, "task": ""},
    Structure: {"overlap": False}, Unit: {"accesses": ()}, Configuration: {"accesses": ()},
}  # fmt: skip
"""What the schemes have no word for, which is refused."""


def sayable(node):
    """A random tree without what the schemes have no word for."""
    if isinstance(node, RefTo):
        return sayable(node.of)
    if isinstance(node, Task):
        return replace(node, settings=node.settings[:1])
    if isinstance(node, Variable) and node.section.word == "FIELD":
        node = replace(node, address="")
    if isinstance(node, tuple):
        return tuple(sayable(each) for each in node)
    if is_dataclass(node) and not isinstance(node, type):
        made = replace(node, **UNSAID.get(type(node), {}))
        return replace(made, **{f.name: sayable(getattr(made, f.name)) for f in fields(made) if f.init})
    return node


@pytest.mark.parametrize("edition", EDITIONS)
@settings(suppress_health_check=list(HealthCheck), max_examples=30)
@given(file=files)
def test_files(file, edition):
    """Types, variables with first values, units with statements, tasks and instances of any shape."""
    try:
        comes_back(sayable(file), edition)
    except ProgramError as error:
        assert "two tasks of" in error.what  # noqa: PT017 - the rest must pass


def unit_of(body):
    return File((), (Unit(HERE, "PROGRAM", "p", None, (), body),), (), ())


@pytest.mark.parametrize("edition", EDITIONS)
@settings(suppress_health_check=list(HealthCheck), max_examples=30)
@given(ladder=ladders())
def test_ladders(ladder, edition):
    """Rungs with parallel branches in one another, blocks, labels and jumps."""
    comes_back(unit_of(ladder), edition)


@pytest.mark.parametrize("edition", EDITIONS)
def test_charts(edition):
    """Charts with any divergence and convergence, action blocks and priorities."""
    for seed in range(25):
        comes_back(Project(random_chart(Random(seed)).text(), "chart.st").written, edition)


operands = NAMES.map(lambda name: Access(HERE, name))


@st.composite
def graphs(draw):
    """Drawings of any kind: wires lead anywhere, also back."""
    count = draw(st.integers(1, 7))
    kinds = [
        draw(st.sampled_from(["rail", "source", "sink", "contact", "coil", "block", "remark"])) for _ in range(count)
    ]
    ends = [Wire(n, "OUT" if kinds[n] == "block" else "") for n in range(count) if kinds[n] not in ("sink", "remark")]
    wires = st.lists(st.sampled_from(ends), max_size=2, unique=True).map(tuple) if ends else st.just(())
    marks = st.sampled_from([{}, {"negated": True}, {"edge": Edge.RISING}, {"edge": Edge.FALLING}])

    def pin(name):
        return Input(name, draw(wires), **draw(marks))

    made = {
        "rail": lambda n: Rail(n, HERE),
        "source": lambda n: Source(n, HERE, draw(literals | operands), **draw(marks)),
        "sink": lambda n: Sink(n, HERE, draw(operands), pin(""), draw(st.none() | st.integers(1, 9))),
        "contact": lambda n: Contact(n, HERE, draw(st.sampled_from(Sense)), draw(operands), Input("", draw(wires))),
        "coil": lambda n: Coil(n, HERE, draw(st.sampled_from(Action)), draw(operands), Input("", draw(wires))),
        "block": lambda n: Block(n, HERE, "MUX", draw(st.sampled_from(["", "own"])), (pin("K"), pin("IN0")), (),
                                 (Output("OUT", draw(st.booleans())), Output("ENO"))),
        "remark": lambda n: Remark(n, HERE, draw(st.sampled_from(["what it does", "two\nrows < 3"]))),
    }  # fmt: skip
    return Graph(HERE, tuple(made[kind](n) for n, kind in enumerate(kinds)))


@pytest.mark.parametrize("edition", EDITIONS)
@settings(suppress_health_check=list(HealthCheck), max_examples=30)
@given(graph=graphs())
def test_graphs(graph, edition):
    """Blocks, variables, contacts and coils, joined in any way."""
    comes_back(unit_of(graph), edition)


def touch(one, other):
    across = one.x < other.x + other.width and other.x < one.x + one.width
    return across and one.y < other.y + other.height and other.y < one.y + one.height


@settings(max_examples=30)
@given(graphs(), ladders())
def test_nothing_is_drawn_on_anything_else(graph, ladder):
    """No two objects of an exported drawing touch."""
    for drawing in (drawn_graph(graph), drawn_ladder(ladder)):
        boxes = list(drawing.boxes.values())
        assert len(boxes) == len(drawing.graph.nodes)
        assert not any(touch(a, b) for n, a in enumerate(boxes) for b in boxes[:n])


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("path", PROGRAMS, ids=lambda p: f"{p.parent.name}-{p.name}")
def test_our_programs(path, edition):
    """Every program file of this house."""
    project = Project(path.read_text(encoding="utf-8"), str(path), read=reader_of(path))
    project.report.raise_errors()
    comes_back(project.written, edition)


WITH_IN_OUT = """FUNCTION_BLOCK Tally
VAR_INPUT go : BOOL; more : INT; END_VAR
VAR_IN_OUT total : INT; END_VAR
IF go THEN total := total + more; END_IF;
END_FUNCTION_BLOCK

PROGRAM p
VAR a : BOOL; sum : Tally; n : INT; END_VAR

|            sum        |
|         +----------+  |
|  a      |  Tally   |  |
+--| |----|go        |  |
|      n--|total     |  |
|      3--|more      |  |
|         +----------+  |
END_PROGRAM
"""


@pytest.mark.parametrize("edition", EDITIONS)
def test_in_outs_stand_apart(edition):
    """A VAR_IN_OUT of a block of one's own goes where the scheme has room for it, and comes back."""
    project = Project(WITH_IN_OUT, "t.ladder", read=reader_of(Path("t.ladder")))
    project.report.raise_errors()
    comes_back(project.written, edition)
    text = write_xml(project.written, "p", edition=edition)
    assert text.index('"go"') < text.index('"more"') < text.lower().index("<inoutvariables>") < text.rindex('"total"')


def test_head_notes_and_date_are_as_given():
    """The remark about the whole, comments before statements and the date stand where the scheme has room for them."""
    file = Project("PROGRAM p\nVAR a : BOOL; END_VAR\na := TRUE;\nEND_PROGRAM\n", "p.st").written
    places = {file.units[0].statements[0].place: "why", file.units[0].variables[0].place: "the fan"}
    text = write_xml(file, "p", head="about it", notes=places, created="2026-05-04T03:02:01")
    assert "<Comment>about it</Comment>" in text
    assert "(* why *)\na := TRUE;" in text
    assert '<xhtml xmlns="http://www.w3.org/1999/xhtml">the fan</xhtml>' in text
    assert '<Documentation xsi:type="SimpleText">the fan</Documentation>' in write_xml(
        file, "p", notes=places, edition="iec"
    )
    assert 'creationDateTime="2026-05-04T03:02:01"' in text
    with pytest.raises(UsageError, match="there is no edition 'tc7'"):
        write_xml(file, "p", edition="tc7")
