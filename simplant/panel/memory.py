"""The retained memory of a machine in a file, from one session to the next.

Its form is scenario/memory_file.py. Rule: it is written when it changed, at most once a second, and at the end; whole
or not at all.
"""

from pathlib import Path
from typing import Final

from simplant.panel.session import Session
from simplant.scenario.memory_file import write_memory
from simplant.values import Value


class Memory:
    """One file of retained memory."""

    def __init__(self, path: Path) -> None:
        self.path: Final = path
        self._written: dict[str, Value] | None = None
        self._next = float("-inf")

    def keep(self, session: Session, now: float) -> None:
        """Write it if it changed and a second has gone by (`inf`: in any case)."""
        if now < self._next:
            return
        kept = session.kept()
        if kept != self._written:
            write_memory(self.path, session.machine.name, kept)
            self._written = kept
            self._next = now + 1.0
