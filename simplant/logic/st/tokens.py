"""Words, literals and marks of a Structured Text source; comments and pragmas are passed over.

What a literal means is literals.py; letters and numbers of other languages are strange.py. Rule: every token knows
where it stands; what is no token of the standard is named, and what is meant stands in its place.
"""

import re
from dataclasses import dataclass, field
from typing import Final

from simplant.logic.st.foreign import MARKS, habit
from simplant.logic.st.report import Report
from simplant.logic.st.strange import address, comment, prefixed, strange

_LETTERS: Final = "".join(mark for mark in MARKS if not mark.isascii())
_NAME: Final = r"[^\W\d]\w*"
_TIME: Final = r"(?:T|TIME|LT|LTIME|S5T|S5TIME)\#[+-]?\.?\d(?:\w|\.(?=\d))*"
_CLOCK: Final = r"\d+:\d+(?::\d[\d_]*(?:\.\d[\d_]*)?)?"
_DATE: Final = rf"(?:(?:D|DATE|LD|LDATE)\#\d+-\d+-\d+|(?:TOD|TIME_OF_DAY|LTOD|LTIME_OF_DAY)\#{_CLOCK}"
_STAMP: Final = rf"|(?:DT|DATE_AND_TIME|LDT|LDATE_AND_TIME)\#\d+-\d+-\d+(?:-{_CLOCK})?)"
_NUMBER: Final = r"\d+\#[0-9A-Za-z_]+|\d[\d_]*(?:\.\d[\d_]*)?(?:[eE][+-]?\d+)?(?![\w])"
_TEXT: Final = r"'(?:\$.|[^'$\n])*'|\"(?:\$.|[^\"$\n])*\""
_TOKEN: Final = re.compile(
    rf"""[\s\ufeff]*(?:(?P<space>\Z|//[^\n]*)
    |(?P<pragma>\{{)
    |(?P<comment>\(\*|/\*)
    |(?P<address>%[IQMiqm](?:\*|[XBWDLxbwdl]?\d+(?:\.\d+)*)|%[Xx]\d+\.\d+|%[XBWDLxbwdl]\d+)
    |(?P<elsewhere>%[A-Za-z]{{1,3}}\d+(?:\.\w+)*)
    |(?P<literal>(?i:{_TIME}|{_DATE}{_STAMP})
        |{_NAME}\#[+-]?(?:{_NUMBER})|(?i:W?STRING|CHAR|WCHAR)\#(?:{_TEXT})|{_NAME}\#{_NAME}|{_NUMBER}|{_TEXT})
    |(?P<name>{_NAME})
    |(?P<mark>:=|=>|<>|<=|>=|\*\*|\.\.|==|!=|&&|\|\||=<|><|<<|>>|->|[-+*/]=|[-+*/&=<>()\[\],;:.^@!?\#|~%}}{_LETTERS}]))""",
    re.VERBOSE,
)
_NAMED: Final = re.compile(r'#[^\W\d]|#"')
_QUOTED_TARGET: Final = re.compile(r"""(?:^|;|\b(?i:then|else|do)\b)[ \t]*"[^"\n$]*"[\w.\[\]]*\s*:=""", re.MULTILINE)
_BEFORE_NAMES: Final = (".", ":", "FUNCTION_BLOCK", "FUNCTION", "PROGRAM", "TYPE", "DATA_BLOCK", "ORGANIZATION_BLOCK")
_BEHIND_NAMES: Final = re.compile(r"\s*(?:\{[^}]*\}\s*)?(?::|\((?!\*)|\[|\.\D)")
_ITEM: Final = r"\s*[^\s,;{}]+(?:\s*:?=\s*[^\s,;{}]+)?\s*"
_LIST: Final = re.compile(rf"\{{{_ITEM}(?:,{_ITEM})+\}}")
_STATEMENTS: Final = re.compile(
    r"\{\s*(?:[A-Za-z_][\w.]*(?:\[[^\]]*\])?\s*(?:[-+:]?=|\+\+|--|\()|(?i:if|case|for|return)\b)"
)
_FIELDS: Final = re.compile(r"\{\s*\w+\s*:")
_IN_BRACES: Final = {
    **dict.fromkeys((":", ":=", "="), _LIST), **dict.fromkeys((")", "ELSE", "DO", "THEN", "OF"), _STATEMENTS),
    "STRUCT": _FIELDS,
}  # fmt: skip
"""What stands elsewhere in braces, by what stands before them; anything else is a pragma."""
_LABEL: Final = re.compile(r"\s*:(?!=)")
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
    tokens = _Splitting(report).tokens()
    tokens.append(Token("end", "", "", len(report.text.rstrip())))
    return tokens


@dataclass(slots=True)
class _Splitting:
    """One source; `quoted` are the names that stood in quotes."""

    report: Report
    found: list[Token] = field(default_factory=list)
    quoted: set[str] = field(default_factory=set)
    all_quoted: bool = False
    hashed: bool = False

    def tokens(self) -> list[Token]:
        """Give the tokens."""
        text, at = self.report.text, 0
        self.all_quoted = _QUOTED_TARGET.search(text) is not None
        while at < len(text):
            match = _TOKEN.match(text, at)
            if match is None:
                at = self._strange(_after_space(text, at))
                continue
            kind = match.lastgroup or ""
            at = self._one(kind, match[kind], match.start(kind), match.end())
        return self.found

    def _one(self, kind: str, text: str, start: int, end: int) -> int:
        """Take what begins at `start`; give where to go on."""
        match kind:
            case "space":
                return end
            case "comment":
                return _after_comment(self.report, start, text)
            case "pragma":
                return self._brace(start)
            case "literal":
                kind, text = self._literal(text, start, end)
            case "elsewhere":
                kind, text = "address", address(self.report, start, text)
            case "mark":
                if text[0] in "#-" and (after := self._mark(text, start)):
                    return after
                kind, text = self._known(text, start)
            case _:
                pass
        self.found.append(Token(kind, text, text.upper(), start))
        return end

    def _strange(self, at: int) -> int:
        kind, text, end = strange(self.report, at)
        if kind:
            self.found.append(Token(kind, text, text.upper(), at))
        return end

    def _known(self, text: str, start: int) -> tuple[str, str]:
        """Give the standard's mark for one of another language."""
        if text not in MARKS:
            return "mark", text
        instead = MARKS[text]
        self.report.add(habit(self.report.place(start), repr(text), f"write {instead} instead", len(text)))
        return "name" if instead.isalpha() else "mark", instead

    def _mark(self, text: str, start: int) -> int:
        """Pass over a line that is a comment elsewhere, and over a # before a name; 0 if it is neither."""
        after = comment(self.report, start)
        if after or text != "#" or not _NAMED.match(self.report.text, start):
            return after
        if not self.hashed:
            self.report.add(habit(self.report.place(start), "'#' before a name", "leave it out"))
        self.hashed = True
        return start + 1

    def _literal(self, text: str, start: int, end: int) -> tuple[str, str]:
        """Give a literal, or the name that stands in quotes where only a name can stand."""
        if text[0] != '"':
            return "literal", prefixed(self.report, start, text)
        before = self.found[-1].word if self.found else ""
        named = before in _BEFORE_NAMES or self.report.text[start - 1 : start] == "#"
        named = named or (self.all_quoted and text[1:-1].isidentifier())
        named |= _BEHIND_NAMES.match(self.report.text, end) is not None and not self._is_label(end)
        if text not in self.quoted and not named:
            return "literal", text
        name = re.sub(r"\W", "_", text[1:-1]) or "_"
        if text not in self.quoted:
            self.report.add(habit(self.report.place(start), f"the name {text} in quotes", f"write {name}", len(text)))
        self.quoted.add(text)
        return "name", name

    def _is_label(self, end: int) -> bool:
        """Say whether a text that ends here is the label of a CASE by WCHAR."""
        if not _LABEL.match(self.report.text, end):
            return False
        return sum({"CASE": 1, "END_CASE": -1}.get(token.word, 0) for token in self.found) > 0

    def _brace(self, start: int) -> int:
        """Pass over a pragma; what stands in braces behind these is no pragma, but a list or statements."""
        end = _after_pragma(self.report, start)
        written = _IN_BRACES.get(self.found[-1].word) if self.found else None
        if written is not None and written.match(self.report.text, start, end):
            self.found.append(Token("mark", "{", "{", start))
            return start + 1
        return end


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
        if 0 <= inner < end:
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
