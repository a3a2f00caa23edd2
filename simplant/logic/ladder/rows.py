"""The rows of a ladder file, and what each is: part of a drawing, comment, label, or text for the other reader.

What they make is read.py. Rule: a row is part of a drawing if it begins with a rail and stands in no comment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

_DRAWN: Final = re.compile(r"[ \t]*(?:\||\+-)")
_HEAVY: Final = str.maketrans("\u2501\u2503\u254b", "-|+")
"""Lines under power, as rungs are shown at an instant."""
_LOOSE: Final = re.compile(r"-\|.?\|-|-\( ?[/SRPNsrpn]? ?\)|[\u2500-\u257f]")
"""What only drawings hold: contacts and coils in a line, and letters that look like lines."""
_WIDE: Final = re.compile(r"(?<=[-+])\|( *)([/PNpn]?)( *)\|(?=[-+(])|-\|\|(?=[-+(])")
"""A contact with more, or less, between its bars than one letter."""
_BEHIND: Final = re.compile(r"\s*(\(\*.*\*\)|//.*)\s*\Z")
_LABEL: Final = re.compile(r"\s*([A-Za-z_]\w*)\s*:\s*\Z")
_QUIET: Final = re.compile(r"'(?:\$.|[^'$\n])*'|\"(?:\$.|[^\"$\n])*\"|//[^\n]*|\(\*")
_BEGIN: Final = re.compile(r"\bEND_VAR\b|^\s*(?:PROGRAM|FUNCTION_BLOCK|FUNCTION)\b", re.IGNORECASE)
_END: Final = re.compile(r"\bEND_(?:PROGRAM|FUNCTION_BLOCK|FUNCTION)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a file.

    Args:
        kind: drawn, comment, label, begin, end, other, loose (a drawing without its rail) or empty.
        line: in the file, from 1.
        text: of a comment or label its words.
        remark: the words of a comment that stands behind a drawing.
    """

    kind: str
    line: int
    text: str
    remark: str = ""


def rows_of(text: str) -> list[Row]:
    """Give the rows of a source; a comment of several rows is one."""
    found: list[Row] = []
    lines = text.split("\n")
    number = 0
    while number < len(lines):
        row, count = _row(lines, number)
        found.append(row)
        number += count
    return _labels(found)


def _row(lines: list[str], number: int) -> tuple[Row, int]:
    """Give the row that begins at a line, and of how many lines it is."""
    text = lines[number].rstrip("\r")
    if _DRAWN.match(plain := text.translate(_HEAVY)):
        return _drawn(plain, number + 1), 1
    stripped = text.strip()
    if stripped.startswith("//"):
        return Row("comment", number + 1, stripped[2:].strip()), 1
    kept, comments, end = _without_comments(lines, number)
    kind = "empty"
    if _END.search(kept):
        kind = "end"
    elif _BEGIN.search(kept):
        kind = "begin"
    elif kept.strip():
        kind = "label" if _LABEL.match(kept) else "loose" if _LOOSE.search(kept) else "other"
    elif comments:
        return Row("comment", number + 1, "\n".join(comments)), end - number + 1
    return Row(kind, number + 1, kept), end - number + 1


def _drawn(text: str, line: int) -> Row:
    """Give a row of a drawing: contacts as narrow as they are printed, a comment behind it apart."""
    behind = _BEHIND.search(text)
    if behind is not None:
        words = behind[1][2:].removesuffix("*)").strip()
        return replace(_drawn(text[: behind.start()], line), remark=words)
    return Row("drawn", line, _WIDE.sub(_narrow, text))


def _narrow(match: re.Match[str]) -> str:
    """Give a contact of three letters in the room of another; wires fill the rest."""
    room = len(match[0]) - 3
    left = len(match[1]) if match[2] else (room + 1) // 2
    return f"{'-' * left}|{match[2] or ' '}|{'-' * (room - left)}"


def _without_comments(lines: list[str], number: int) -> tuple[str, list[str], int]:
    """Give a row without its comments, those, and the line on which it ends: a comment may go on over several."""
    text, at, kept = lines[number].rstrip("\r"), 0, ""
    comments: list[str] = []
    while match := _QUIET.search(text, at):
        kept += text[at : match.start()]
        if match[0] != "(*":
            kept += " " if match[0].startswith("//") else match[0]
            at = match.end()
            continue
        begun, at = match.start(), match.end()
        depth, words = 1, []
        while depth:
            mark = re.compile(r"\(\*|\*\)").search(text, at)
            if mark is None:
                words.append(text[begun:])
                number += 1
                if number == len(lines):
                    return kept, comments, number - 1
                text, begun, at = lines[number].rstrip("\r"), 0, 0
                continue
            depth, at = depth + (1 if mark[0] == "(*" else -1), mark.end()
        words.append(text[begun:at])
        comments.append(_words("\n".join(words)))
    return kept + text[at:], comments, number


def _words(comment: str) -> str:
    """Give what a comment says, without its marks and margins."""
    rows = [row.strip() for row in comment[2:-2].split("\n")]
    while rows and not rows[-1]:
        rows.pop()
    while rows and not rows[0]:
        rows.pop(0)
    return "\n".join(rows)


def _labels(rows: list[Row]) -> list[Row]:
    """Tell labels of rungs from those of a CASE: behind them comes a drawing, or the end of the unit."""
    found: list[Row] = []
    follows = ""
    for row in reversed(rows):
        if row.kind == "label":
            match = _LABEL.match(row.text)
            assert match is not None, "a label was found so"
            own = follows in ("drawn", "end", "label")
            found.append(replace(row, text=match[1]) if own else replace(row, kind="other"))
        else:
            found.append(row)
        if row.kind not in ("empty", "comment"):
            follows = found[-1].kind
    return found[::-1]
