"""Networks with jumps between them, as statements: what a jump goes past stands in IFs, what it goes back to in a loop.

Rule: one number says where a jump goes; as long as it is not 0, nothing is done before that label.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from simplant.errors import Place, nearest
from simplant.logic.fbd.hidden import Hidden, is_true
from simplant.logic.st.declared import Named
from simplant.logic.st.report import fail
from simplant.logic.st.tree import Access, Expression, If, Infix, Let, Literal, Repeat, Statement


@dataclass(frozen=True, slots=True)
class Leap:
    """Go on at a label, where a condition holds."""

    place: Place
    condition: Expression
    label: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A label: networks below it follow."""

    place: Place
    label: str


Part = Statement | Leap | Mark


def arranged(parts: list[Part], hidden: Hidden, place: Place) -> tuple[Statement, ...]:
    """Give statements that do what a row of statements, labels and jumps says.

    Raises:
        Fault: a label is missing, or is there twice.
    """
    numbers = _numbered(parts)
    if not any(isinstance(part, Leap) for part in parts):
        return tuple(p for p in parts if not isinstance(p, Leap | Mark))
    go = hidden.temporary("go", place, Named(place, "INT"))
    return (Let(place, go, _number(place, 0)), *_Arranging(parts, numbers, go).all())


def _numbered(parts: list[Part]) -> dict[str, int]:
    numbers: dict[str, int] = {}
    for part in parts:
        if isinstance(part, Mark):
            if part.label.upper() in numbers:
                fail(part.place, f"the label {part.label} stands twice")
            numbers[part.label.upper()] = len(numbers) + 1
    for part in parts:
        if isinstance(part, Leap) and part.label.upper() not in numbers:
            fail(part.place, f"there is no label {part.label!r}", mend=nearest(part.label.upper(), numbers))
    return numbers


def _number(place: Place, value: int) -> Literal:
    return Literal(place, value, None, str(value))


@dataclass(slots=True)
class _Arranging:
    """Arranges one body.

    Attributes:
        pending: the labels that a jump may be on its way to, here.
        chunk: statements that are to stand in one IF together.
    """

    parts: list[Part]
    numbers: dict[str, int]
    go: Access
    pending: set[str] = field(default_factory=set)
    chunk: list[Statement] = field(default_factory=list)

    def all(self) -> tuple[Statement, ...]:
        """Arrange everything."""
        done: list[Statement] = []
        at = 0
        for first, last, back in self._loops():
            done += self.row(at, first)
            place = self.parts[first].place
            self.pending |= back
            body = tuple(self.row(first, last + 1))
            stay = [self._is(place, label, "<>") for label in sorted(back, key=self.numbers.__getitem__)]
            until = stay[0]
            for each in stay[1:]:
                until = Infix(place, "AND", until, each)
            done.append(Repeat(place, body, until))
            self.pending -= back
            at = last + 1
        return (*done, *self.row(at, len(self.parts)))

    def _loops(self) -> list[tuple[int, int, set[str]]]:
        """Give the stretches that are to be done again: from the label to the jump; those that overlap are one."""
        at = {p.label.upper(): n for n, p in enumerate(self.parts) if isinstance(p, Mark)}
        back = [(at[p.label.upper()], n, p.label.upper()) for n, p in enumerate(self.parts)
                if isinstance(p, Leap) and at[p.label.upper()] < n]  # fmt: skip
        found: list[tuple[int, int, set[str]]] = []
        for first, last, label in sorted(back):
            if found and first <= found[-1][1]:
                start, end, labels = found[-1]
                found[-1] = (start, max(end, last), labels | {label})
            else:
                found.append((first, last, {label}))
        return found

    def row(self, first: int, last: int) -> list[Statement]:
        """Arrange some parts, without loops."""
        done: list[Statement] = []
        for part in self.parts[first:last]:
            match part:
                case Mark():
                    done += self._closed()
                    if part.label.upper() in self.pending:
                        here = (Let(part.place, self.go, _number(part.place, 0)),)
                        done.append(If(part.place, ((self._is(part.place, part.label.upper(), "="), here),), ()))
                        self.pending.discard(part.label.upper())
                case Leap():
                    leave = Let(part.place, self.go, _number(part.place, self.numbers[part.label.upper()]))
                    always = is_true(part.condition)
                    self.chunk.append(leave if always else If(part.place, ((part.condition, (leave,)),), ()))
                    done += self._closed()
                    self.pending.add(part.label.upper())
                case _:
                    self.chunk.append(part)
        return [*done, *self._closed()]

    def _closed(self) -> list[Statement]:
        """Give the statements of the present chunk, in an IF if a jump may be on its way past them."""
        chunk, self.chunk = self.chunk, []
        if not chunk or not self.pending:
            return chunk
        place = chunk[0].place
        return [If(place, ((Infix(place, "=", self.go, _number(place, 0)), tuple(chunk)),), ())]

    def _is(self, place: Place, label: str, sign: str) -> Expression:
        return Infix(place, sign, self.go, _number(place, self.numbers[label]))


__all__ = ["Leap", "Mark", "Part", "arranged"]
