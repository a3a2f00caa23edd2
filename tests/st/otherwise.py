"""The same text said otherwise, and texts with one slip of the hand: ways that take a file and give another.

Letters and blanks count for nothing outside comments and texts. Rule: a way is a pure function of the text (and of
chance that is given).
"""

import re
from itertools import pairwise

_TOKEN = re.compile(
    r"""\s+|//[^\n]*|\(\*.*?\*\)|/\*.*?\*/|\{[^}]*\}|'(?:\$.|[^'$\n])*'|"(?:\$.|[^"$\n])*\"|[\w.]*\#[-+]?[\w.:\-'#]*
    |%[IQM]\*|%[\w.]+|\d+\.\d+(?:[eE][-+]?\d+)?|\w+|:=|=>|<>|<=|>=|\.\.|\*\*|.""",
    re.DOTALL | re.VERBOSE,
)
_SILENT = re.compile(r"\s+|//[^\n]*|\(\*.*\*\)|/\*.*\*/|\{.*\}", re.DOTALL)
_KEPT = re.compile(r"//|\(\*|/\*|\{|'|\"")
_PAIRS = ("(*", "/*", "//", "..", ":=", "=>", "<>", "<=", ">=", "**")


def pieces(text):
    """Give the tokens of a text, its blanks and comments among them."""
    return _TOKEN.findall(text)


def _spoken(text):
    return [t for t in pieces(text) if not _SILENT.fullmatch(t)]


def _code(change):
    """Change all but comments, pragmas and texts."""
    return lambda text: "".join(t if _KEPT.match(t) else change(t) for t in pieces(text))


def _tight(text):
    out = ""
    for token in _spoken(text):
        joined = out[-1:] + token[0]
        out += " " if re.fullmatch(r"[\w#.'][\w#%.']", joined) or joined in _PAIRS else ""
        out += token
    return out


def _with_signs(text):
    tokens = pieces(text)
    operators = (t.upper() == "AND" and after != "(" for t, after in pairwise([*tokens, ""]))
    return "".join("&" if sign else t for t, sign in zip(tokens, operators, strict=True))


WAYS = {
    "in capitals": _code(str.upper),
    "in small letters": _code(str.lower),
    "one token a line": lambda text: "\n".join(_spoken(text)),
    "without blanks": _tight,
    "a comment between any two": lambda text: " (* and (* so *) on *) ".join(_spoken(text)),
    "saved by Windows": lambda text: text.replace("\n", "\r\n"),
    "no semicolon after ends": lambda text: re.sub(r"(?i)(END_(?:IF|FOR|CASE|WHILE|REPEAT|STRUCT))\s*;", r"\1 ", text),
    "& for AND": _with_signs,
}

WORDS = (
    *("IF", "THEN", "ELSE", "ELSIF", "END_IF", "FOR", "TO", "DO", "END_FOR", "WHILE", "END_WHILE", "CASE", "OF"),
    *("END_CASE", "REPEAT", "END_REPEAT", "VAR", "VAR_INPUT", "VAR_OUTPUT", "END_VAR", "PROGRAM", "FUNCTION", "AND"),
    *("FUNCTION_BLOCK", "END_PROGRAM", "END_FUNCTION", "END_FUNCTION_BLOCK", "TYPE", "STRUCT", "END_TYPE", "OR", "NOT"),
    *("END_STRUCT", "ARRAY", ";", ":=", ":", "(", ")", "[", "]", ",", "=", "+", ".."),
)


def slip(text, chance):
    """Leave out, or misspell, one word of the language; give the text, and what was done."""
    tokens = pieces(text)
    places = [n for n, token in enumerate(tokens) if token.upper() in WORDS]
    at = chance.choice(places)
    word = tokens[at]
    wrong = word[0] + word[2] + word[1] + word[3:] if len(word) > 2 and chance.random() < 0.5 else ""
    return "".join((*tokens[:at], wrong, *tokens[at + 1 :])), f"{wrong!r} for {word!r}"
