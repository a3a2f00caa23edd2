"""Walking over the tokens of a source: looking, taking, wanting, and going on after a mistake.

The grammar is parse*.py. Rule: what was wanted is said in the words of the language, never of a grammar.
"""

from collections.abc import Callable, Iterator
from typing import Final, TypeVar

from simplant.errors import Place
from simplant.logic.st.report import Fault, Report, fail
from simplant.logic.st.tokens import Token, split

DEEPEST: Final = 40
"""Expressions within expressions, or statements within statements."""

_WORDS: Final = """
IF THEN ELSIF ELSE END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL END_REPEAT EXIT
RETURN CONTINUE AND OR XOR NOT MOD TRUE FALSE VAR VAR_INPUT VAR_OUTPUT VAR_IN_OUT VAR_TEMP VAR_GLOBAL VAR_EXTERNAL
VAR_ACCESS VAR_CONFIG END_VAR PROGRAM END_PROGRAM FUNCTION END_FUNCTION FUNCTION_BLOCK END_FUNCTION_BLOCK TYPE
END_TYPE STRUCT END_STRUCT ARRAY CONFIGURATION END_CONFIGURATION RESOURCE END_RESOURCE AT
"""
KEYWORDS: Final = frozenset(_WORDS.split())
ENDS: Final = (
    "END_IF", "ELSIF", "ELSE", "END_CASE", "END_FOR", "END_WHILE", "END_REPEAT", "UNTIL", "END_PROGRAM",
    "END_FUNCTION", "END_FUNCTION_BLOCK", "PROGRAM", "FUNCTION", "FUNCTION_BLOCK", "TYPE", "CONFIGURATION", "VAR",
    "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_TEMP", "VAR_EXTERNAL", "VAR_GLOBAL", "END_VAR",
    "END_ACTION", "END_NAMESPACE",
)  # fmt: skip
"""Words before which a row of statements ends."""
_T = TypeVar("_T")


class Cursor:
    """Stands on one token; `last` is the one before."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self.tokens = split(report)
        self.position = 0
        self.token = self.last = self.tokens[0]
        self.depth = 0
        self.namespaces: frozenset[str] = frozenset()
        self.beyond: set[str] = set()

    def place(self, token: Token | None = None) -> Place:
        """Give the place of a token, or of the present one."""
        return self.report.place((token or self.token).at)

    def ahead(self, count: int = 1) -> Token:
        """Look at a later token."""
        return self.tokens[min(self.position + count, len(self.tokens) - 1)]

    def onward(self, count: int = 0) -> Iterator[Token]:
        """Look at the tokens from here on, or from a later one on."""
        return (self.tokens[n] for n in range(self.position + count, len(self.tokens)))

    def step(self) -> Token:
        """Take the present token."""
        self.last = self.token
        self.position = min(self.position + 1, len(self.tokens) - 1)
        self.token = self.tokens[self.position]
        return self.last

    def back_to(self, position: int) -> None:
        """Stand where one stood before."""
        self.position = position
        self.token = self.tokens[position]

    def at(self, *words: str) -> bool:
        """Say whether one of these words or marks stands here."""
        return self.token.word in words and self.token.kind in ("name", "mark")

    def taken(self, *words: str) -> bool:
        """Take one of these words or marks if it stands here."""
        if self.at(*words):
            self.step()
            return True
        return False

    def want(self, word: str, after: str = "") -> Token:
        """Take a word or mark that must stand here."""
        if not self.at(word):
            self.unexpected(f"{word!r}{' ' + after if after else ''}")
        return self.step()

    def want_name(self, what: str) -> Token:
        """Take a name that must stand here."""
        if self.token.kind == "name" and self.token.word in KEYWORDS:
            mend = "choose another name" if self.ahead().text in (":", ",") else ""
            there = f"{self.token.text!r} stands where {what} is wanted"
            fail(self.place(), there, "it is a word of the language", mend, len(self.token.text))
        if self.token.kind != "name":
            self.unexpected(what)
        if not self.token.text.isascii() and self.token.word not in self.beyond:
            self.beyond.add(self.token.word)
            what = f"{self.token.text!r} has letters beyond A to Z"
            self.report.loose(self.place(), what, "names are of A to Z, digits and _", len(self.token.text))
        return self.step()

    def unqualified(self) -> None:
        """Pass over the namespaces before a name: `tools.math.` of `tools.math.plus`."""
        while self.token.word in self.namespaces and self.ahead().text == "." and self.ahead(2).kind == "name":
            self.step()
            self.step()

    def unexpected(self, wanted: str) -> None:
        """Give up: something else stands where `wanted` should."""
        token = self.token
        if token.kind == "name" and token.word in self.report.broken:
            raise Fault(self.report.broken[token.word])
        there = "the file ends" if token.kind == "end" else f"{token.text!r} stands"
        fail(self.place(), f"{there} where {wanted} is wanted", length=max(1, len(token.text)))

    def deeper(self, read: Callable[[], _T]) -> _T:
        """Read something inside something else; too deep is a mistake, not a crash."""
        self.depth += 1
        try:
            if self.depth > DEEPEST:
                fail(self.place(), f"more than {DEEPEST} things stand in one another here", mend="give parts names")
            return read()
        finally:
            self.depth -= 1

    def guarded(self, read: Callable[[], _T], *until: str) -> _T | None:
        """Read something; after a mistake note it and go on behind the next `;`, or before one of these words."""
        start = self.position
        try:
            return read()
        except Fault as fault:
            self.report.add(fault.mistake)
            self.skip(start, until)
            return None

    def skip(self, start: int, until: tuple[str, ...]) -> None:
        """Go on behind the next `;`, or before one of these words; never without a step forward."""
        if self.position == start:
            self.step()
        while self.token.kind != "end" and not self.at(*until) and not self.closes():
            if self.step().text == ";":
                return

    def closes(self) -> bool:
        """Say whether a word stands here that closes elsewhere what is open; who reads statements knows."""
        return False
