"""What is said in a file of XML is said in every other face too, of the same thing."""

import pytest

from simplant.logic.convert.faces import of_project
from simplant.logic.st.project import Project
from simplant.logic.xml.read import read_xml
from tests.xml.drawn import coil, contact, declared, in_frame


def comment(number, words, x, y):
    """A comment in a drawing."""
    return f'<comment localId="{number}"><position x="{x}" y="{y}"/><content><p>{words}</p></content></comment>'


def rail(number, y):
    """A left rail."""
    return f'<leftPowerRail localId="{number}"><position x="0" y="{y}"/><connectionPointOut/></leftPowerRail>'


def body_of(text, to):
    """Give what stands between the declarations and the end of a file in another face."""
    made = of_project(Project(text, "way.xml", read=read_xml), "xml", to)
    return made.split("END_VAR\n\n", 1)[1].split("END_PROGRAM", 1)[0]


VARIABLES = declared(a="BOOL", q="BOOL", r="BOOL")
RUNGS = in_frame(
    comment(50, "first", 0, 0) + rail(1, 20) + contact(2, "a", [1], 20, 20) + coil(3, "q", [2], 50, 20)
    + comment(51, "second", 0, 100) + rail(4, 120) + contact(5, "a", [4], 20, 120) + coil(6, "r", [5], 50, 120)
    + comment(52, "beside *) the coil", 100, 122), VARIABLES,
).replace("\n", "")  # fmt: skip
TOLD = {
    "st": "(* first *)\nq := a;\n\n(* second\n   beside * ) the coil *)\nr := a;\n",
    "ladder": """\
(* first *)
|  a                                                        q                 |
+--| |------------------------------------------------------( )---------------+

(* second
   beside * ) the coil *)
|  a                                                        r                 |
+--| |------------------------------------------------------( )---------------+
""",
}


@pytest.mark.parametrize("to", TOLD)
def test_comments_stand_at_their_rungs(to):
    """In a file that is one line too; what would end a comment early is spaced out."""
    assert body_of(RUNGS, to) == TOLD[to]


def test_words_beside_objects_are_said_of_their_network():
    """Documentation of a contact and of a coil."""
    text = RUNGS.replace("</contact>", "<documentation><p>looks</p></documentation></contact>")
    assert body_of(text, "st").count("looks") == 2


@pytest.mark.parametrize("body", ["", rail(1, 0), rail(1, 0) + '<rightPowerRail localId="2"/>'])
def test_a_drawing_with_nothing_in_it_does_nothing(body):
    """It is empty as text too; what is said in it is said of the program."""
    assert body_of(in_frame(body, VARIABLES), "st") == ";\n"
    text = in_frame(body + comment(9, "nothing yet", 0, 0), VARIABLES)
    assert "(* nothing yet *)\nPROGRAM p" in of_project(Project(text, "way.xml", read=read_xml), "xml", "st")


CHART = in_frame(
    comment(90, "the whole", 0, 0)
    + '<step localId="1" name="S" initialStep="true"><position x="0" y="10"/><connectionPointIn>'
    '<connection refLocalId="2"/></connectionPointIn><documentation><p>waits</p></documentation></step>'
    '<actionBlock localId="3"><position x="90" y="10"/><connectionPointIn><connection refLocalId="1"/>'
    '</connectionPointIn><action localId="4" qualifier="N"><reference name="q"/></action>'
    "<documentation><p>lights</p></documentation></actionBlock>"
    '<transition localId="2"><position x="0" y="90"/><connectionPointIn><connection refLocalId="1"/>'
    '</connectionPointIn><condition><inline name=""><ST><p>a</p></ST></inline></condition></transition>'
    + comment(91, "when", 40, 92), VARIABLES, "SFC",
)  # fmt: skip
CHARTED = """\
(* the whole
   lights
   waits *)
INITIAL_STEP S:
  q(N);
END_STEP

(* when *)
TRANSITION FROM S TO S
  := a;
END_TRANSITION
"""


def test_comments_of_a_chart_are_said_of_its_parts():
    """Comments beside a chart of what is nearest to them, words of an action block of its step; and so in XML again."""
    assert body_of(CHART, "st") == CHARTED
    back = of_project(Project(CHART, "way.xml", read=read_xml), "xml", "xml")
    assert body_of(back, "st") == body_of(CHART, "st")


def test_words_of_lists_and_bodies_are_kept():
    """Of a list of variables they stand at its first, of a body at the program."""
    text = RUNGS.replace("</localVars>", "<documentation><p>all of them</p></documentation></localVars>")
    text = text.replace("</LD>", "</LD><documentation><p>drawn by hand</p></documentation>")
    made = of_project(Project(text, "way.xml", read=read_xml), "xml", "st")
    assert "(* drawn by hand *)\nPROGRAM p\nVAR\n  a : BOOL; (* all of them *)\n" in made
