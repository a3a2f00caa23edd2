"""The smallest machine worth testing: a button, a lamp behind a timer, one rule; written as files of a project."""

FILES = {
    "programs/tiny/io.csv": """\
tag,type,direction,address,device,safe
start_pressed,BOOL,in,%IX0.0,start.contact,
lamp_cmd,BOOL,out,%QX0.0,lamp.on,0
""",
    "programs/tiny/machine.toml": """\
[machine]
title = "A button and a lamp"
rules = "rules.py"

[parts.start]
part = "push_button"

[parts.lamp]
part = "lamp"
""",
    "programs/tiny/logic.py": """\
from simplant import Program, ms

def build(tags):
    p = Program("tiny", tags)
    held = p.ton("held", p.tags.start_pressed, ms(100))
    p.rung(p.tags.lamp_cmd, held.Q)
    return p
""",
    "programs/tiny/rules.py": """\
from simplant import seconds
from simplant.rules import output_at_most

def build(machine):
    return [output_at_most(machine.program.tags.lamp_cmd, seconds(1), name="lamp not overheated")]
""",
    "scenarios/tiny/calm.toml": """\
machine = "tiny"
length = "2s"
stimulus = [{ at = "500ms", on = "start", do = "press", for = "300ms" }]
[expect]
tags = { lamp_cmd = false }
""",
}


def lay_out(pytester, **changed):
    """Write the project, with some files changed or added (`/` is `__`, `.` is `_DOT_`)."""
    more = {name.replace("__", "/").replace("_DOT_", "."): text for name, text in changed.items()}
    for name, text in {**FILES, **more}.items():
        path = pytester.path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
