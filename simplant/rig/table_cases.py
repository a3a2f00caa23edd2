"""Tables that stand beside a program and say what it must do: found by their names, run, compared.

`delay.expected.csv` beside `delay.st` (or .ladder, .xml, .py) is what comes out; `delay.in.csv`, if it is there, what
goes in. `library.Debounce.expected.csv` runs the unit Debounce of `library.st`; a further word names a case of its own
(`delay.twice.expected.csv`). Rule: a table is for every program file of its name, whatever language that is in.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from simplant.errors import UsageError
from simplant.logic.st.faces import READERS
from simplant.rig.table import first_difference, run_table
from simplant.rig.table_file import difference_text, read_bench, read_table
from simplant.timebase import Ns, ms

EXPECTED: Final = ".expected.csv"
INPUTS: Final = ".in.csv"
PERIOD: Final = ms(10)
"""Scan period of a file that gives none."""


@dataclass(frozen=True, slots=True)
class TableCase:
    """One program file and the table that says what it must do.

    Args:
        program: the file.
        unit: what of it runs; None = the only thing there is.
        expected: the table.
    """

    program: Path
    unit: str | None
    expected: Path

    @property
    def inputs(self) -> Path | None:
        """The table of inputs, if there is one."""
        path = self.expected.with_name(self.expected.name.removesuffix(EXPECTED) + INPUTS)
        return path if path.is_file() else None

    def difference(self) -> str:
        """Run it; give the first difference in words, "" if there is none.

        Raises:
            SimplantError: a file is wrong, or a scan fails.
        """
        bench, _ = read_bench(self.program, self.unit)
        rows = read_table(self.inputs, bench) if self.inputs else []
        expected = read_table(self.expected, bench)
        if not expected:
            raise UsageError(f"{self.expected} expects nothing", mend="write a row: time, then what is expected")
        last = max(r.time for r in (*rows, *expected))
        until = Ns(-(-last // PERIOD) * PERIOD)
        different = first_difference(bench, run_table(bench, rows, PERIOD, until), expected)
        return difference_text(different) if different is not None else ""

    def command(self) -> str:
        """Give the command that shows the same again."""
        unit = f" --unit {self.unit}" if self.unit else ""
        given = f" --in {self.inputs.as_posix()}" if self.inputs else ""
        return f"simplant table {self.program.as_posix()}{unit}{given} --expect {self.expected.as_posix()}"


def is_expected(path: Path) -> bool:
    """Say whether a file is a table of what a program beside it must do."""
    return path.name.endswith(EXPECTED) and any(_programs(path))


def _programs(expected: Path) -> Iterator[Path]:
    stem = expected.name.partition(".")[0]
    for suffix in (*READERS, ".py"):
        program = expected.with_name(stem + suffix)
        if program.is_file():
            yield program


def cases(expected: Path) -> Iterator[TableCase]:
    """Give what a table is for: every program file of its name.

    Raises:
        SimplantError: a program cannot be read.
    """
    words = expected.name.removesuffix(EXPECTED).split(".")[1:]
    for program in _programs(expected):
        unit = words[0] if words and program.suffix != ".py" and _has_unit(program, words[0]) else None
        yield TableCase(program, unit, expected)


def _has_unit(program: Path, name: str) -> bool:
    from simplant.logic.st.project import read_project  # noqa: PLC0415 - only where a name must be told from a case

    return name.upper() in read_project(program).names.units
