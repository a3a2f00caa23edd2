"""Recording a run: changes and events as they come, in memory or straight to disk.

What a line looks like is trace.py. Rule: `change` only appends (it is called for every change of
a run); the work is done in `spill`, once per instant at most, and the file appears at the end.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import Final

from simplant.files import AtomicText
from simplant.scenario.trace import EVENT, Row, Trace, header_text, rows_text
from simplant.timebase import Ns
from simplant.values import Value

CHUNK: Final = 4096
"""Rows kept in memory before they go to disk."""


class Recorder:
    """Takes the changes of one run.

    With `to`, rows go to that file in chunks and memory stays flat; the file appears when the
    recorder is closed, and not at all if the run fails. Without it they stay in memory.

    `append((now, name, value))` is `change(now, name, value)` without the call in between.

    Args:
        header: what to show above the rows.
        to: the file, or None.

    Raises:
        UsageError: the file cannot be written.
    """

    def __init__(self, header: Mapping[str, str], to: Path | str | None = None) -> None:
        """Open the file, if there is one."""
        self.header: Final = dict(header)
        self.path: Final = None if to is None else Path(to)
        self.rows: list[Row] = []
        self.append: Final[Callable[[Row], None]] = self.rows.append
        self._text = None if to is None else AtomicText(to)
        if self._text is not None:
            self._text.file.write(header_text(self.header))

    def change(self, now: Ns, name: str, value: Value) -> None:
        """Note that a value changed."""
        self.append((now, name, value))

    def event(self, now: Ns, text: str) -> None:
        """Note something that happened; line breaks and runs of blanks become one blank."""
        self.append((now, EVENT, " ".join(text.split())))

    def spill(self) -> None:
        """Move rows to disk if there are enough; the rig calls this after each instant."""
        if self._text is not None and len(self.rows) >= CHUNK:
            self._write()

    def _write(self) -> None:
        assert self._text is not None, "only a recorder with a file writes"
        self._text.file.write(rows_text(self.rows))
        self.rows.clear()

    def trace(self) -> Trace:
        """Give what was recorded; after closing a recorder with a file, read that instead."""
        assert self._text is None, "the rows are on disk: read them with TraceFile"
        return Trace(tuple(self.rows), self.header)

    def close(self) -> None:
        """Write the rest and put the file in place; raises `UsageError` if that cannot be done."""
        if self._text is not None:
            self._write()
            self._text.keep()

    def abandon(self) -> None:
        """Drop the file."""
        if self._text is not None:
            self._text.discard()

    def __enter__(self) -> "Recorder":
        """Give itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        """Close it, or abandon it if the run failed."""
        if kind is None:
            self.close()
        else:
            self.abandon()
