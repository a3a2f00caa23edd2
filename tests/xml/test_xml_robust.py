"""Whatever stands in a file of XML, reading it ends soon, and in mistakes that are told or in a program that runs."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simplant.logic.st.project import Project
from simplant.logic.xml import elements
from simplant.logic.xml.read import read_xml
from tests.xml.drawn import RAIL, coil, contact, declared, in_frame, project, rows, told
from tests.xml.spoilt import bear, spoilt


def test_spoilt_files():
    """Attributes, elements, tags, letters changed, doubled, left out (`python -m tests.xml.spoilt` for very many)."""
    rnd = Random(5)
    assert 5 < sum(bear(spoilt(rnd)) for _ in range(60)) < 55


@given(st.text() | st.text(alphabet="<>/=\"' pou&;!-[]\n"))
def test_any_text(text):
    """Letters of any kind, and those that XML is made of."""
    Project(text, "any.xml", read=read_xml)


def test_deep_expressions_are_a_mistake():
    """No depth of anything makes a crash."""
    value = "(" * 5000 + "a" + ")" * 5000
    assert told(in_frame(contact(1, value))) == ["4:115 error: '(' stands where a variable is wanted"]
    assert told(in_frame(f"x := {value};", kind="ST")) == ["4:46 error: more than 40 things stand in one another here"]


@pytest.mark.parametrize("count", [30, 1000])
def test_long_rows_of_contacts(count):
    """A row of very many contacts is one AND, in pieces."""
    body = (
        RAIL
        + "\n".join(contact(n, "a", [n - 1], 10 * n) for n in range(2, count + 2))
        + coil(count + 2, "b", [count + 1], 10**6)
    )
    text = in_frame(body, declared(a="BOOL", b="BOOL"))
    assert rows(text, {0: {"a": True}, 1: {"a": False}}, "b", count=2) == [(True,), (False,)]


def test_long_rows_of_functions():
    """A row of very many functions adds up, in pieces."""
    pin = '<variable formalParameter="{}"><connectionPointIn>{}</connectionPointIn></variable>'
    first, body = "<expression>n</expression>", []
    for number in range(1, 501):
        pins = pin.format("IN1", first) + pin.format("IN2", "<expression>1</expression>")
        body.append(
            f'<block localId="{number}" typeName="ADD"><position x="{number}" y="0"/><inputVariables>{pins}'
            '</inputVariables><outputVariables><variable formalParameter="OUT"/></outputVariables></block>'
        )
        first = f'<connection refLocalId="{number}" formalParameter="OUT"/>'
    body.append(
        f'<outVariable localId="501"><position x="501" y="0"/><connectionPointIn>{first}</connectionPointIn>'
        "<expression>sum</expression></outVariable>"
    )
    assert rows(in_frame("\n".join(body), declared(n="INT", sum="INT"), "FBD"), {0: {"n": 7}}, ["sum"]) == [(507,)]


def test_as_many_elements_as_allowed(monkeypatch):
    """A file of endless elements is refused where the limit is reached (here a low one)."""
    monkeypatch.setattr(elements, "MOST", 100)
    text = "<project>" + "<a/>" * 1000 + "</project>"
    assert told(text) == [f"1:{10 + 4 * 99} error: there are more than 100 elements"]


def test_a_large_file_is_read_in_one_piece():
    """A thousand rungs: each coil follows its contact."""
    rungs = (
        contact(2 * n, f"a{n}", [1], 20, 50 * n) + coil(2 * n + 1, "out", [2 * n], 90, 50 * n) for n in range(1, 1001)
    )
    variables = declared(out="BOOL", **{f"a{n}": "BOOL" for n in range(1, 1001)})
    file = project(in_frame(RAIL + "\n".join(rungs), variables)).written
    assert len(file.units[0].body.rungs) == 1000


def test_a_number_that_no_enumeration_has():
    """A first value beyond the type that holds an enumeration is a mistake, not a crash."""
    text = "TYPE E : (low, high); END_TYPE PROGRAM p VAR e : E := 99999999999; END_VAR ; END_PROGRAM"
    assert [m.what for m in Project(text, "e.st").report.errors] == ["e is a E, 99999999999 is none of its values"]
