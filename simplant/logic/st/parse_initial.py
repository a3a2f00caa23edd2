"""Reading initial values of Structured Text: expressions, lists for arrays, fields for structures.

What they mean is initial.py. Rule: a list keeps how often a value is repeated, as it was written.
"""

from collections.abc import Iterator
from typing import Final

from simplant.errors import Place
from simplant.logic.st.declared import ArrayOf, FieldInit, Init, ListInit, TypeSpec
from simplant.logic.st.parse_statements import Statements
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Expression, Literal

MOST_REPEATED: Final = 10_000


class Values(Statements):
    """Recursive descent over initial values."""

    def initial_of(self, spec: TypeSpec) -> Init:
        """Read the initial value of a declaration; people leave out the brackets of a list."""
        place = self.place()
        bare = isinstance(spec, ArrayOf) and not self.at("[", "(")
        if bare and self.token.kind == "literal" and self.ahead().text == "(":
            items = list(self.list_items(";"))
        else:
            first = self.initial()
            if not self.at(","):
                return first
            self.step()
            items = [(None, first), *self.list_items(";")]
        self.report.loose(place, "the values of an array stand without brackets", "write [value, value, ...]")
        return ListInit(place, tuple(items))

    def initial(self) -> Init:
        """Read an initial value: an expression, `[...]` or `(field := ...)`."""
        return self.deeper(self._initial)

    def _initial(self) -> Init:
        place = self.place()
        if self.taken("["):
            return self.list_initial(place)
        if self.at("(") and self.ahead().kind == "name" and self.ahead(2).text == ":=":
            return self.field_initial(place)
        return self.expression()

    def list_initial(self, place: Place) -> ListInit:
        """Read `[1, 2, 3(0)]` after its bracket."""
        items = tuple(self.list_items("]"))
        self.want("]", "or ','")
        return ListInit(place, items)

    def list_items(self, closing: str) -> Iterator[tuple[Expression | None, Init | None]]:
        """Read `1, 2, 3(0)` up to its end; `2(1, 2)` is 1, 2, 1, 2."""
        while not self.at(closing):
            if self.token.kind in ("literal", "name") and self.ahead().text == "(" and self.token.word != "REF":
                yield from self._repeated()
            else:
                yield None, self.initial()
            if not self.taken(","):
                break

    def _repeated(self) -> list[tuple[Expression | None, Init | None]]:
        place, count = self.place(), _count(self)
        self.want("(")
        group: list[Init | None] = [None] if self.at(")") else [self.initial()]
        while self.taken(","):
            group.append(self.initial())
        self.want(")")
        if len(group) == 1:
            return [(count, group[0])]
        times = count.value if isinstance(count, Literal) else None
        if not isinstance(times, int) or not 0 <= times <= MOST_REPEATED:
            fail(place, "one repetition holds several values", mend="write their number as a number, or each value")
        return [(None, each) for _ in range(times) for each in group]

    def field_initial(self, place: Place) -> FieldInit:
        """Read `(name := value, ...)`."""
        self.want("(")
        items = []
        while not self.at(")"):
            token = self.want_name("the name of a field")
            self.want(":=")
            items.append((self.place(token), token.text, self.initial()))
            if not self.taken(","):
                break
        self.want(")", "or ','")
        return FieldInit(place, tuple(items))


def _count(cursor: Statements) -> Expression:
    """Read the count of a repetition."""
    return cursor.literal(cursor.step()) if cursor.token.kind == "literal" else cursor.access()
