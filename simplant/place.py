"""Where the author of a program or a rule wrote a line: found on the stack, once for all that is built in Python.

What a place is stands in errors.py; how a file is named to people is files.py. Nothing here opens a file. Rule: the
nearest caller outside simplant is the author.
"""

import sys
from typing import Final

from simplant.errors import Place

OF_A_MACHINE: Final = "simplant_machine_"
"""How the modules of a machine's own files are named; their code bears the name that people are to see."""

_PACKAGE: Final = __name__.partition(".")[0]


def written_at() -> Place:
    """Give the author's line. Other files than a machine's are named from the root of their package."""
    frame = sys._getframe(1)  # the only way to know which line of a Python program made a rung or a rule
    while frame.f_back is not None and frame.f_globals.get("__name__", "").partition(".")[0] == _PACKAGE:
        frame = frame.f_back
    module, file = frame.f_globals.get("__name__", ""), frame.f_code.co_filename.replace("\\", "/")
    if not module.startswith(OF_A_MACHINE):
        parts = file.split("/")
        file = "/".join(parts[-(module.count(".") + 1 + (parts[-1] == "__init__.py")) :])
    return Place(file, frame.f_lineno)
