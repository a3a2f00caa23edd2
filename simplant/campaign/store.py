"""Results on disk as they come: one row for each case, by a digest of all that it depends on.

What is asked and answered is campaign.py's affair. Rule: a row is written whole or not at all, and never twice; a
result is found again only if nothing it depends on has changed, simplant's own source included.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from hashlib import blake2b
from pathlib import Path
from types import TracebackType
from typing import Final, Self

import simplant
from simplant.errors import UsageError

_TABLE: Final = "CREATE TABLE IF NOT EXISTS result (key TEXT PRIMARY KEY, asked TEXT, answer TEXT) WITHOUT ROWID"
_WAIT: Final = 60.0
"""Seconds for which another process that writes is waited for."""


class Store:
    """A file of results, or none (`path` None: they are kept in memory only).

    Raises:
        UsageError: the file cannot be written, or is no such file.
    """

    def __init__(self, path: Path | None) -> None:
        """Open it."""
        self.path: Final = path
        with _told(path):
            self._base: Final = sqlite3.connect(path or ":memory:", timeout=_WAIT, isolation_level=None)
            self._base.execute("PRAGMA journal_mode=WAL")
            self._base.execute("PRAGMA synchronous=NORMAL")
            self._base.execute(_TABLE)

    def known(self) -> dict[str, str]:
        """Give every answer by its key."""
        with _told(self.path):
            return dict(self._base.execute("SELECT key, answer FROM result"))

    def keep(self, key: str, asked: str, answer: str) -> None:
        """Write one answer; one that is there already stays."""
        with _told(self.path):
            self._base.execute("INSERT OR IGNORE INTO result VALUES (?, ?, ?)", (key, asked, answer))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._base.close()


@contextmanager
def _told(path: Path | None) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise UsageError(
            f"the results cannot be kept in {path}", str(error),
            "make room or name another file; what is in it stays, and the same command goes on from there",
        ) from None  # fmt: skip


def key_of(*parts: str) -> str:
    """Give the key of a case: a digest of what it depends on, and of simplant itself."""
    digest = blake2b(house(), digest_size=16)
    for part in parts:
        digest.update(f"{len(part)}:{part}".encode())
    return digest.hexdigest()


@cache
def house() -> bytes:
    """Give a digest of simplant's own source."""
    folder = Path(simplant.__file__).parent
    digest = blake2b(digest_size=16)
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.digest()
