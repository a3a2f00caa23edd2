"""Words, literals and marks of a Structured Text source; comments and pragmas are passed over.

What a literal means is literals.py. Rule: every token knows where it stands, and what is no token of the standard
is named, together with what to write instead where it is a habit of other languages.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.logic.st.foreign import MARKS, habit
from simplant.logic.st.report import Report

_NAME: Final = r"[^\W\d]\w*"
_TIME: Final = r"(?:T|TIME|LT|LTIME)\#[+-]?\.?\d(?:\w|\.(?=\d))*"
_CLOCK: Final = r"\d+:\d+(?::\d[\d_]*(?:\.\d+)?)?"
_DATE: Final = rf"(?:(?:D|DATE|LD|LDATE)\#\d+-\d+-\d+|(?:TOD|TIME_OF_DAY|LTOD|LTIME_OF_DAY)\#{_CLOCK}"
_STAMP: Final = rf"|(?:DT|DATE_AND_TIME|LDT|LDATE_AND_TIME)\#\d+-\d+-\d+-{_CLOCK})"
_NUMBER: Final = r"\d+\#[0-9A-Za-z_]+|\d[\d_]*(?:\.\d[\d_]*)?(?:[eE][+-]?\d+)?(?![\w])"
_TEXT: Final = r"'(?:\$.|[^'$\n])*'|\"(?:\$.|[^\"$\n])*\""
_TOKEN: Final = re.compile(
    rf"""[\s\ufeff]*(?:(?P<space>\Z|//[^\n]*)
    |(?P<pragma>\{{)
    |(?P<comment>\(\*|/\*)
    |(?P<address>%[IQMiqm](?:\*|[XBWDLxbwdl]?\d+(?:\.\d+)*)|%[XBWDLxbwdl]\d+)
    |(?P<literal>(?i:{_TIME}|{_DATE}{_STAMP})
        |{_NAME}\#[+-]?(?:{_NUMBER})|(?i:W?STRING|CHAR|WCHAR)\#(?:{_TEXT})|{_NAME}\#{_NAME}|{_NUMBER}|{_TEXT})
    |(?P<name>{_NAME})
    |(?P<mark>:=|=>|<>|<=|>=|\*\*|\.\.|==|!=|&&|\|\||[-+*/]=|[-+*/&=<>()\[\],;:.^@!?\#|~%]))""",
    re.VERBOSE,
)
_BRACE: Final = re.compile(r"[{}]")
_SPACE: Final = re.compile(r"[\s\ufeff]+")
_CLOSING: Final = {"(*": "*)", "/*": "*/"}


@dataclass(frozen=True, slots=True)
class Token:
    """One word, literal or mark: `kind` is name, literal, address, mark or end; `word` is its text in capitals."""

    kind: str
    text: str
    word: str
    at: int


def split(report: Report) -> list[Token]:
    """Give the tokens of a source, the end mark last; what cannot be read is reported and left out."""
    tokens = list(_tokens(report))
    tokens.append(Token("end", "", "", len(report.text.rstrip())))
    return tokens


def _tokens(report: Report) -> Iterator[Token]:
    text, at = report.text, 0
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            at = _unknown(report, _after_space(text, at))
            continue
        kind = match.lastgroup or ""
        found, start = match[kind], match.start(kind)
        if kind in ("comment", "pragma"):
            at = _after_comment(report, start, found) if kind == "comment" else _after_pragma(report, start)
            continue
        at = match.end()
        if kind == "space":
            continue
        if found in MARKS and kind == "mark":
            instead = MARKS[found]
            report.add(habit(report.place(start), repr(found), f"write {instead} instead", len(found)))
            found, kind = instead, "name" if instead.isalpha() else "mark"
        yield Token(kind, found, found.upper(), start)


def _after_space(text: str, at: int) -> int:
    space = _SPACE.match(text, at)
    return space.end() if space else at


def _after_comment(report: Report, at: int, opening: str) -> int:
    """Give where a comment ends; comments of one kind may stand in one another."""
    closing, depth, here = _CLOSING[opening], 1, at + 2
    first = report.text.find(closing, here)
    while depth:
        end, inner = report.text.find(closing, here), report.text.find(opening, here)
        if end < 0 <= first:  # edition 2 has no comments in comments: this opening was only a letter in one
            return first + 2
        if end < 0:
            report.error(report.place(at), "a comment is not closed", mend=f"end it with {closing}", length=2)
            return len(report.text)
        if 0 <= inner < end and opening == "(*":
            depth, here = depth + 1, inner + 2
        else:
            depth, here = depth - 1, end + 2
    return here


def _after_pragma(report: Report, at: int) -> int:
    """Give where a pragma ends; braces may stand in one another."""
    depth = 0
    for match in _BRACE.finditer(report.text, at):
        depth += 1 if match[0] == "{" else -1
        if depth == 0:
            return match.end()
    first = report.text.find("}", at)
    if first >= 0:  # an opening brace was only a letter in it
        return first + 1
    report.error(report.place(at), "a pragma is not closed", mend="end it with }")
    return len(report.text)


def _unknown(report: Report, at: int) -> int:
    """Report a letter that begins no token; give where to go on."""
    letter, place = report.text[at], report.place(at)
    if letter in "'\"":
        end = report.text.find("\n", at)
        end = len(report.text) if end < 0 else end
        report.error(place, "a text is not closed on its line", mend=f"end it with {letter}", length=end - at)
        return end
    if letter.isdigit():
        word = re.match(r"[\w#.]+", report.text[at:])
        assert word is not None, "a digit stands here"
        mend = f"write 16#{word[0][2:]}" if word[0][:2] in ("0x", "0X") else "a name begins with a letter"
        report.error(place, f"{word[0]!r} is no number", mend=mend, length=word.end())
        return at + word.end()
    report.error(place, f"{letter!r} stands here", "it is no letter of IEC 61131-3 outside comments and texts")
    return at + 1
