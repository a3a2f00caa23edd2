"""Which reader reads which file of a program in one of the standard's languages, by the ending of its name.

Python programs are none of these: a machine's logic.py is run, not read. Rule: one row a kind of file.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from simplant.errors import UsageError
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.declared import File
from simplant.logic.st.parse import parse
from simplant.logic.st.report import Report
from simplant.logic.xml.read import read_xml

READERS: Final[dict[str, Callable[[Report], File]]] = {".st": parse, ".ladder": read_ladder, ".xml": read_xml}


def reader_of(path: Path) -> Callable[[Report], File]:
    """Give what reads a file; raises `UsageError` for an ending that no reader has."""
    found = READERS.get(path.suffix.lower())
    if found is None:
        raise UsageError(f"{path} is of no kind that can be read", mend=f"name it with one of: {', '.join(READERS)}")
    return found
