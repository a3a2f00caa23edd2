"""The sequences of a text: a CASE of steps that have names, and which step each assignment leads from and to.

They are read off the statements (st/sequences.py). Rule: a step is a name of an enumeration, or a constant; a selector
with labels that are plain numbers is no sequence.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from simplant.errors import Place
from simplant.logic.st.prepared import TextProgram
from simplant.logic.st.scope import Frame, Symbol, UnitInfo
from simplant.logic.st.sequences import ways_in
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Access, Case, Expression, Literal
from simplant.logic.st.types import Scalar
from simplant.values import Kind


@dataclass(frozen=True, slots=True)
class TextSequence:
    """One of them.

    Args:
        name: for people: the variable, with its unit before it if that is a block or a function.
        variable: as declared.
        place: of its declaration.
        words: its steps, by their numbers.
        initial: the number that it begins with.
        cases: where a CASE chooses by it.
        ways: from which steps to which one an assignment leads, by its place.
    """

    name: str
    variable: str
    place: Place
    words: Mapping[int, str]
    initial: int
    ways: Mapping[Place, tuple[tuple[int, ...], int]] = field(hash=False)
    cases: frozenset[Place] = frozenset()


def sequences_in(program: TextProgram) -> Iterator[TextSequence]:
    """Give the sequences of a program, unit by unit."""
    names = program.project.names
    for info in [u for u in names.units.values() if not u.standard]:
        frame = Frame(names, info)
        for key in dict.fromkeys(str(case.selector).upper() for case in _cases(info)):
            symbol = frame.find(key)
            found = _sequence(info, frame, symbol, key) if symbol is not None else None
            if found is not None:
                yield found


def _cases(info: UnitInfo, key: str = "") -> Iterator[Case]:
    """Give each CASE of a unit that chooses by a whole variable; by this one, if it is named."""
    for node in every(info.tree.statements):
        plain = isinstance(node, Case) and isinstance(node.selector, Access) and not node.selector.selectors
        if isinstance(node, Case) and plain and key in ("", str(node.selector).upper()):
            yield node


def _sequence(info: UnitInfo, frame: Frame, symbol: Symbol, key: str) -> TextSequence | None:
    words = _words(info, frame, symbol, key)
    if len(words) < 2:
        return None
    numbers = {word: number for number, word in words.items()}
    ways: dict[Place, tuple[tuple[int, ...], int]] = {}
    for place, source, dest in ways_in(info.tree.statements, key, list(numbers)):
        known = ways.get(place, ((), 0))[0]
        ways[place] = ((*known, numbers[source]), numbers[dest])
    name = symbol.name if info.tree.kind == "PROGRAM" else f"{info.tree.name}.{symbol.name}"
    initial = symbol.initial if isinstance(symbol.initial, int) else symbol.plain.initial  # type: ignore[union-attr]
    if not ways:
        return None
    cases = frozenset(case.place for case in _cases(info, key))
    return TextSequence(name, symbol.name, symbol.place, words, int(initial), ways, cases)  # type: ignore[arg-type]


def _words(info: UnitInfo, frame: Frame, symbol: Symbol, key: str) -> dict[int, str]:
    """Give the steps of a selector by their numbers; none if it has no names for them."""
    type_ = symbol.plain
    if not isinstance(type_, Scalar) or type_.base.kind not in (Kind.INTEGER, Kind.BITS):
        return {}
    if type_.words is not None:
        return {number: word for word, number in type_.words.values()}
    labels = [label for case in _cases(info, key) for group, _ in case.groups for label in group]
    found = [_constant(low, frame) for low, high in labels if high is None]
    return dict(each for each in found if each is not None) if None not in found else {}


def _constant(label: Expression, frame: Frame) -> tuple[int, str] | None:
    """Give the number and the name of a label that is a constant."""
    if isinstance(label, Literal) or not isinstance(label, Access) or label.selectors:
        return None
    symbol = frame.find(label.name)
    known = symbol is not None and symbol.folded and isinstance(symbol.initial, int)
    return (int(symbol.initial), symbol.name) if known and symbol is not None else None  # type: ignore[call-overload]
