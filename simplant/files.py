"""Text files that appear whole or not at all, and how a file is named to people.

The only place that writes a file a user asked for; what stands in it is decided above. Reading
is left to `Path`. Rule: UTF-8 and line feeds, written beside the target under a temporary name
and moved over it with `os.replace`, so a run that fails leaves the old file as it was.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from simplant.errors import UsageError


def shown(path: Path | str) -> str:
    """Name a file as people know it: from the current folder on if it lies in it, else as it was given; with `/`."""
    given = Path(path)
    whole, here = given.absolute(), Path.cwd()
    return (whole.relative_to(here) if whole.is_relative_to(here) else given).as_posix()


class AtomicText:
    """A text file being written: `file` takes the text, `keep` puts it in place, `discard` drops it.

    Args:
        path: where it is to stand in the end; its folder must exist.

    Raises:
        UsageError: the file cannot be written there.
    """

    def __init__(self, path: Path | str) -> None:
        """Open the temporary file."""
        self.path = Path(path)
        self._part = self.path.with_name(f".{self.path.name}.{os.getpid()}.part")
        if self.path.is_dir():
            raise UsageError(f"{self.path} cannot be written", "it is a folder", "name a file in it")
        if not self.path.parent.is_dir():
            raise UsageError(
                f"{self.path} cannot be written", f"there is no folder {self.path.parent}", "make the folder first"
            )
        try:
            self.file: TextIO = self._part.open("w", encoding="utf-8", newline="\n")
        except OSError as error:
            raise self._refused(error) from None

    def _refused(self, error: OSError) -> UsageError:
        return UsageError(f"{self.path} cannot be written", error.strerror or str(error))

    def keep(self) -> None:
        """Close it and move it over the target; raises `UsageError` if the target is held open by another."""
        self.file.close()
        try:
            os.replace(self._part, self.path)
        except OSError as error:
            self._part.unlink(missing_ok=True)
            raise self._refused(error) from None

    def discard(self) -> None:
        """Close it and remove it; the target stays as it was."""
        self.file.close()
        self._part.unlink(missing_ok=True)


@contextmanager
def replacing(path: Path | str) -> Iterator[TextIO]:
    """Give a text file to write to; it appears at `path` only if the block ends without an exception."""
    text = AtomicText(path)
    try:
        yield text.file
    except BaseException:
        text.discard()
        raise
    text.keep()


def write_text(path: Path | str, text: str) -> None:
    """Write a whole text to `path` at once; raises `UsageError` if that cannot be done."""
    with replacing(path) as file:
        file.write(text)


def write_bytes(path: Path | str, content: bytes) -> None:
    """Write a whole picture or the like to `path` at once; raises `UsageError` if that cannot be done."""
    with replacing(path) as file:
        file.buffer.write(content)
