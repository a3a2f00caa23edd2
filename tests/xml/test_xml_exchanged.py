"""What goes beside a program when it is exchanged: words, editions, places in long lines, names of instances."""

from pathlib import Path

import pytest

from simplant.cli.main import main
from simplant.errors import UsageError
from simplant.logic.convert.faces import of_project
from simplant.logic.st.project import Project, read_project
from simplant.logic.st.report import Report
from simplant.logic.xml.elements import read_elements
from simplant.logic.xml.read import read_xml
from simplant.logic.xml.remarks import remarks_of
from simplant.logic.xml.write import write_xml
from simplant.rig.table_file import read_bench
from tests.xml.drawn import RAIL, coil, contact, declared, in_frame
from tests.xml.scheme import IEC, TC6, departures

WORDS = """<project><fileHeader contentDescription="an oven"/>
<contentHeader><Comment>all of it</Comment></contentHeader>
<types><dataTypes><dataType name="Mode"><baseType><enum><values><value name="low"/></values></enum></baseType>
<documentation><p>how it heats</p></documentation></dataType></dataTypes><pous><pou name="p" pouType="program">
<interface><localVars><variable name="a"><type><BOOL/></type>
<documentation><xhtml xmlns="http://www.w3.org/1999/xhtml">start</xhtml></documentation></variable>
<variable name="b"><type><BOOL/></type></variable></localVars></interface><body><ST>b := a;</ST></body>
<documentation><p><![CDATA[starts (* and *) stops]]></p></documentation></pou></pous></types></project>"""
AS_TEXT = """TYPE
  (* how it heats *)
  Mode : (low);
END_TYPE

(* starts ( * and * ) stops *)
PROGRAM p
VAR
  a : BOOL; (* start *)
  b : BOOL;
END_VAR

b := a;
END_PROGRAM
"""


def converted(text, to, edition="tc6"):
    return of_project(Project(text, "oven.xml", read=read_xml), "xml", to, edition)


def test_words_become_comments():
    """What is said of a program, a type and a variable stands beside it; an address of a scheme is no comment."""
    made = converted(WORDS, "st")
    assert made.startswith("(* an oven\n\n   all of it\n\n   From oven.xml.\n")
    assert made.endswith(AS_TEXT)


@pytest.mark.parametrize("edition", ["tc6", "iec"])
def test_words_go_from_one_edition_to_the_other(edition):
    """XML may be written anew, in either edition, and keeps what is said in it, but the head's safety lines once."""
    made = converted(WORDS, "xml", edition)
    report = Report("made.xml", made)
    head, notes = remarks_of(report, read_xml(report))
    assert list(notes.values()) == ["how it heats", "starts (* and *) stops", "start"]
    assert head.startswith("an oven\n\nall of it\n\nFrom oven.xml.\n\nNo safety function")
    again = converted(made, "xml", edition)
    assert again.count("No safety function") == 1


def test_places_in_long_lines():
    """Of a line that is longer than a screen its neighbourhood is shown, with the caret under what is meant."""
    text = in_frame(contact(1, "a", [7]) + " " * 300 + coil(2, "b", [1]), declared(b="BOOL")).replace("\n", " ")
    report = Report("t.xml", text)
    read_xml(report)
    _, line, carets = report.told(report.errors[0]).split("\n")
    assert (len(line), line.startswith("    1 | ..."), line.endswith("...")) == (174, True, True)
    assert line[carets.index("^") :].startswith("<contact ")


TWO = """PROGRAM p
VAR_INPUT go : BOOL; END_VAR
VAR n : INT; t : TON; END_VAR
VAR_EXTERNAL shared : BOOL; END_VAR
t(IN := shared, PT := T#1s);
n := n + 1;
END_PROGRAM
CONFIGURATION c
VAR_GLOBAL shared : BOOL; END_VAR
RESOURCE r ON any
TASK fast (INTERVAL := T#10ms);
PROGRAM one WITH fast : p;
END_RESOURCE
END_CONFIGURATION
"""


def test_names_of_the_only_program_need_no_instance(tmp_path):
    """In a configuration a name is a global's, else that of the one program that has it; several are told."""
    file = tmp_path / "two.st"
    file.write_text(TWO, encoding="utf-8")
    bench, _ = read_bench(file)
    assert [bench.column(name).name for name in ("shared", "GO", "one.go", "t.Q", "t.ET")] == [
        "shared", "one.go", "one.go", "one.t.Q", "one.t.ET",
    ]  # fmt: skip
    with pytest.raises(UsageError) as caught:
        bench.column("goo")
    assert (caught.value.what, caught.value.mend) == ("there is no variable 'goo'", "close in spelling: go")
    file.write_text(TWO.replace("END_RESOURCE", "PROGRAM two WITH fast : p;\nEND_RESOURCE"), encoding="utf-8")
    bench, _ = read_bench(file)
    with pytest.raises(UsageError) as caught:
        bench.column("n")
    assert (caught.value.what, caught.value.mend) == ("several programs have a variable 'n'", "one.n, two.n")


def test_numbers_against_places_between_jumps():
    """Where there are jumps, networks run from top to bottom; numbers that say otherwise are refused."""
    label = '<label localId="8" label="x"><position x="0" y="90"/></label>'
    body = RAIL + coil(2, "a", [1], 50, 20, executionOrderId=2) + coil(3, "b", [1], 50, 60, executionOrderId=1) + label
    errors = Project(in_frame(body, declared(a="BOOL", b="BOOL")), "t.xml", read=read_xml).report.errors
    assert [m.what for m in errors] == ["the number of evaluation 1 stands below a greater one"]


def test_one_mistake_is_told_once():
    """What hangs on an object that was refused is left out with it; the rest is read and checked."""
    body = RAIL + contact(2, "a", [1], negated="true", edge="rising") + coil(3, "b", [2]) + coil(4, "c", [1], 0, 50)
    errors = Project(in_frame(body, declared(a="BOOL", b="BOOL")), "t.xml", read=read_xml).report.errors
    assert [m.what for m in errors] == ["<contact> is marked negated and rising", "'c' is not declared"]


def test_a_value_that_is_used_at_once_is_not_kept():
    """A variable that a network reads and writes is one statement; nothing is told of names that nobody wrote."""
    project = read_project(Path("tests/xml/wild/fbd_wrap.xml"))
    assert of_project(project, "xml", "st").endswith(
        "n := SEL(G := e, IN0 := n, IN1 := SEL(G := n >= 3, IN0 := n + 1, IN1 := 0));\nEND_PROGRAM\n"
    )


def test_words_about_a_program_are_not_those_of_its_hidden_variables():
    """Jumps need a variable; what is said of the program is said once."""
    project = read_project(Path("tests/xml/wild/jumps.xml"))
    assert of_project(project, "xml", "st").count("about jumps") == 1


BOXES = (
    '<comment localId="9"><position x="0" y="0"/><content><p>first</p></content></comment>'
    '<comment localId="8"><position x="0" y="50"/><content><p>second</p></content></comment>'
)


@pytest.mark.parametrize("kind", ["LD", "FBD"])
def test_comments_in_a_drawing_stand_above_what_they_are_about(kind):
    """In text too, also where the whole file is one line; a ladder's as well as those of a network of blocks."""
    if kind == "LD":
        body = RAIL + contact(2, "a", [1], 9, 20) + coil(3, "b", [2], 50, 20) + coil(4, "a", [1], 50, 60)
    else:
        body = "".join(
            f'<inVariable localId="{n}"><position x="0" y="{y}"/><expression>{value}</expression></inVariable>'
            f'<outVariable localId="{n + 1}"><position x="50" y="{y}"/><connectionPointIn>'
            f'<connection refLocalId="{n}"/></connectionPointIn><expression>{name}</expression></outVariable>'
            for n, y, value, name in ((1, 20, "a", "b"), (3, 60, "TRUE", "a"))
        )
    text = in_frame(body + BOXES, declared(a="BOOL", b="BOOL"), kind).replace("\n", " ")
    wanted = "(* first *)\nb := a;\n\n(* second *)\na := TRUE;\nEND_PROGRAM\n"
    assert converted(text, "st").endswith(wanted)


CHART = """PROGRAM p
VAR a : BOOL; END_VAR
INITIAL_STEP one: act(N); END_STEP
STEP two: END_STEP
TRANSITION FROM one TO two := a; END_TRANSITION
TRANSITION FROM two TO one := NOT a; END_TRANSITION
ACTION act: a := TRUE; END_ACTION
END_PROGRAM
"""


@pytest.mark.parametrize("edition", ["tc6", "iec"])
def test_words_in_charts(edition):
    """What is said of a step, a transition, an action is carried there and back, where the schemes have room for it."""
    project = Project(CHART, "t.st")
    chart = project.written.units[0].body
    places = [chart.steps[0].place, chart.transitions[1].place, chart.actions[0].place]
    made = write_xml(project.written, "t", edition=edition, notes=dict(zip(places, ("s", "t", "a"), strict=True)))
    back = Project(made, "t.xml", read=read_xml)
    chart, notes = back.written.units[0].body, remarks_of(back.report, back.written)[1]
    assert [notes[e.place] for e in (chart.steps[0], chart.transitions[1], chart.actions[0])] == ["s", "t", "a"]
    assert departures(read_elements(Report("t.xml", made)), {"tc6": TC6, "iec": IEC}[edition]) == []
    text = of_project(back, "xml", "st")
    assert [text.count(f"(* {word} *)") for word in "sta"] == [1, 1, 1]


def test_empty_rows_before_the_first():
    """A file that begins with empty rows is read; lines and columns stay those of the file."""
    assert read_elements(Report("t.xml", '\n\n<?xml version="1.0"?>\n<project/>')).place.line == 4


def test_conversion_to_the_other_edition(tmp_path):
    """On the command line too."""
    out = tmp_path / "made.xml"
    source = Path("tests/xml/seal_in.xml")
    assert main(["convert", str(source), "--to", "xml", "--edition", "iec", "--out", str(out)]) == 0
    assert "<Rung " in out.read_text(encoding="utf-8")
    assert read_project(out).report.mistakes == []
