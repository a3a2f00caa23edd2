"""What the author of a Python program wrote beside it: comments, with the rows that they belong to.

Rule: a comment goes with the first thing that is made below it in the same paragraph, or in its own row; it changes
nothing.
"""

import ast
import re
from io import StringIO
from tokenize import COMMENT, TokenError, generate_tokens
from typing import Final

_TOOL: Final = re.compile(r"\s*#?\s*(fmt: \w+|noqa.*|type: ignore.*)$")


class Remarks:
    """The comments of one Python source.

    Args:
        file: how its places name it.
        text: the source; empty if it is not at hand.
    """

    def __init__(self, file: str, text: str) -> None:
        self.file: Final = file
        self._rows: Final = text.splitlines()
        self._comments: Final = _comments(text)
        self._told = 0
        self.head: Final = "\n\n".join(" ".join(part.split()) for part in _head(text).split("\n\n"))
        """What stands at the top of the source."""

    def at(self, file: str, line: int) -> str:
        """Give what was not given yet: the comments above a line, up to an empty row, and the one in it."""
        if file != self.file or line > len(self._rows):
            return ""
        start = line
        while start - 1 > self._told and self._rows[start - 2].strip():
            start -= 1
        found, self._told = range(max(start, self._told + 1), line + 1), max(line, self._told)
        above = " ".join(self._comments[n] for n in found if n in self._comments and n < line)
        return "\n".join(part for part in (above, self._comments.get(line, "") if line in found else "") if part)


def _comments(text: str) -> dict[int, str]:
    found: dict[int, str] = {}
    try:
        for token in generate_tokens(StringIO(text).readline):
            if token.type == COMMENT:
                found[token.start[0]] = _TOOL.sub("", token.string.lstrip("#").strip())
    except (TokenError, SyntaxError):  # what Python itself does not read has been told elsewhere
        pass
    return {line: words for line, words in found.items() if words}


def _head(text: str) -> str:
    try:
        return ast.get_docstring(ast.parse(text)) or ""
    except SyntaxError:
        return ""
