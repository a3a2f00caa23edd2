"""Small programs to be looked through: three inputs, two outputs, and the findings of one kind."""

import re

from simplant import BOOL, INT, Direction, Program, Tag
from simplant.logic.check import check_program

INPUTS = ("start", "stop", "sensor")
OUTPUTS = ("motor", "valve")


def findings(write, kind="", **options):
    """Write a program with `write(program, tags)` and give what is found, of one kind or of all."""
    tags = [Tag(name, BOOL, Direction.INPUT) for name in INPUTS]
    tags += [Tag(name, BOOL, Direction.OUTPUT) for name in OUTPUTS]
    tags.append(Tag("weight", INT, Direction.INPUT))
    program = Program("press", tags)
    write(program, program.tags)
    return [f for f in check_program(program, **options) if not kind or f.kind == kind]


def whats(write, kind, **options):
    """Give only what was found, as (severity, what)."""
    return [(f.severity, _short(f.what)) for f in findings(write, kind, **options)]


def _short(what):
    """Leave the places out of a text."""
    return re.sub(r"tests/\w+/\w+\.py:\d+", "LINE", what)


def chart(p, steps, rows, **options):
    """Declare a chart and complete it."""
    made = p.sequence("cycle", steps, **options)
    made.transitions(rows)
    return made
