"""The words of an expression written as text: names, literals, operators, each with its place.

What they make together is read.py. Rule: a literal keeps no type but what it says itself
(`T#250ms`, `INT#5`); a bare number takes the type of what it stands beside.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from simplant.errors import Place, ProgramError, SimplantError
from simplant.expr.nodes import Const, of_type
from simplant.timebase import duration
from simplant.values import BOOL, LTIME, TIME, TYPES, Value

_TOKEN: Final = re.compile(
    r"""(?P<space>\s+|\(\*.*?\*\))
    |(?P<typed>[A-Za-z_]\w*\#(?:'(?:\$.|[^$'])*'|[-+]?[\w.\#]+))
    |(?P<based>(?:2|8|16)\#[0-9A-Fa-f_]+)
    |(?P<time>(?:\d[\d_]*(?:\.\d+)?(?:ns|us|ms|min|s|m|h|d)_?)+(?![A-Za-z0-9_.]))
    |(?P<real>\d[\d_]*(?:\.\d[\d_]*(?:[eE][-+]?\d+)?|[eE][-+]?\d+)(?![A-Za-z0-9_.]))
    |(?P<whole>\d[\d_]*(?![A-Za-z0-9_.]))
    |(?P<text>'(?:\$.|[^$'])*')
    |(?P<name>[A-Za-z_]\w*(?:\.\w+)*)
    |(?P<mark><=|>=|<>|==|!=|&&|\|\||:=|\*\*|[-+*/()<>=&,!~|])
    |(?P<wrong>.)""",
    re.VERBOSE | re.DOTALL,
)
_STRANGE: Final = {
    "==": "=", "!=": "<>", "&&": "AND", "||": "OR", "|": "OR", "!": "NOT", "~": "NOT", ":=": "=",
}  # fmt: skip
"""What people write who know other languages, and what the standard writes."""

_LETTERS: Final = re.compile(r"\$([0-9A-Fa-f]{2}|.)", re.DOTALL)
_NAMED: Final = {"N": "\n", "L": "\n", "R": "\r", "T": "\t", "P": "\f", "$": "$", "'": "'"}

Literal = bool | int | float | str | Const
"""A literal as read: a plain value that takes the type of its neighbour, or a constant that has one."""


@dataclass(frozen=True, slots=True)
class Token:
    """One word: its kind (`name`, `literal`, `mark`, `end`), its text, its value if it is a literal, its place."""

    kind: str
    text: str
    place: Place
    value: Literal | None = None


def split(text: str, origin: Place) -> Iterator[Token]:
    """Give the words of an expression in order, an `end` after the last.

    Args:
        text: the expression; comments are `(* ... *)`.
        origin: where its first letter stands.

    Raises:
        ProgramError: something that is no word of the language, at its place.
    """
    for match in _TOKEN.finditer(text):
        kind, word, place = str(match.lastgroup), match[0], _place(text, match.start(), origin)
        match kind:
            case "space":
                continue
            case "wrong":
                raise _not_a_word(word, place)
            case "mark" if word in _STRANGE:
                raise ProgramError(f"{word!r} is not an operator here", "", f"write {_STRANGE[word]}", place)
            case "name" | "mark":
                yield _word(kind, word, place)
            case _:
                yield Token("literal", word, place, _literal(kind, word, place))
    yield Token("end", "the end", _place(text, len(text), origin))


def _word(kind: str, word: str, place: Place) -> Token:
    if word.upper() in ("TRUE", "FALSE"):
        return Token("literal", word, place, of_type(word.upper() == "TRUE", BOOL))  # type: ignore[arg-type]
    return Token(kind, word, place)


def _place(text: str, at: int, origin: Place) -> Place:
    line = text.count("\n", 0, at)
    column = at - text.rfind("\n", 0, at) if line else origin.column + at
    return Place(origin.file, origin.line + line, column)


def _not_a_word(word: str, place: Place) -> ProgramError:
    if word == "'":
        return ProgramError("a text begins here and does not end", "", "close it with '", place)
    if word.isdigit():
        mend = "write 12, 1.5, 250ms or 16#FF, and begin a name with a letter"
        return ProgramError("this is neither a number nor a duration", "", mend, place)
    return ProgramError(f"{word!r} cannot stand in an expression", "", "write AND OR XOR NOT = <> < > + - * /", place)


def _literal(kind: str, word: str, place: Place) -> Literal:
    try:
        return _value(kind, word)
    except SimplantError as error:
        raise ProgramError(error.what, error.why, error.mend, place) from None
    except ValueError:
        raise ProgramError(f"{word!r} is not a literal", "", "write 12, 1.5, 250ms, 16#FF or TRUE", place) from None


def _value(kind: str, word: str) -> Literal:
    match kind:
        case "typed":
            return _typed(*word.split("#", 1))
        case "based":
            base, _, digits = word.partition("#")
            return int(digits, int(base))
        case "time":
            return _constant(duration(word), "TIME")
        case "real":
            return float(word)
        case "text":
            return _LETTERS.sub(_letter, word[1:-1])
        case _:
            return int(word)


def _letter(match: re.Match[str]) -> str:
    code = match[1]
    return chr(int(code, 16)) if len(code) == 2 else _NAMED.get(code.upper(), code)


def _typed(prefix: str, rest: str) -> Const:
    name = {"T": "TIME", "LT": "LTIME"}.get(prefix.upper(), prefix.upper())
    if name not in TYPES:
        raise ProgramError(f"there is no type {prefix!r}", mend=f"known: {', '.join(TYPES)}")
    sign, size = (-1, rest[1:]) if rest[:1] == "-" else (1, rest.removeprefix("+"))
    if TYPES[name] in (TIME, LTIME):
        return _constant(sign * duration(size.lower()), name)
    (token,) = [t for t in split(size, Place("")) if t.kind != "end"]
    value = token.value.value if isinstance(token.value, Const) else token.value
    if value is None:
        raise ValueError(rest)
    return _constant(value if isinstance(value, bool | str) else sign * value, name)


def _constant(value: Value, name: str) -> Const:
    made = of_type(value, TYPES[name])
    assert isinstance(made, Const), "a plain value makes a constant"
    return made
