"""Tables beside a program as test items (`delay.in.csv`, `delay.expected.csv` beside `delay.st`).

Finding and running them is rig/table_cases.py; pytest_plugin.py hangs this into pytest. Rule: pytest loads this module
in every project, so everything of simplant's is imported where it is used.
"""

import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from simplant.rig.table_cases import TableCase


def table_file(file_path: Path, parent: pytest.Collector) -> "TableFile | None":
    """Take a table of what a program beside it must do; leave all other files alone."""
    if not file_path.name.endswith(".expected.csv"):
        return None
    from simplant.rig.table_cases import is_expected

    return TableFile.from_parent(parent, path=file_path) if is_expected(file_path) else None


class TableFile(pytest.File):
    """A table of what is expected."""

    def collect(self) -> Iterable[pytest.Item]:
        """Give a test for each program file of its name."""
        from simplant.rig.table_cases import cases

        for case in cases(self.path):
            yield TableItem.from_parent(self, name=case.program.name, case=case)

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException]) -> Any:  # type: ignore[override] # as pytest
        """Say why the program cannot be read; no Python lines."""
        return _plain(excinfo) or super().repr_failure(excinfo)


class TableDiffers(Exception):  # noqa: N818 - it is a finding, no error
    """A program did not do what its table says."""


class TableItem(pytest.Item):
    """A program that is run on its table of inputs."""

    def __init__(self, *, case: "TableCase", **given: Any) -> None:
        """Keep what is run."""
        super().__init__(**given)
        self.case = case

    def runtest(self) -> None:
        """Run it."""
        difference = self.case.difference()
        if difference:
            raise TableDiffers(difference)

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Say what differs first, and how to see it again; no Python lines."""
        told = _plain(excinfo)
        if told is None:
            return super().repr_failure(excinfo, style)
        here = f"{self.config.invocation_params.dir}{os.sep}"
        return f"{told}\nagain: {self.case.command()}".replace(here, "").replace(here.replace(os.sep, "/"), "")

    def reportinfo(self) -> tuple[Path, int, str]:
        """Name it in reports."""
        return self.path, 0, f"table {self.path.name} of {self.name}"


def _plain(excinfo: pytest.ExceptionInfo[BaseException]) -> str | None:
    from simplant.errors import SimplantError

    return str(excinfo.value) if isinstance(excinfo.value, TableDiffers | SimplantError) else None
