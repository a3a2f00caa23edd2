"""Reading expressions of Structured Text.

Operators and their order are those of IEC 61131-3:2003 Table 55, with `**` below the signs and above `*`. Rule: what
is read keeps the place of its operator or its first word.
"""

from typing import Final

from simplant.errors import Place, ProgramError
from simplant.logic.st.bases import BASES
from simplant.logic.st.cursor import KEYWORDS, Cursor
from simplant.logic.st.foreign import MEANT, OPERATORS, foreign, habit
from simplant.logic.st.literals import read_literal
from simplant.logic.st.report import fail
from simplant.logic.st.strange import loose_literal
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import (
    Access,
    Argument,
    Call,
    Deref,
    Expression,
    Field,
    Index,
    Infix,
    Literal,
    Part,
    Prefix,
    Selector,
)
from simplant.values import BOOL

_STRENGTH: Final = {
    "OR": 1, "XOR": 2, "AND": 3, "&": 3, "=": 4, "<>": 4, "<": 5, ">": 5, "<=": 5, ">=": 5,
    "+": 6, "-": 6, "*": 7, "/": 7, "MOD": 7, "**": 8,
}  # fmt: skip
_IN_FUNCTION_FORM: Final = ("AND", "OR", "XOR", "NOT", "MOD")
_SHORT: Final = ("=", "<>", "<", ">", "<=", ">=", "**")
_LONGEST: Final = 60
"""Comparisons, or powers, in one row."""
_MOST: Final = 5_000
"""Other operators in one row; who looks at such a row goes along it and not into it."""


class Expressions(Cursor):
    """Recursive descent over expressions."""

    def expression(self) -> Expression:
        """Read an expression."""
        found = self.deeper(lambda: self.binary(1))
        if self.token.word in OPERATORS and self.same_line(self.last, self.token):
            foreign(self.place(), self.token.text, OPERATORS[self.token.word], len(self.token.text))
        return found

    def binary(self, least: int) -> Expression:
        """Read operands joined by operators that bind at least so tightly."""
        left, count, level = self.unary(), 0, 0
        while (strength := self.strength()) >= least:
            token = self.step()
            word = MEANT.get(token.word, "AND" if token.text == "&" else token.word)
            if token.word in MEANT:
                self.report.add(habit(self.place(token), token.text, OPERATORS[token.word], len(token.text)))
            left = Infix(self.place(token), word, left, self.binary(strength + 1))
            count, level = (count + 1 if strength == level else 1), strength
            if count > (_LONGEST if word in _SHORT else _MOST):
                fail(self.place(token), "the expression is too long", mend="give parts of it names")
        return left

    def strength(self) -> int:
        """Give how tightly the operator here binds, 0 if none stands here."""
        word = self.token.word
        if word in MEANT and not self.same_line(self.last, self.token):
            return 0
        return _STRENGTH.get(MEANT.get(word, word), 0) if self.token.kind in ("name", "mark") else 0

    def same_line(self, first: Token, second: Token) -> bool:
        """Say whether two tokens stand on one line."""
        return "\n" not in self.report.text[first.at : second.at]

    def unary(self) -> Expression:
        """Read an operand with what stands before it."""
        token = self.token
        if self.at("NOT", "-", "+") and not (token.word == "NOT" and self._bare_call()):
            self.step()
            operand = self.deeper(self.unary)
            return operand if token.text == "+" else Prefix(self.place(token), token.word, operand)
        return self.primary()

    def _bare_call(self) -> bool:
        """Say whether NOT( stands here with formal parameters: `NOT(IN := x)`, `NOT(EN := ...)`."""
        return self.ahead().text == "(" and self.ahead(3).text == ":="

    def primary(self) -> Expression:
        """Read a literal, a variable, a call or something in parentheses."""
        token, place = self.token, self.place()
        if token.kind == "literal":
            found = self.literal(self.step())
            self._half_literal(token)
            return found
        if token.text == "." and self.ahead().text.isdigit():
            foreign(place, f".{self.ahead().text}", f"write 0.{self.ahead().text} instead", 2)
        if self.taken("TRUE", "FALSE"):
            return Literal(place, token.word == "TRUE", BOOL, token.text)
        if self.taken("("):
            return self._in_parentheses(token)
        if token.kind == "name" and token.word in _IN_FUNCTION_FORM and self.ahead().text == "(":
            self.step()
            return Call(place, Access(place, token.word), self.arguments())
        if token.kind == "address" or (token.kind == "name" and token.word not in KEYWORDS):
            access = self.access()
            return Call(place, access, self.arguments()) if self.at("(") else access
        self._foreign_value(place)
        self.unexpected("a value")
        raise AssertionError("unreachable: the line above fails")

    def _foreign_value(self, place: Place) -> None:
        """Name what begins a value elsewhere."""
        if self.at("["):
            foreign(place, "a list of values in a statement", "declare it with its first values, or write each element")
        if self.at(".") and self.ahead().kind == "name":
            foreign(place, "'.' before a name", "leave it out")
        if self.at("IF"):
            while not self.at(";") and self.token.kind != "end":
                self.step()
            foreign(place, "IF in an expression", "write SEL(condition, ifFalse, ifTrue) instead", 2)
        if self.at("{"):
            foreign(place, "braces around values", "write [ ] for an array, ( ) for a structure")

    def _in_parentheses(self, opening: Token) -> Expression:
        inside = self.expression()
        if self.at(":="):
            foreign(self.place(), "':=' in parentheses", "write = to compare, or a statement for each field", 2)
        if self.at(","):
            foreign(self.place(opening), "several values in parentheses", "write [value, value] for an array")
        self.want(")")
        self._cast(inside, opening)
        return inside

    def _half_literal(self, token: Token) -> None:
        """Name `1.` and `'it''s'`: what stands right behind a literal and belongs to it elsewhere."""
        if self.token.at != token.at + len(token.text):
            return
        if self.token.text == "." and token.text.isdigit():
            foreign(self.place(token), f"{token.text}.", f"write {token.text}.0 instead", len(token.text) + 1)
        if self.token.kind == "literal" and self.token.text[0] == token.text[0] == "'":
            foreign(self.place(), "two quotes for one in a text", "write $' instead", 1)

    def _cast(self, inside: Expression, opening: Token) -> None:
        """Name a type in parentheses before a value."""
        value = self.token.kind in ("name", "literal") and self.token.word not in KEYWORDS
        if isinstance(inside, Access) and inside.name.upper() in BASES and value:
            instead = f"write TO_{inside.name.upper()}({self.token.text}) instead"
            foreign(self.place(opening), f"({inside.name}) before a value", instead, len(inside.name) + 2)

    def literal(self, token: Token) -> Expression:
        """Give what a literal means."""
        place = self.place(token)
        head, mark, rest = token.text.partition("#")
        word = head.upper() not in ("BOOL",) and mark and (rest[:1].isalpha() or rest[:1] == "_")
        if word and head[0] not in "'\"0123456789" and head.upper() not in ("T", "TIME", "LT", "LTIME"):
            return Literal(place, 0, None, rest, head)
        try:
            value, type_ = read_literal(token.text)
        except ProgramError as error:
            fail(place, error.what, error.why, error.mend, len(token.text))
        loose_literal(self.report, token.at, token.text)
        return Literal(place, value, type_, token.text)

    def access(self) -> Access:
        """Read a variable with what selects a part of it."""
        self.unqualified()
        token = self.step()
        selectors: list[Selector] = []
        while self.at(".", "[", "^"):
            selectors.append(self.selector())
        return Access(self.place(token), token.text, tuple(selectors))

    def selector(self) -> Selector:
        """Read `.field`, `.3`, `.%X3`, `[i, j]` or `^`."""
        place = self.place()
        if self.at("^"):
            if self.ahead().kind in ("name", "literal") and self.ahead().word not in KEYWORDS:
                foreign(place, "'^'", "write ** for a power, XOR for bits")
            self.step()
            return Deref(place)
        if self.taken("["):
            values = [self.expression()]
            while self.taken(","):
                values.append(self.expression())
            self.want("]")
            return Index(place, tuple(values))
        self.step()
        token = self.token
        if token.kind == "literal" and token.text.isdigit():
            self.step()
            return Part(place, "X", int(token.text))
        if token.kind == "address" and token.word[1] in "XBWDL" and token.text[2:].isdecimal():
            self.step()
            return Part(place, token.word[1], int(token.text[2:]))
        if token.kind != "name":
            self.unexpected("the name of a field")
        return Field(self.place(self.step()), token.text)

    def arguments(self) -> tuple[Argument, ...]:
        """Read the arguments of a call, in parentheses."""
        self.want("(")
        found: list[Argument] = []
        while not self.at(")"):
            found.append(self.argument())
            if self.at(";") and self.ahead().kind == "name" and self.ahead(2).text in (":=", "=>"):
                self.report.add(habit(self.place(), "';' between arguments", "write ',' instead"))
                self.step()
            elif not self.taken(","):
                break
        self.want(")", "or ','")
        return tuple(found)

    def argument(self) -> Argument:
        """Read one argument."""
        place = self.place()
        inverted = self.at("NOT") and self.ahead(2).text == "=>"
        if inverted:
            self.step()
        if self.token.kind == "name" and self.ahead().text in (":=", "=>", ":"):
            name = self.step().text
            if self.at(":"):
                self.report.add(habit(self.place(), "':' before the value of an argument", "write := instead"))
            if self.step().text == "=>":
                empty = self.at(",", ")")
                return Argument(place, name, target=None if empty else self.target(), inverted=inverted)
            return Argument(place, name) if self.at(",", ")") else Argument(place, name, self.expression())
        return Argument(place, "", self.expression())

    def target(self) -> Access:
        """Read a variable that is written."""
        if self.token.kind != "address" and (self.token.kind != "name" or self.token.word in KEYWORDS):
            self.unexpected("a variable")
        return self.access()
