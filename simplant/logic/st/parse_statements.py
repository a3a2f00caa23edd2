"""Reading statements of Structured Text, and going on after mistakes in them.

Rule: a mistake costs one statement; what real files leave out (a `;` after END_IF) is noted and read.
"""

from collections.abc import Callable
from typing import Final

from simplant.logic.st.cursor import DEEPEST, ENDS, KEYWORDS
from simplant.logic.st.foreign import foreign
from simplant.logic.st.parse_habits import Habits
from simplant.logic.st.report import Fault, fail
from simplant.logic.st.tokens import Token
from simplant.logic.st.tree import (
    Access,
    Call,
    Case,
    Do,
    Expression,
    For,
    If,
    Infix,
    Leave,
    Let,
    Literal,
    Repeat,
    Statement,
    While,
)
from simplant.values import BOOL

_COMPARED: Final = ("<", ">", "<=", ">=", "=", "<>")
_IN_LABELS: Final = ("TO", "TRUE", "FALSE")
_OF_LABELS: Final = (",", "..", ".", "-", "+", "(", ")", "*", "/", *_COMPARED)
_COMPOUND: Final = (If, Case, For, While, Repeat)


class Statements(Habits):
    """Recursive descent over statements."""

    def statements(self) -> tuple[Statement, ...]:
        """Read statements up to a word that ends them."""
        found: list[Statement] = []
        while self.token.kind != "end" and not self.at(*ENDS) and not self._label() and not self.foreign_end():
            if self.taken(";") or self.passed_begin():
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
            if (
                token.kind == "name" and token.word in KEYWORDS and token.word not in _IN_LABELS
            ):  # a CASE in it has labels too
                return False  # a CASE in it has labels too
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
        if isinstance(found, _COMPOUND) and self.last.word not in KEYWORDS:
            return
        if isinstance(found, _COMPOUND):
            self.report.loose(place, f"no ';' stands after {self.last.text}", "write ';'")
        elif self.token.kind == "end" or self.at(*ENDS) or self.foreign_end():
            self.report.loose(place, f"';' is missing after {self.last.text!r}", "a statement ends with ';'")
        elif self.token.kind == "name":
            self.report.error(place, f"';' is missing after {self.last.text!r}", mend="a statement ends with ';'")
        else:
            self.behind("';' or an operator")

    def bare_statement(self) -> Statement:
        """Read one statement."""
        readers: dict[str, Callable[[], Statement]] = {
            "IF": self.if_, "CASE": self.case, "FOR": self.for_, "WHILE": self.while_, "REPEAT": self.repeat,
        }  # fmt: skip
        place, word = self.place(), self.compound_word()
        if word in readers:
            outer, self.closings = self.closings, (*self.closings, f"END_{word}")
            try:
                return readers[word]()
            finally:
                self.closings = outer
        if self.taken("EXIT", "CONTINUE", "RETURN"):
            self.after_leave(word)
            return Leave(place, word)
        self.instruction()
        following = self.ahead()
        if self.token.kind == "name" and (following.text not in (":=", "(", ".", "[") or self.switch_begins()):
            self.foreign_statement(following.text)
        return self.assignment_or_call()

    def assignment_or_call(self) -> Statement:
        """Read `a := b` or `instance(...)`."""
        place = self.place()
        if self.at(".") and self.ahead().kind == "name":
            foreign(place, "'.' before a name", "leave it out")
        if self.token.kind == "literal" and self.ahead().text == ":":
            self.step()
            fail(place, "a label stands behind ELSE", "ELSE comes last", "write it before", len(self.last.text))
        self.sign_before()
        if self.token.kind not in ("name", "address"):
            self.unexpected("a statement")
        target = self.target()
        if self.at("("):
            call = Call(place, target, self.arguments())
            self.index_in_parentheses(call)
            return Do(place, call)
        if self.taken(":="):
            return Let(place, target, self.expression())
        self.foreign_assignment(str(target))
        self.unexpected(f"':=' or '(' after {target}")
        raise AssertionError("unreachable: the line above fails")

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
        if self.foreign_end():
            self.take_end(word)
        elif not self.taken(word):
            if word == "END_IF" and self.else_if is not None:
                place, self.else_if = self.place(self.else_if), None
                mend = "write ELSIF, or one more END_IF"
                fail(place, "ELSE IF opens an IF of its own, which is not closed", mend=mend, length=4)
            self.unexpected(f"{word!r} (of the {opened})")

    def if_(self) -> If:
        """Read an IF after its first word."""
        place = self.place(self.last)
        arms = [self.arm()]
        while self.taken_elsif():
            arms.append(self.arm())
        if self.at("ELSE") and self.ahead().word == "IF":
            self.else_if = self.else_if or self.token
        otherwise = self.body() if self.taken("ELSE") else ()
        while self.at("ELSE") or self.foreign_elsif():
            word, why = self.token, "ELSE comes last, and once"
            self.report.error(self.place(), f"{word.text} stands behind ELSE", why, "write it before", len(word.text))
            if self.taken("ELSE"):
                self.body()
            else:
                self.taken_elsif()
                self.arm()
        self.closing("END_IF", f"IF of line {place.line}")
        return If(place, tuple(arms), otherwise)

    def arm(self) -> tuple[Expression, tuple[Statement, ...]]:
        """Read a condition, THEN and its statements."""
        return self.condition_or_true("THEN"), self.body()

    def case(self) -> Case:
        """Read a CASE after its first word."""
        place = self.place(self.last)
        selector = self.head(self.expression, "OF")
        groups = []
        while self.token.kind != "end" and not self.at("ELSE", "END_CASE", *ENDS):
            start = self.position
            group = self.guarded(self.group, "ELSE", "END_CASE", *ENDS)
            if group is not None:
                groups.append(group)
            if self.position == start:
                self.step()
        if self.taken("ELSE"):
            self.spare_mark(":", "behind ELSE")
            otherwise = self.body()
        else:
            otherwise = ()
        self.closing("END_CASE", f"CASE of line {place.line}")
        if isinstance(selector, Fault):
            raise selector
        return Case(place, selector, tuple(groups), otherwise)

    def group(self) -> tuple[tuple[tuple[Expression, Expression | None], ...], tuple[Statement, ...]]:
        """Read labels, a colon and statements."""
        labels = [self.label()]
        while self.taken(","):
            labels.append(self.label())
        begins = self.at("IF", "CASE", "FOR", "WHILE", "REPEAT") or self.ahead().text in (":=", "(")
        if begins and self.token.kind == "name":
            place = self.report.place(self.last.at + len(self.last.text))
            self.report.error(place, "':' is missing after the labels", mend="write ':'")
        else:
            self.want(":", "after the labels")
        return tuple(labels), self.body(case=True)

    def label(self) -> tuple[Expression, Expression | None]:
        """Read a value or a range."""
        if self.at(*_COMPARED):
            foreign(
                self.place(), "a comparison as a label", "write IF ... ELSIF ... END_IF instead", len(self.token.text)
            )
        low = self.binary(6)
        if self.at(*_COMPARED):
            foreign(
                self.place(), "a comparison as a label", "write IF ... ELSIF ... END_IF instead", len(self.token.text)
            )
        if (
            isinstance(low, Infix)
            and low.operator == "-"
            and isinstance(low.left, Literal)
            and isinstance(low.right, Literal)
        ):
            self.report.warn(
                low.place, "a label is a difference", mend=f"write {low.left.text}..{low.right.text} for a range"
            )
        if self.at("TO"):
            self.say("TO between labels", "write .. instead")
        return low, self.binary(6) if self.taken("..", "TO") else None

    def for_(self) -> For:
        """Read a FOR after its first word."""
        place = self.place(self.last)
        if self.at("("):
            self.foreign_for()
        head = self.head(self._range_of_for, "DO")
        body = self.body()
        self.closing("END_FOR", f"FOR of line {place.line}")
        if isinstance(head, Fault):
            raise head
        return For(place, *head, body)

    def _range_of_for(self) -> tuple[Access, Expression, Expression, Expression | None]:
        variable = self.target()
        if self.at("="):
            self.say("'=' as an assignment", "write := instead")
            self.step()
        else:
            self.want(":=")
        first = self.expression()
        if self.at("..", ","):
            self.say(f"{self.token.text!r} in a FOR", "write TO")
            self.step()
        elif self.at("DOWNTO"):
            self.say(repr(self.token.text), "write TO, and BY -1 behind the bound")
            self.step()
        else:
            self.want("TO")
        last = self.expression()
        if self.at("STEP"):
            self.say(repr(self.token.text), "write BY instead")
        return variable, first, last, self.expression() if self.taken("BY", "STEP") else None

    def while_(self) -> While:
        """Read a WHILE after its first word."""
        place = self.place(self.last)
        condition = self.condition_or_true("DO")
        body = self.body()
        self.closing("END_WHILE", f"WHILE of line {place.line}")
        return While(place, condition, body)

    def repeat(self) -> Repeat:
        """Read a REPEAT after its first word."""
        place = self.place(self.last)
        body = self.body()
        if self.at("END_REPEAT"):
            what = f"the REPEAT of line {place.line} has no UNTIL"
            self.report.error(self.place(), what, mend="write UNTIL condition before END_REPEAT", length=10)
            until: Expression = Literal(place, value=True, type=BOOL, text="TRUE")
        else:
            self.closing("UNTIL", f"REPEAT of line {place.line}")
            until = self.expression()
            self.spare_mark(";", "behind the condition of UNTIL")
        self.closing("END_REPEAT", f"REPEAT of line {place.line}")
        return Repeat(place, body, until)
