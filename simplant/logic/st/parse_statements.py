"""Reading statements of Structured Text, and going on after mistakes in them.

Rule: a mistake costs one statement; what real files leave out (a `;` after END_IF) is noted and read.
"""

from collections.abc import Callable
from typing import Final

from simplant.logic.st.cursor import DEEPEST, KEYWORDS
from simplant.logic.st.foreign import OBJECTS, STATEMENTS, TYPES, foreign
from simplant.logic.st.parse_expressions import Expressions
from simplant.logic.st.report import fail
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import Call, Case, Do, Expression, For, If, Leave, Let, Repeat, Statement, While

ENDS: Final = (
    "END_IF", "ELSIF", "ELSE", "END_CASE", "END_FOR", "END_WHILE", "END_REPEAT", "UNTIL", "END_PROGRAM",
    "END_FUNCTION", "END_FUNCTION_BLOCK", "PROGRAM", "FUNCTION", "FUNCTION_BLOCK", "TYPE", "CONFIGURATION", "VAR",
    "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_TEMP", "VAR_EXTERNAL", "VAR_GLOBAL", "END_VAR",
    "END_ACTION",
)  # fmt: skip
_INSTRUCTIONS: Final = frozenset(
    "LD LDN ST STN S R ANDN ORN XORN ADD SUB MUL DIV GT GE EQ NE LE LT JMPC JMPCN CAL CALC CALCN".split()  # noqa: SIM905
)
_OF_LABELS: Final = (",", "..", ".", "-", "+", "(", ")", "*", "/")
_COMPOUND: Final = (If, Case, For, While, Repeat)


class Statements(Expressions):
    """Recursive descent over statements."""

    def statements(self) -> tuple[Statement, ...]:
        """Read statements up to a word that ends them."""
        found: list[Statement] = []
        while self.token.kind != "end" and not self.at(*ENDS) and not self._label():
            if self.taken(";"):
                continue
            statement = self.guarded(self.statement, *ENDS)
            if statement is not None:
                found.append(statement)
        return tuple(found)

    def _label(self) -> bool:
        """Say whether the label of a CASE group begins here (there is none anywhere else)."""
        if not self.in_case:
            return False
        position, depth = self.position, 0
        while position < len(self.tokens):
            token = self.tokens[position]
            if token.text == ":" and depth == 0:
                return True
            if token.kind == "name" and token.word in KEYWORDS:  # a CASE in a CASE has labels of its own
                return False
            if token.kind not in ("literal", "name") and token.text not in _OF_LABELS:
                return False
            depth += {"(": 1, ")": -1}.get(token.text, 0)
            position += 1
        return False

    in_case = False
    else_if: Token | None = None
    """The first ELSE of the unit with an IF right behind it."""

    def statement(self) -> Statement:
        """Read one statement with the `;` that ends it."""
        found = self.bare_statement()
        self.end_of_statement(found)
        return found

    def end_of_statement(self, found: Statement) -> None:
        """Take the `;`."""
        if self.taken(";"):
            return
        place = self.report.place(self.last.at + len(self.last.text))
        if isinstance(found, _COMPOUND):
            self.report.loose(place, f"no ';' stands after {self.last.text}", "write ';'")
        elif self.at(*ENDS):
            self.report.loose(place, f"';' is missing after {self.last.text!r}", "a statement ends with ';'")
        elif self.token.kind in ("end", "name"):
            self.report.error(place, f"';' is missing after {self.last.text!r}", mend="a statement ends with ';'")
        else:
            if self.at(":="):
                foreign(self.place(), "':=' in an expression", "write = to compare, or two statements", 2)
            self.unexpected("';' or an operator")

    def bare_statement(self) -> Statement:
        """Read one statement."""
        readers: dict[str, Callable[[], Statement]] = {
            "IF": self.if_, "CASE": self.case, "FOR": self.for_, "WHILE": self.while_, "REPEAT": self.repeat,
        }  # fmt: skip
        place, word = self.place(), self.token.word
        if self.token.kind == "name" and word in readers:
            self.step()
            return readers[word]()
        if self.taken("EXIT", "CONTINUE", "RETURN"):
            return Leave(place, word)
        following = self.ahead()
        if self._instruction():
            what, mend = (
                f"{self.token.text} is an instruction of IL",
                "write Structured Text, for instance a := b AND c;",
            )
            fail(place, what, "the list language is not read", mend, len(self.token.text))
        if self.token.kind == "name" and following.text not in (":=", "(", ".", "["):
            self._foreign(following.text)
        return self.assignment_or_call()

    def _foreign(self, following: str) -> None:
        """Name what begins a statement elsewhere."""
        token, place = self.token, self.place()
        if token.word == "INITIAL_STEP":
            what = "INITIAL_STEP stands among statements"
            fail(place, what, mend="a body is a chart or statements, not both", length=len(token.text))
        if token.word in STATEMENTS:
            foreign(place, repr(token.text), STATEMENTS[token.word], len(token.text))
        if token.text.startswith("__"):
            foreign(place, repr(token.text), "leave it out", len(token.text))
        if following == ":" and token.word not in KEYWORDS:
            self.step()
            self.step()
            foreign(place, f"the label {token.text + ':'!r}", "write IF and loops instead", len(token.text))
        if token.word in OBJECTS:
            self.pass_object()
        if token.word == "ACTION" and self.ahead(2).text == ":":
            self.pass_action()

    def _instruction(self) -> bool:
        """Say whether an instruction of the list language begins here: a mnemonic and its operand, side by side."""
        following = self.ahead()
        return self.token.word in _INSTRUCTIONS and following.kind in ("name", "literal", "address")

    def assignment_or_call(self) -> Statement:
        """Read `a := b` or `instance(...)`."""
        place = self.place()
        if self.token.kind not in ("name", "address"):
            self.unexpected("a statement")
        target = self.target()
        if self.at("("):
            return Do(place, Call(place, target, self.arguments()))
        if self.taken(":="):
            return Let(place, target, self.expression())
        self._foreign_assignment(str(target))
        self.unexpected(f"':=' or '(' after {target}")
        raise AssertionError("unreachable: the line above fails")

    def _foreign_assignment(self, target: str) -> None:
        """Name what assigns elsewhere."""
        mark, following = self.token, self.ahead()
        if mark.text in ("=", "+=", "-=", "*=", "/="):
            right = f"{target} {mark.text[0]} ..." if len(mark.text) == 2 else "..."
            what = f"{mark.text!r} as an assignment to {target}"
            foreign(self.place(), what, f"write {target} := {right} instead", len(mark.text))
        if mark.text in ("+", "-") and following.text == mark.text:
            foreign(self.place(), repr(mark.text * 2), f"write {target} := {target} {mark.text} 1 instead", 2)
        if mark.word in ("S", "R", "REF") and following.text == "=":
            value = "TRUE" if mark.word == "S" else "FALSE"
            mend = f"write IF ... THEN {target} := {value}; END_IF; instead"
            foreign(self.place(), repr(f"{mark.text}="), mend if mark.word != "REF" else TYPES["REFERENCE"], 2)

    def pass_object(self) -> None:
        """Tell of an object-oriented unit, and pass it over."""
        token, place = self.token, self.place()
        ending = OBJECTS[token.word]
        while self.token.kind != "end" and not self.taken(ending):
            self.step()
        foreign(place, f"{token.text} (object orientation)", "write a FUNCTION_BLOCK instead", len(token.text))

    def pass_action(self) -> None:
        """Tell of an action that belongs to no chart, and pass it over."""
        place = self.place()
        while self.token.kind != "end" and not self.taken("END_ACTION"):
            self.step()
        foreign(place, "an ACTION outside a chart", "write a FUNCTION_BLOCK instead", 6)

    def body(self, *, case: bool = False) -> tuple[Statement, ...]:
        """Read the statements inside another one."""
        before, self.in_case = self.in_case, case
        self.depth += 1
        try:
            if self.depth > DEEPEST:
                fail(self.place(), f"more than {DEEPEST} statements stand in one another here")
            return self.statements()
        finally:
            self.in_case = before
            self.depth -= 1

    def closing(self, word: str, opened: str) -> None:
        """Take the word that ends a statement."""
        if not self.taken(word):
            if word == "END_IF" and self.else_if is not None:
                place, self.else_if = self.place(self.else_if), None
                mend = "write ELSIF, or one more END_IF"
                fail(place, "ELSE IF opens an IF of its own, which is not closed", mend=mend, length=4)
            self.unexpected(f"{word!r} (of the {opened})")

    def if_(self) -> If:
        """Read an IF after its first word."""
        place = self.place(self.last)
        arms = [self.arm()]
        while self.taken("ELSIF"):
            arms.append(self.arm())
        if self.at("ELSE") and self.ahead().word == "IF":
            self.else_if = self.else_if or self.token
        otherwise = self.body() if self.taken("ELSE") else ()
        self.closing("END_IF", f"IF of line {place.line}")
        return If(place, tuple(arms), otherwise)

    def arm(self) -> tuple[Expression, tuple[Statement, ...]]:
        """Read a condition, THEN and its statements."""
        condition = self.expression()
        self.want_after_condition("THEN")
        return condition, self.body()

    def want_after_condition(self, word: str) -> None:
        """Take THEN or DO; an assignment is no condition."""
        if self.at(":="):
            foreign(self.place(), "':=' in a condition", "write = instead", 2)
        self.want(word, "after the condition")

    def case(self) -> Case:
        """Read a CASE after its first word."""
        place = self.place(self.last)
        selector = self.expression()
        self.want("OF", "after the selector")
        groups = []
        while self.token.kind != "end" and not self.at("ELSE", "END_CASE", *ENDS):
            start = self.position
            group = self.guarded(self.group, "ELSE", "END_CASE", *ENDS)
            if group is not None:
                groups.append(group)
            if self.position == start:
                self.step()
        if self.taken("ELSE"):
            self.taken(":")
            otherwise = self.body()
        else:
            otherwise = ()
        self.closing("END_CASE", f"CASE of line {place.line}")
        return Case(place, selector, tuple(groups), otherwise)

    def group(self) -> tuple[tuple[tuple[Expression, Expression | None], ...], tuple[Statement, ...]]:
        """Read labels, a colon and statements."""
        labels = [self.label()]
        while self.taken(","):
            labels.append(self.label())
        self.want(":", "after the labels")
        return tuple(labels), self.body(case=True)

    def label(self) -> tuple[Expression, Expression | None]:
        """Read a value or a range."""
        low = self.binary(6)
        return low, self.binary(6) if self.taken("..") else None

    def for_(self) -> For:
        """Read a FOR after its first word."""
        place = self.place(self.last)
        variable = self.target()
        self.want(":=")
        first = self.expression()
        self.want("TO")
        last = self.expression()
        step = self.expression() if self.taken("BY") else None
        self.want("DO")
        body = self.body()
        self.closing("END_FOR", f"FOR of line {place.line}")
        return For(place, variable, first, last, step, body)

    def while_(self) -> While:
        """Read a WHILE after its first word."""
        place = self.place(self.last)
        condition = self.expression()
        self.want_after_condition("DO")
        body = self.body()
        self.closing("END_WHILE", f"WHILE of line {place.line}")
        return While(place, condition, body)

    def repeat(self) -> Repeat:
        """Read a REPEAT after its first word."""
        place = self.place(self.last)
        body = self.body()
        self.closing("UNTIL", f"REPEAT of line {place.line}")
        until = self.expression()
        self.taken(";")
        self.closing("END_REPEAT", f"REPEAT of line {place.line}")
        return Repeat(place, body, until)
