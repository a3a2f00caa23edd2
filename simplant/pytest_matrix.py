"""A machine's cause-and-effect matrix (`programs/NAME/matrix.csv`) as test items: one for each cell, empty ones too.

The table and its tests are campaign/matrix*.py; pytest_plugin.py hangs this into pytest. Rule: pytest loads this module
in every project, so everything of simplant's is imported where it is used.
"""

from collections.abc import Iterable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from simplant.campaign.matrix import Tested


def matrix_file(file_path: Path, parent: pytest.Collector) -> "MatrixFile | None":
    """Take the matrix of a machine; leave all other files alone."""
    if file_path.name != "matrix.csv" or not (file_path.parent / "machine.toml").is_file():
        return None
    return MatrixFile.from_parent(parent, path=file_path)


class MatrixFile(pytest.File):
    """A matrix."""

    def collect(self) -> Iterable[pytest.Item]:
        """Give a test for each cell."""
        from simplant.campaign.matrix import matrix_of
        from simplant.rig.machine import Machine

        matrix = matrix_of(Machine.load(self.path.parent))
        for row, cause in enumerate(matrix.causes):
            for column, effect in enumerate(matrix.effects):
                number = row * len(matrix.effects) + column
                yield CellItem.from_parent(self, name=f"{cause.name} -> {effect.name}", number=number)

    @cached_property
    def tested(self) -> "tuple[Tested, ...]":
        """Every cell after all drills: run once, when the first cell is looked at."""
        from simplant.campaign.matrix import every_cell
        from simplant.rig.machine import Machine

        return every_cell(Machine.load(self.path.parent))

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Say why the table cannot be read; no Python lines."""
        from simplant.errors import SimplantError

        if isinstance(excinfo.value, SimplantError):
            return str(excinfo.value)
        return super().repr_failure(excinfo)


class CellBroken(Exception):  # noqa: N818 - it is a finding, no error
    """A cell does not hold."""


class CellItem(pytest.Item):
    """One cell."""

    def __init__(self, *, number: int, **given: Any) -> None:
        """Keep which."""
        super().__init__(**given)
        self.number = number

    def runtest(self) -> None:
        """Look at what the drills say of it."""
        assert isinstance(self.parent, MatrixFile), "a cell is collected by its matrix"
        each = self.parent.tested[self.number]
        if each.wrong:
            told = "\n".join(f"  {drill}: {what}" for drill, what in each.wrong)
            raise CellBroken(f"{each.cause} -> {each.effect} ({each.cell.mark.value or 'not marked'})\n{told}")
        if not each.tested:
            pytest.skip("no drill puts it to the test")

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Say what is wrong, and how to see it again; no Python lines."""
        if not isinstance(excinfo.value, CellBroken):
            return super().repr_failure(excinfo, style)
        return f"{excinfo.value}\nagain: simplant matrix {self.path.parent.as_posix()}"

    def reportinfo(self) -> tuple[Path, int, str]:
        """Name it in reports."""
        return self.path, 0, f"cell {self.name}"
