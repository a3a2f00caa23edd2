"""Letters, numbers, addresses, prefixes and names as other languages write them, and what is meant by each.

What follows from what stands around is for the reader (parse*.py). Rule: each is named, and what is meant is given in
its place, so that it costs one message.
"""

import re
from typing import Final

from simplant.logic.st.foreign import PREFIXES, habit
from simplant.logic.st.report import Report

Read = tuple[str, str, int]
"""Kind and text of a token, and where it ends; no kind: nothing stands there."""
_QUOTES: Final = "‘’‚‛“”„″′`´"
_DIRECTIVE: Final = re.compile(
    r"#\s?(region|endregion|end_region|define|undef|include|import|if|ifdef|ifndef|elif|else|endif|pragma|warning|error)\b",
    re.IGNORECASE,
)
_SUFFIXED: Final = re.compile(r"(\d[\d_.]*?)[fFuUlL]+\Z")
_HEXADECIMAL: Final = re.compile(r"(?:0[xX]([0-9A-Fa-f_]+)|([0-9][0-9A-Fa-f_]*)[hH])\Z")
_TIME: Final = re.compile(r"(?:\d+(?:\.\d+)?(?:ms|us|ns|d|h|m|s))+\Z", re.IGNORECASE)
_BEGUN: Final = re.compile(r"\b(L?T(?:IME)?#[\w.]+[ \t]+)\Z", re.IGNORECASE)
_REST: Final = re.compile(r"\d[\d_.]*(?:ms|us|ns|d|h|m|s)\b[ \t]*", re.IGNORECASE)
_LIKE: Final = {"E": "I", "A": "Q"}
_SIZES: Final = {"DBX": "X", "DBB": "B", "DBW": "W", "DBD": "D"}


def strange(report: Report, at: int) -> Read:
    """Report what begins no token of the standard; give what is meant."""
    letter, place = report.text[at], report.place(at)
    if letter in "'\"":
        return _not_closed(report, at)
    if letter in _QUOTES:
        return _quoted(report, at)
    if letter.isdigit():
        return _number(report, at)
    if letter == "$" and (found := re.match(r"\$([0-9A-Fa-f]+)", report.text[at:])):
        report.add(habit(place, found[0], f"write 16#{found[1]} instead", found.end()))
        return "literal", f"16#{found[1]}", at + found.end()
    report.error(place, f"{letter!r} stands here", "it is no letter of IEC 61131-3 outside comments and texts")
    return "", "", at + 1


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _begins(text: str, at: int) -> bool:
    """Say whether nothing, or a `;`, stands before a place on its line."""
    before = text[text.rfind("\n", 0, at) + 1 : at].strip(" \t\ufeff")
    return not before or before[-1] == ";"


def _not_closed(report: Report, at: int) -> Read:
    letter, end = report.text[at], _line_end(report.text, at)
    mend = "a comment is (* ... *)" if _begins(report.text, at) else f"end it with {letter}"
    report.error(report.place(at), "a text is not closed on its line", mend=mend, length=end - at)
    if _begins(report.text, at):
        return "", "", end
    found = re.match(r"[^;),\n]*", report.text[at + 1 :])
    assert found is not None, "it may be empty"
    return "literal", f"{letter}{found[0].rstrip()}{letter}", at + 1 + found.end()


def _quoted(report: Report, at: int) -> Read:
    """Read a text in the quotes of a word processor."""
    line = report.text[at : _line_end(report.text, at)]
    found = re.match(rf"[{_QUOTES}]([^{_QUOTES}']*)[{_QUOTES}']", line)
    length = found.end() if found else 1
    report.add(habit(report.place(at), f"the quote {line[0]}", "write ' instead", length))
    return ("literal", f"'{found[1]}'", at + length) if found else ("", "", at + 1)


def _number(report: Report, at: int) -> Read:
    found = re.match(r"[\w#.]+", report.text[at:])
    assert found is not None, "a digit stands here"
    word = found[0].rstrip(".")
    if _TIME.match(word) and (begun := _BEGUN.search(report.text, report.text.rfind("\n", 0, at) + 1, at)):
        return _torn(report, begun.start(1), at)
    kind, meant = _meant(word)
    mend = f"write {meant}" if kind == "literal" else "a name begins with a letter"
    report.error(report.place(at), f"{word!r} is no number", mend=mend, length=len(word))
    return kind, meant, at + len(word)


def _torn(report: Report, start: int, at: int) -> Read:
    """Tell of a duration with blanks in it, and pass over what stands behind them."""
    end = at
    while found := _REST.match(report.text, end):
        end = found.end()
    whole = report.text[start:end].rstrip()
    what, mend = f"blanks stand in {whole}", f"write {''.join(whole.split())}"
    report.error(report.place(start), what, "a literal has none", mend, len(whole))
    return "", "", start + len(whole)


def _meant(word: str) -> tuple[str, str]:
    if found := _HEXADECIMAL.match(word):
        return "literal", f"16#{found[1] or found[2]}"
    if word[:2] in ("0b", "0B") and set(word[2:]) <= set("01_") and word[2:]:
        return "literal", f"2#{word[2:]}"
    if _TIME.match(word):
        return "literal", f"T#{word}"
    if found := _SUFFIXED.match(word):
        return "literal", found[1]
    return "name", word


def prefixed(report: Report, at: int, text: str) -> str:
    """Give a literal with the standard's prefix: BYTE#16#FF for B#16#FF, T#5s for S5T#5s."""
    head, mark, rest = text.partition("#")
    meant = PREFIXES.get(head.upper())
    if not mark or meant is None or not rest[:1].isdigit():
        return text
    report.add(habit(report.place(at), f"{head}#", f"write {meant}#{rest} instead", len(text)))
    return f"{meant}#{rest}"


def loose_literal(report: Report, at: int, text: str) -> None:
    """Tell of a literal that has one meaning, but that the standard does not write so: `1E3`, `T#5s_`."""
    plain, mark, power = text.upper().partition("E")
    digits = plain.rpartition("#")[2].lstrip("+-")
    if mark and "." not in plain and digits.replace("_", "").isdigit() and power.lstrip("+-").isdigit():
        at_e = len(plain)
        what, mend = f"{text} has no point", f"write {text[:at_e]}.0{text[at_e:]}"
    elif text[-1] == "_" and text[0] not in "'\"":
        what, mend = f"{text} ends with an underscore", f"write {text.rstrip('_')}"
    else:
        return
    report.loose(report.place(at), what, mend, len(text))


def address(report: Report, at: int, text: str) -> str:
    """Give an address of the standard for one of another kind: %IX0.0 for %E0.0."""
    word = text.upper()
    if word[1] in _LIKE and not word.startswith("%AI"):
        meant = f"%{_LIKE[word[1]]}{word[2:]}"
        report.add(habit(report.place(at), text, f"write {meant} instead", len(text)))
        return meant if re.fullmatch(r"%[IQ][XBWDL]?\d+(\.\d+)*", meant) else f"%{meant[1]}0.0"
    report.add(habit(report.place(at), text, "write a variable, or an address such as %MW0", len(text)))
    inside = word.partition(".")[2]
    return f"%M{_SIZES[inside[:3]]}{inside[3:]}" if inside[:3] in _SIZES and inside[3:4].isdigit() else "%MW0"


def comment(report: Report, at: int) -> int:
    """Give where a line ends that is a comment or a directive elsewhere, or 0 if none begins here."""
    text = report.text
    if not _begins(text, at) and text[at : at + 2] != "# ":
        return 0
    end, place = _line_end(text, at), report.place(at)
    directive = _DIRECTIVE.match(text, at)
    if directive:
        report.add(habit(place, f"#{directive[1]}", "write a comment instead", directive.end() - at))
        return end
    if re.match(r"#[\s#!]|--(?!\w+\s*;)", text[at:end] + " "):
        report.add(habit(place, f"{text[at : at + 2].strip()!r} before a comment", "write // instead", 2))
        return end
    return 0


__all__ = ["Read", "address", "comment", "loose_literal", "prefixed", "strange"]
