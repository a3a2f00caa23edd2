"""The text of a program with the values it has now: names that are TRUE heavy, numbers behind the line.

For programs that are not written in Python: Structured Text, ladders and charts as text, what came as XML as the text
that says the same. Rule: a text is shown as it was written, and only lines with a value that changed are made anew.
"""

import re
from pathlib import Path
from typing import Final

from simplant.logic.convert.faces import read_as_text
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.source_text import read_source
from simplant.panel.lines import Line, Span, line
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig

_NAME: Final = re.compile(r"([A-Za-z_][A-Za-z0-9_]*)")


def text_of(machine: Machine) -> tuple[str, ...]:
    """Give the lines of a program's own text, or of that which says what its XML says; none of one in Python."""
    path, program = Path(machine.folder) / machine.file.machine.logic, machine.program
    if not isinstance(program, TextProgram):
        return ()
    text = read_as_text(program.project) if path.suffix.lower() == ".xml" else read_source(path)
    return tuple(text.removesuffix("\n").split("\n"))


class SourceText:
    """The lines of a text, with the values of one run."""

    def __init__(self, rig: Rig, text: tuple[str, ...]) -> None:
        known = rig.loop.blueprint.names.index
        self._names: Final = {name.upper(): name for name in rig.machine.program.declared if name in known}
        self._rig: Final = rig
        self._pieces: Final = [_NAME.split(row) for row in text]
        self._where: Final[dict[str, list[int]]] = {}
        for number, pieces in enumerate(self._pieces):
            for name in dict.fromkeys(self._names[p.upper()] for p in pieces if p.upper() in self._names):
                self._where.setdefault(name, []).append(number)
        self._values: Final[dict[str, object]] = {name: rig.value(name) for name in self._where}
        self._lines: Final = [self._line(number) for number in range(len(text))]

    def lines(self) -> list[Line]:
        """Give all lines as they now are."""
        for name, before in self._values.items():
            value = self._rig.value(name)
            if value != before:
                self._values[name] = value
                for number in self._where[name]:
                    self._lines[number] = self._line(number)
        return self._lines

    def _line(self, number: int) -> Line:
        spans: list[Span] = [(f"{number + 1:>4} ", "faint")]
        behind: dict[str, object] = {}
        for piece in self._pieces[number]:
            name = self._names.get(piece.upper(), "")
            value = self._values.get(name)
            spans.append((piece, "flow" if value is True else ""))
            if name and not isinstance(value, bool):
                behind[name] = value
        values = ", ".join(f"{name} = {value}" for name, value in behind.items())
        return line(*spans, (f"  ◄ {values}", "faint") if values else "")
