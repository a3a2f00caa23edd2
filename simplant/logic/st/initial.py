"""Making initial values from what was read, as `types.leaves` takes them.

Rule: they are known before the program runs.
"""

from dataclasses import replace
from typing import Final

from simplant.errors import Place, nearest
from simplant.logic.core import Routine
from simplant.logic.st.declared import FieldInit, Init, ListInit
from simplant.logic.st.fields import field_names, field_type
from simplant.logic.st.references import first_reference
from simplant.logic.st.report import Report, fail
from simplant.logic.st.scope import Frame, UnitInfo
from simplant.logic.st.statements import Statements
from simplant.logic.st.tree import Call, Expression
from simplant.logic.st.types import Array, Overlap, Scalar, Standard, Struct, StType, elementary, plain
from simplant.values import TYPES

_OTHER: Final = "this initial value is for another kind of type"
MOST_ELEMENTS: Final = 1_000_000


class Initials:
    """Makes initial values.

    Attributes:
        report: where what is loose or wrong goes.
    """

    report: Report

    def initial(self, given: Init | None, type_: StType, frame: Frame, what: str) -> object:
        """Make an initial value as `leaves` takes it; raises `Fault`."""
        type_ = plain(type_)
        match given, type_:
            case None, _:
                return None
            case ListInit(), Array():
                return self._list(given, type_, frame, what)
            case FieldInit(), (Struct() | Standard()):
                return self._by_field(given, type_, frame)
            case ((ListInit() | FieldInit()), _):
                why = "its fields share their bytes, so they begin with zeros" if isinstance(type_, Overlap) else _OTHER
                fail(given.place, f"{what} is {type_.name}", why)
            case _, Scalar():
                return self._single(given, type_, frame, what)
            case _, Array():
                self.report.loose(given.place, f"{what} is an array", "write [value, value, ...]")
                return [self.initial(given, type_.of, frame, what)]
            case _:
                fail(given.place, f"{what} is {type_.name}", mend="write (field := value, ...)")

    @staticmethod
    def _single(given: Expression, type_: Scalar, frame: Frame, what: str) -> object:
        lowering = Statements(frame, NO_ROUTINES)
        if isinstance(given, Call) and given.callee.name.upper() == "REF" and type_.refers is not None:
            return first_reference(lowering, given, type_)
        return lowering.constant(given, type_, what)

    def _list(self, given: ListInit, type_: Array, frame: Frame, what: str) -> list[object]:
        values: list[object] = []
        whole = elementary(TYPES["DINT"])
        for count, item in self._flat(given, type_):
            times = int(Statements(frame, NO_ROUTINES).constant(count, whole, "a count")) if count is not None else 1
            value = self.initial(item, type_.of, frame, what)
            values += [value] * min(max(times, 0), MOST_ELEMENTS)
        most = 1
        for bounds in type_.ranges:
            most *= bounds[1] - bounds[0] + 1
        if len(values) > most:
            fail(given.place, f"{len(values)} initial values for {most} elements of {what}")
        return values

    def _flat(self, given: ListInit, type_: Array) -> list[tuple[Expression | None, Init | None]]:
        """Give the items of a list; for an array of several indices people write lists in a list."""
        inner = [item for _, item in given.items if isinstance(item, ListInit)]
        if not inner or isinstance(type_.of, Array) or len(type_.ranges) == 1:
            return list(given.items)
        self.report.loose(given.place, "lists in a list are for one array", "write all values in one list")
        made: list[tuple[Expression | None, Init | None]] = []
        for count, item in given.items:
            if isinstance(item, ListInit) and count is not None:
                fail(item.place, "a list in a list is repeated", mend="write [2(1, 2, 3)]")
            made += self._flat(item, type_) if isinstance(item, ListInit) else [(count, item)]
        return made

    def _by_field(self, given: FieldInit, type_: Struct | Standard, frame: Frame) -> dict[str, object]:
        values: dict[str, object] = {}
        for place, name, value in given.items:
            found = field_type(type_, name)
            if found is None:
                fail(place, f"{type_.name} has no {name!r}", mend=nearest(name, field_names(type_)), length=len(name))
            values[name.upper()] = self.initial(value, found[1], frame, name)
        return values


class _NoRoutines:
    """Stands in where no function may be called: in initial values and bounds."""

    def routine(self, unit: UnitInfo, place: Place) -> Routine:
        """Refuse."""
        fail(place, f"{unit.tree.name} is called", "this value must be known before the program runs")

    def version(self, unit: UnitInfo, ranges: dict[str, tuple[tuple[int, int], ...]]) -> UnitInfo:
        """Give the unit itself: it is refused when it is called."""
        del ranges
        return unit


def beginning(type_: StType, initial: object) -> StType:
    """Give a type whose variables begin with another value."""
    match type_:
        case Scalar() | Array():
            return replace(type_, initial=initial)  # type: ignore[arg-type]  # checked by the reader
        case Struct() if isinstance(initial, dict):
            fields = {k: replace(f, initial=initial.get(k, f.initial)) for k, f in type_.fields.items()}
            return replace(type_, fields=fields)
        case _:
            return type_


NO_ROUTINES: Final = _NoRoutines()
