"""What we write is what the schemes demand, as far as they are remembered: elements, attributes, order of children."""

from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simplant.errors import ProgramError
from simplant.logic.st.faces import reader_of
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.xml.elements import read_elements
from simplant.logic.xml.write import write_xml
from tests.agree.charts import random_chart
from tests.ladder.trees import ladders
from tests.st.trees import files
from tests.xml.scheme import IEC, TC6, departures
from tests.xml.test_xml_round_trip import PROGRAMS, graphs, sayable, unit_of

SCHEMES = {"tc6": TC6, "iec": IEC}


charts = st.integers(0, 10**6).map(lambda n: Project(random_chart(Random(n)).text(), "chart.st").written.units[0].body)


def written(file, edition):
    return read_elements(Report("w.xml", write_xml(file, "w", edition=edition)))


@pytest.mark.parametrize("edition", SCHEMES)
@pytest.mark.parametrize(
    "path", [p for p in PROGRAMS if p.parent.name != "comet_toss"], ids=lambda path: path.parent.name + "/" + path.name
)
def test_programs_of_the_house(path, edition):
    """The text of a machine, a ladder, every file that came as XML, as a file of each scheme."""
    file = Project(path.read_text(encoding="utf-8"), path.name, read=reader_of(path)).written
    assert departures(written(file, edition), SCHEMES[edition]) == []


@pytest.mark.parametrize("edition", SCHEMES)
@settings(suppress_health_check=list(HealthCheck), max_examples=5)
@given(file=files)
def test_any_declarations(file, edition):
    """Types, values, variables, tasks and instances of any shape."""
    try:
        root = written(sayable(file), edition)
    except ProgramError:
        return
    assert departures(root, SCHEMES[edition]) == []


@pytest.mark.parametrize("edition", SCHEMES)
@settings(suppress_health_check=list(HealthCheck), max_examples=5)
@given(body=st.one_of(ladders(), graphs(), charts))
def test_any_drawing(body, edition):
    """Ladders, networks and charts of any shape; IEC 61131-10 is not known to have a variable within a wire."""
    try:
        root = written(unit_of(body), edition)
    except ProgramError as error:
        assert "<inOutVariable>" in error.what  # noqa: PT017 - the rest must pass
        return
    assert departures(root, SCHEMES[edition]) == []


def test_departures_are_found():
    """An attribute that is missing, one too many, an order turned round, an element of nowhere."""
    wrong = '<pou name="p"><body/><interface/></pou>'
    text = f'<project><types><pous>{wrong}</pous><dataTypes b="1"/></types><x/></project>'
    assert departures(read_elements(Report("w.xml", text)), TC6) == [
        "<project> in <> holds: types x ", "<types> in <project> holds: pous dataTypes ",
        "<pou> in <pous> has no pouType", "<pou> in <pous> holds: body interface ", "<body> in <pou> holds: ",
        "<dataTypes> in <types> has b", "<x> in <project> is not in the scheme",
    ]  # fmt: skip
