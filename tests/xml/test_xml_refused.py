"""What is not read from XML, and what cannot be written as XML, is refused: exact words, with the place."""

import pytest

from simplant.errors import ProgramError
from simplant.logic.st.project import Project
from simplant.logic.xml.write import write_xml
from tests.xml.drawn import RAIL, coil, contact, declared, in_frame, told

BOMB = """<?xml version="1.0"?>
<!DOCTYPE project [<!ENTITY a "boom"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>
<project>&b;</project>"""
OUTSIDE = """<!DOCTYPE project [<!ENTITY a SYSTEM "file:///etc/hostname">]><project>&a;</project>"""
OPEN = '<project xmlns="http://www.plcopen.org/xml/tc6_0201"><types><pous>\n'
CLOSE = "\n</pous></types></project>"


def pou(inside, kind="program"):
    return f'{OPEN}<pou name="p" pouType="{kind}">{inside}</pou>{CLOSE}'


CASES = {
    "an entity bomb": (BOMB, ["2:19 error: a document type is declared"]),
    "an entity from outside": (OUTSIDE, ["1:19 error: a document type is declared"]),
    "an unknown entity": ("<project>&x;</project>", ["1:10 error: this is no XML: undefined entity"]),
    "no XML": ("PROGRAM p END_PROGRAM", ["1:1 error: this is no XML: syntax error"]),
    "nothing": ("", ["1:1 error: this is no XML: no element found"]),
    "not closed": ("<project><types></project>", ["1:19 error: this is no XML: mismatched tag"]),
    "another root": ("<svg/>", ["1:1 error: <svg> is no project of IEC 61131-10 or TC6 XML"]),
    "too deep": (
        f"<project>{'<a>' * 70}{'</a>' * 70}</project>", ["1:187 error: more than 60 elements stand in one another"],
    ),
    "the list language": (pou("<body><IL>LD a</IL></body>"), ["2:39 error: the body is in the list language"]),
    "two bodies": (pou("<body><ST/></body><body><ST/></body>"), ["2:51 warning: the pou has several bodies"]),
    "bodies in two languages": (
        pou("<body><ST/></body><body><LD/></body>"), ["2:51 error: the pou has bodies in LD and ST"],
    ),
    "a class": (pou("", "class"), ["2:1 error: p is a class"]),
    "a pointer": (
        pou('<interface><localVars><variable name="a"><type><pointer/></type></variable></localVars></interface>'),
        ["2:80 error: a pointer is declared"],
    ),
    "a name": (
        pou('<interface><localVars><variable name="a-b"><type><INT/></type></variable></localVars></interface>'),
        ["2:55 error: 'a-b' is no name"],
    ),
    "an unknown section": (
        pou("<interface><vendorVars/></interface>"),
        ["2:44 error: <vendorVars> stands in an interface, which is not read"],
    ),
    "an unknown part": (pou("<methods/>"), ["2:33 error: <methods> stands in the pou p, which is not read"]),
    "actions without a chart": (
        pou('<actions><action name="a"><body><ST/></body></action></actions><body><ST/></body>'),
        ["2:42 error: the action a stands beside a body that is no chart"],
    ),
    "additional data": (
        pou('<addData><data name="maker.example/colours"><c/></data></addData>'
            '<addData><data name="maker.example/colours"/></addData>'),
        ["2:42 warning: the file holds additional data 'maker.example/colours' at 2 places, which is not read"],
    ),
    "additional data with a page in it": (
        pou('<addData><data name="maker.example/words"><html><body><p>words</p></body></html></data></addData>'),
        ["2:42 warning: the file holds additional data 'maker.example/words', which is not read"],
    ),
    "additional data with a program in it": (
        pou('<addData><data name="maker.example/more"><globalVars/></data></addData>'),
        ["2:74 error: the additional data 'maker.example/more' hold <globalVars>",
         "2:42 warning: the file holds additional data 'maker.example/more', which is not read"],
    ),
    "several mistakes at once": (
        pou('<interface><localVars>\n<variable name="1a"><type><INT/></type></variable>\n<variable name="b"/>\n'
            "</localVars></interface><body><ST>\nc := ;\nd := 1 +;\n</ST></body>"),
        ["3:1 error: '1a' is no name", "4:1 error: <variable> has no <type>",
         "6:6 error: ';' stands where a value is wanted", "7:9 error: ';' stands where a value is wanted"],
    ),
    "a value in a contact": (
        in_frame(contact(1, "a +").replace("<variable>", "\n<variable>")),
        ["5:13 error: '+' stands behind the variable"],
    ),
    "a negated edge": (
        in_frame(contact(1, "a", negated="true", edge="rising")),
        ["4:1 error: <contact> is marked negated and rising"],
    ),
    "a number twice": (
        in_frame('<label localId="1" label="a"/>\n<label localId="1" label="b"/>'),
        ["5:1 error: two objects have the localId 1"],
    ),
    "a wire to nothing": (
        in_frame(coil(1, "a", [7])),
        ["4:1 error: it is joined to the localId 7, which nothing has"],
    ),
    "an unknown object": (
        in_frame('<lamp localId="1"/>'), ["4:1 error: <lamp> stands in a drawing, which is not read"],
    ),
    "a maker's own object": (
        in_frame('<vendorElement localId="1"><alternativeText><p>oven</p></alternativeText><inputVariables/>'
                 '<outputVariables><variable formalParameter="hot"/></outputVariables></vendorElement>'),
        ["4:1 error: an element of its maker's own is drawn here: 'oven'"],
    ),
    "a maker's own title": (
        in_frame('<vendorElement localId="1"><alternativeText><p>oven</p></alternativeText></vendorElement>'),
        ["4:1 warning: an element of its maker's own is taken for a comment: 'oven'"],
    ),
    "what was lost before": (
        in_frame('<error localId="1"><content><p>a wire</p></content></error>'),
        ["4:1 error: something could not be written where this file was made"],
    ),
    "a coil beside a chart": (
        in_frame('<step localId="1" name="a" initialStep="true"/><coil localId="2"><variable>x</variable></coil>',
                 kind="SFC"),
        ["4:48 error: a <coil> is drawn beside the chart"],
    ),
    "a macro step": (
        in_frame('<macroStep localId="1" name="m"/>', kind="SFC"), ["4:1 error: a macro step stands here"],
    ),
    "an unclear join": (
        in_frame('<step localId="1" name="a" initialStep="true"/><step localId="2" name="b"/>\n<transition localId="3">'
                 '<connectionPointIn><connection refLocalId="1"/><connection refLocalId="2"/></connectionPointIn>'
                 "<condition><inline name=''><ST>TRUE</ST></inline></condition></transition>", kind="SFC"),
        ["5:1 error: several lines meet at a transition"],
    ),
    "a time limit without a time": (
        in_frame('<step localId="1" name="a" initialStep="true"/><actionBlock localId="2"><connectionPointIn>'
                 '<connection refLocalId="1"/></connectionPointIn>\n<action qualifier="L">'
                 '<reference name="x"/></action></actionBlock>', kind="SFC"),
        ["5:1 error: the qualifier L has no time"],
    ),
    "a condition that would count": (
        in_frame('<step localId="1" name="a" initialStep="true"/><transition localId="3"><connectionPointIn>'
                 '<connection refLocalId="1"/></connectionPointIn><condition><inline name=""><FBD>\n'
                 '<block localId="1" typeName="CTU" instanceName="c"><inputVariables/><outputVariables>'
                 '<variable formalParameter="Q"/></outputVariables></block><outVariable localId="2"><connectionPointIn>'
                 '<connection refLocalId="1" formalParameter="Q"/></connectionPointIn><expression>x</expression>'
                 "</outVariable>"
                 '</FBD></inline></condition></transition><jumpStep localId="4" targetName="a"><connectionPointIn>'
                 '<connection refLocalId="3"/></connectionPointIn></jumpStep>', kind="SFC"),
        ["5:143 error: a condition is drawn that needs more than one expression"],
    ),
    "a condition at an edge": (
        in_frame('<step localId="1" name="a" initialStep="true"/><transition localId="3"><connectionPointIn>'
                 '<connection refLocalId="1"/></connectionPointIn><condition><inline name=""><LD>\n'
                 '<leftPowerRail localId="1"/><contact localId="2" edge="rising"><connectionPointIn>'
                 '<connection refLocalId="1"/></connectionPointIn><variable>x</variable></contact>'
                 '</LD></inline></condition></transition><jumpStep localId="4" targetName="a"><connectionPointIn>'
                 '<connection refLocalId="3"/></connectionPointIn></jumpStep>', kind="SFC"),
        ["5:29 error: a condition looks for an edge"],
    ),
    "an object of IEC 61131-10": (
        '<Project><Types><GlobalNamespace><Class name="c"/></GlobalNamespace></Types></Project>',
        ["1:34 error: <Class> stands here, which is not read"],
    ),
    "a text without its quotes": (
        pou('<interface><localVars><variable name="s"><type><string/></type><initialValue>'
            '<simpleValue value="good day"/></initialValue></variable></localVars></interface><body><ST/></body>'),
        ["2:110 error: the first value of s is good day, without quotes"],
    ),
    "a contact that leads nowhere": (
        in_frame(RAIL + contact(2, "a", [1]), declared(a="BOOL")),
        ["5:1 warning: the contact a leads to nothing"],
    ),
    "pins by number": (
        in_frame(
            '<block localId="1" typeName="CONCAT_DATE_TOD"><inputVariables>' + "".join(
                f'<variable formalParameter="IN{n}"><connectionPointIn><expression>{name}</expression>'
                "</connectionPointIn></variable>" for n, name in ((1, "d"), (2, "t"))
            ) + '</inputVariables><outputVariables><variable formalParameter="OUT"><connectionPointOut>'
            "<expression>m</expression></connectionPointOut></variable></outputVariables></block>",
            declared(d="DATE", t="TOD", m="DT"), "FBD",
        ),
        ["4:1 warning: the inputs of CONCAT_DATE_TOD are numbered"],
    ),
    "a line from where none begins": (
        in_frame(RAIL + contact(2, "a", [1]) + "".join(
            coil(n, name, [n - 1]).replace("coil", "outVariable").replace("variable>", "expression>")
            for n, name in ((3, "b"), (4, "c"))
        ), declared(a="BOOL", b="BOOL", c="BOOL")),
        ["5:341 warning: it is joined to an <outVariable>"],
    ),
    "a transition to two steps without a divergence": (
        pou('<body><SFC><step localId="1" name="a" initialStep="true"/>\n<transition localId="2"><connectionPointIn>'
            '<connection refLocalId="1"/></connectionPointIn>'
            '<condition><inline name=""><ST>TRUE</ST></inline></condition></transition>' + "".join(
                f'<step localId="{n}" name="s{n}"><connectionPointIn><connection refLocalId="2"/>'
                "</connectionPointIn></step>"
                for n in (3, 4)
            ) + "</SFC></body>"),
        ["3:1 warning: a transition leads to 2 places, and no divergence is drawn"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_is_refused(case):
    """Each says its line, column and what is wrong; nothing is left out without a word."""
    text, wanted = CASES[case]
    assert told(text) == wanted


MEANINGLESS = {
    "nothing before a coil": (coil(1, "a"), "nothing is joined to the coil a"),
    "a circle of contacts": (
        contact(1, "a", [2]) + contact(2, "a", [1]) + coil(3, "a", [2]), "power goes round in a circle here",
    ),
    "a continuation of nothing": (
        '<continuation localId="1" name="far"/>' + coil(2, "a", [1]), "there is no connector far",
    ),
    "a jump to nothing": (
        RAIL + coil(2, "a", [1]).replace("coil", "jump").replace("<jump", '<jump label="end"'),
        "there is no rung 'end' to jump to",
    ),
    "one instance twice": (
        RAIL + contact(9, "a", [1]) + coil(10, "a", [9]) + "".join(
            f'<block localId="{n}" typeName="R_TRIG" instanceName="t"><inputVariables><variable formalParameter="CLK">'
            '<connectionPointIn><connection refLocalId="9"/></connectionPointIn></variable></inputVariables></block>'
            for n in (2, 3)
        ) + coil(11, "a", [9, 1]),
        "t is called twice in one network",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MEANINGLESS)
def test_drawings_without_a_meaning(case):
    """A drawing that nothing says how to run is told at its place when it is checked."""
    body, wanted = MEANINGLESS[case]
    from simplant.logic.xml.read import read_xml

    text = in_frame(body, declared(a="BOOL", t="R_TRIG"))
    assert [m.what for m in Project(text, "t.xml", read=read_xml).report.errors] == [wanted]


UNSAYABLE = {
    "PROGRAM p VAR_INPUT a : BOOL R_EDGE; END_VAR ; END_PROGRAM": "an input is an R_EDGE",
    "PROGRAM p VAR a : ARRAY [1..3] OF INT := [3()]; END_VAR ; END_PROGRAM": "an initial value repeats nothing",
    "PROGRAM p ; END_PROGRAM CONFIGURATION c TASK t (PRIORITY := 1); PROGRAM i WITH t : p (a := 1); END_CONFIGURATION":
        "the program i is given values where it is declared",
    "PROGRAM p VAR a : STRING := '\x01'; END_VAR ; END_PROGRAM": "a text holds the letter U+0001",
}  # fmt: skip


@pytest.mark.parametrize("text", UNSAYABLE)
@pytest.mark.parametrize("edition", ["tc6", "iec"])
def test_what_cannot_be_written(text, edition):
    """What the schemes have no word for is refused with the reason, never dropped."""
    with pytest.raises(ProgramError) as caught:
        write_xml(Project(text, "p.st").written, "p", edition=edition)
    assert caught.value.what == UNSAYABLE[text]
