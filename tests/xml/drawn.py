"""Reading XML files in tests, and running what is in them, compiled and walked side by side."""

from pathlib import Path

from simplant.logic.compile import compile_task
from simplant.logic.st.project import Project
from simplant.logic.st.report import Report
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.logic.xml.read import read_xml
from simplant.timebase import ms

HERE = Path(__file__).parent
PERIOD = ms(10)


def text_of(name):
    return (HERE / name).read_text(encoding="utf-8")


def project(text, name="test.xml"):
    found = Project(text, name, read=read_xml)
    found.report.raise_errors()
    return found


def told(text):
    """What is wrong with a text: line, column and words of each mistake."""
    report = Report("t.xml", text)
    read_xml(report)
    return [f"{m.place.line}:{m.place.column} {m.severity}: {m.what}" for m in report.mistakes]


def rows(text, given, shown, *, unit=None, count=1):
    """Give the values of some variables after each scan; `given`: {scan number: {name: value}}, held from there on."""
    (layout,) = lay_out(project(text), unit).layouts
    fast, plain = compile_task(layout), walk_task(layout)
    names = [slot.name for slot in fast.slots]
    state, held, found = fast.initial, {}, []
    for number in range(count):
        held |= given.get(number, {})
        state = tuple(held.get(name, value) for name, value in zip(names, state, strict=True))
        after, _ = fast.run((), state, number * PERIOD)
        walked, _ = plain.run((), state, number * PERIOD)
        assert after == walked
        state = after
        values = dict(zip(names, after, strict=True))
        found.append(tuple(values[name] for name in shown))
    return found


def in_frame(body, variables="", kind="LD"):
    """A file with one program: its variables (`a b : BOOL` rows as XML) and the objects of its body."""
    return f"""<project xmlns="http://www.plcopen.org/xml/tc6_0201"><types><pous>
<pou name="p" pouType="program"><interface><localVars>{variables}</localVars></interface>
<body><{kind}>
{body}
</{kind}></body></pou></pous></types></project>"""


def declared(**types):
    """Variables as XML: name and type."""
    return "".join(f'<variable name="{n}"><type>{_type(t)}</type></variable>' for n, t in types.items())


def _type(name):
    return f"<{name}/>" if name in ("BOOL", "INT", "REAL", "TIME") else f'<derived name="{name}"/>'


def contact(number, name, after=(), x=0, y=0, **marks):
    """A contact behind some objects."""
    said = "".join(f' {k}="{v}"' for k, v in marks.items())
    joined = "".join(f'<connection refLocalId="{n}"/>' for n in after)
    return (
        f'<contact localId="{number}"{said}><position x="{x}" y="{y}"/><connectionPointIn>{joined}</connectionPointIn>'
        f"<connectionPointOut/><variable>{name}</variable></contact>"
    )


def coil(number, name, after=(), x=0, y=0, **marks):
    """A coil behind some objects."""
    return contact(number, name, after, x, y, **marks).replace("contact", "coil")


RAIL = '<leftPowerRail localId="1"><position x="0" y="0"/><connectionPointOut formalParameter=""/></leftPowerRail>\n'
