"""Reading a text file that a user named: what can be wrong with it before its contents are.

Writing is simplant/files.py. Rule: a missing file, a folder and bytes that are not UTF-8 each
have one message, the same on every system.
"""

from collections.abc import Iterator
from pathlib import Path

from simplant.errors import Place, ScenarioError
from simplant.files import shown


def read_text(path: Path | str, what: str) -> str:
    """Read a whole file as UTF-8 (a byte order mark is dropped, any line ending becomes a line feed).

    Args:
        path: the file.
        what: what it should be, for the error (`scenario`, `trace`).

    Raises:
        ScenarioError: it is not there, is a folder, cannot be read or is not UTF-8.
    """
    path = Path(path)
    _check_file(path, what)
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise ScenarioError(
            f"the {what} cannot be read", error.strerror or str(error), place=Place(shown(path))
        ) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ScenarioError(
            f"this {what} is not UTF-8",
            f"byte {error.start + 1} is 0x{raw[error.start]:02X}",
            "save it as UTF-8 in your editor",
            Place(shown(path), line),
        ) from None
    return text.replace("\r\n", "\n")


def read_lines(path: Path | str, what: str) -> Iterator[str]:
    """Read a file line by line, as `read_text` would whole; raises `ScenarioError` as it does."""
    path = Path(path)
    _check_file(path, what)
    try:
        with path.open(encoding="utf-8-sig") as lines:
            yield from lines
    except UnicodeDecodeError:
        read_text(path, what)  # says where


def _check_file(path: Path, what: str) -> None:
    place = Place(shown(path))
    if path.is_dir():
        raise ScenarioError(f"this is a folder, not a {what}", mend=f"name a {what} file in it", place=place)
    if not path.exists():
        raise ScenarioError(f"there is no such {what}", mend="check the path", place=place)
