"""Making types from what was read: elementary, structures, enumerations, subranges, arrays, instances.

Making variables is declare.py. Rule: a type that is wrong is told and left out; a type that holds itself is wrong.
"""

from __future__ import annotations

from typing import Final

from simplant.blocks import BLOCKS
from simplant.errors import Place, nearest
from simplant.expr.places import NULL
from simplant.logic.st.bases import BASES, block_named
from simplant.logic.st.cursor import DEEPEST
from simplant.logic.st.declared import (
    ArrayOf,
    Enumeration,
    Named,
    RefTo,
    Structure,
    Subrange,
    TypeName,
    TypeSpec,
    Unit,
    Variable,
)
from simplant.logic.st.foreign import NAMED_TYPES, foreign
from simplant.logic.st.initial import NO_ROUTINES, Initials, beginning
from simplant.logic.st.overlaps import laid_out
from simplant.logic.st.own_places import refers_inside
from simplant.logic.st.referent import Referent
from simplant.logic.st.report import Fault, fail
from simplant.logic.st.scope import Frame, Names, UnitInfo
from simplant.logic.st.sizes import Sizes
from simplant.logic.st.statements import Statements
from simplant.logic.st.tree import Literal
from simplant.logic.st.types import (
    DEFAULT_LENGTH,
    ENUM_BASE,
    Array,
    Overlap,
    Scalar,
    Standard,
    Struct,
    StructField,
    StType,
    elementary,
)
from simplant.values import REFERENCE, TYPES, ElementaryType, Kind

OPEN_END_OF_MANY: Final = 15
"""The bounds of an ARRAY[*, *] while nothing is given for it."""
_STORED: Final = ("VAR_INPUT", "VAR_OUTPUT", "VAR")


class Types(Initials, Sizes):
    """Makes the types of one file.

    Args:
        names: where they go.
        types: the rows of its TYPE blocks.
        units: its program units.
        also: units of the standard that they may mean.

    Attributes:
        referents: what the references made so far lead to.
        referred: names in capitals of globals that references lead to.
    """

    def __init__(
        self, names: Names, types: tuple[TypeName, ...], units: tuple[Unit, ...], also: tuple[Unit, ...] = ()
    ) -> None:
        self.names, self.report = names, names.report
        self._rows: dict[str, TypeName] = {}
        self._busy: set[str] = set()
        self._enums: dict[Place, Scalar] = {}
        super().__init__()
        self._inside = 0
        self.referents: list[Referent] = []
        self.referred: frozenset[str] = frozenset()
        for row in types:
            if row.name.upper() in self._rows or row.name.upper() in BASES:
                self.report.error(row.place, f"the type {row.name} is declared twice", length=len(row.name))
            self._rows.setdefault(row.name.upper(), row)
        for unit in units:
            if unit.name.upper() in names.units:
                first = names.units[unit.name.upper()].tree.place
                self.report.error(unit.place, f"{unit.name} is declared twice", f"first at line {first.line}",
                                  length=len(unit.name))  # fmt: skip
            names.units.setdefault(unit.name.upper(), UnitInfo(unit))
        for unit in also:
            names.units.setdefault(unit.name.upper(), UnitInfo(unit, standard=True))

    def all_types(self) -> None:
        """Make every type, so that the names of enumerations are known."""
        for key, row in self._rows.items():
            self.report.guarded(self._own_type, key, row)

    def declare(self, unit: UnitInfo, prefix: str) -> None:
        """Make the variables of a unit: see declare.py."""
        raise NotImplementedError

    def type_of(self, spec: TypeSpec, frame: Frame) -> StType:
        """Make a type; raises `Fault`."""
        match spec:
            case Named():
                return self._named(spec, frame)
            case ArrayOf():
                return self._array(spec, frame)
            case Structure():
                return self._structure(spec, "STRUCT", frame)
            case Enumeration():
                return self._enumeration(spec, "", frame)
            case Subrange():
                return self._subrange(spec, frame)
            case RefTo():
                return self._reference(spec, frame)

    def _named(self, spec: Named, frame: Frame) -> StType:
        key = spec.name.upper()
        if key in self._rows:
            return self._own_type(key, self._rows[key])
        unit = self.names.units.get(key)
        if unit is not None:
            return self._instance(unit, spec)
        if key in BASES:
            return self._elementary(spec, BASES[key], frame)
        block = block_named(key)
        if block is not None:
            return Standard(block)
        if key in self.report.broken:
            raise Fault(self.report.broken[key])
        if key in NAMED_TYPES:
            foreign(spec.place, f"the type {spec.name}", NAMED_TYPES[key], len(spec.name))
        known = {n.upper(): n for n in (*BASES, *BLOCKS, *(r.name for r in self._rows.values()),
                                        *(u.tree.name for u in self.names.units.values()))}  # fmt: skip
        told = nearest(key, known)
        mend = told if told.startswith("close") else "declare it with TYPE or FUNCTION_BLOCK"
        fail(spec.place, f"there is no type {spec.name!r}", mend=mend, length=len(spec.name))

    def _reference(self, spec: RefTo, frame: Frame) -> Scalar:
        """Make the type of a reference; what it leads to is made later, since it may hold this very reference."""
        what = spec.of.name if isinstance(spec.of, Named) else type(spec.of).__name__.upper()
        refers = Referent(lambda: self.type_of(spec.of, frame))
        self.referents.append(refers)
        return Scalar(REFERENCE, f"REF_TO {what}", initial=NULL, refers=refers)

    def _instance(self, unit: UnitInfo, spec: Named) -> StType:
        if unit.tree.kind == "FUNCTION":
            fail(spec.place, f"{spec.name} is a FUNCTION, not a type", length=len(spec.name))
        return self.struct_of(unit, spec)

    def struct_of(self, unit: UnitInfo, spec: Named) -> Struct:
        """Give what an instance of a function block (or program) stores."""
        if unit.busy and unit.struct is None:
            fail(
                spec.place, f"{unit.tree.name} holds an instance of itself", "it would never end", length=len(spec.name)
            )
        if unit.struct is None:
            self._deep(self._inside, spec.place)
            unit.busy, self._inside = True, self._inside + 1
            try:
                self.declare(unit, "")
            finally:
                unit.busy, self._inside = False, self._inside - 1
            kept = [s for s in unit.of(*_STORED) if not s.address]
            fields = {s.name.upper(): StructField(s.name, s.type, s.initial, s.section, s.place,
                                                  refers_inside(s.initial)) for s in kept}  # fmt: skip
            unit.struct = Struct(unit.tree.name, fields, unit.tree.name)
        return unit.struct

    def _elementary(self, spec: Named, base: ElementaryType, frame: Frame) -> Scalar:
        if base.kind is Kind.DATE and spec.name[0] in "Ll":
            return Scalar(base, f"L{base.name}", initial=base.default)
        if base.kind is not Kind.STRING:
            return elementary(base)
        if spec.name.upper() in ("CHAR", "WCHAR"):
            return Scalar(base, spec.name.upper(), length=1, initial="")
        length = DEFAULT_LENGTH
        if spec.length is not None:
            length = int(Statements(frame, NO_ROUTINES).constant(spec.length, elementary(TYPES["DINT"]), "the length"))
            if length < 1:
                why = "a text has room for one letter or more"
                fail(spec.length.place, f"the length of {spec.name} is {length}", why, f"write {base.name}[20]")
        name = base.name if spec.length is None else f"{base.name}[{length}]"
        return Scalar(base, name, length=length, initial="")

    def _own_type(self, key: str, row: TypeName) -> StType:
        if key in self.names.types:
            return self.names.types[key]
        if key in self._busy:
            fail(row.place, f"the type {row.name} holds itself", "it would never end", length=len(row.name))
        self._deep(len(self._busy), row.place)
        self._busy.add(key)
        frame = Frame(self.names)
        try:
            made = self._row_type(row, frame)
        finally:
            self._busy.discard(key)
        self.names.types[key] = made
        return made

    def _row_type(self, row: TypeName, frame: Frame) -> StType:
        if isinstance(row.type, Enumeration):
            made: StType = self._enumeration(row.type, row.name, frame)
        elif isinstance(row.type, Structure):
            made = self._structure(row.type, row.name, frame)
        else:
            made = self.type_of(row.type, frame)
        return made if row.initial is None else beginning(made, self.initial(row.initial, made, frame, row.name))

    def _array(self, spec: ArrayOf, frame: Frame) -> Array:
        ranges: list[tuple[int, int]] = []
        lowering = Statements(frame, NO_ROUTINES)
        whole = elementary(TYPES["DINT"])
        total = 1
        for bounds in spec.ranges:
            low, high = (int(lowering.constant(each, whole, "a bound")) for each in bounds)
            if len(spec.ranges) > 1 and isinstance(bounds[0], Literal) and bounds[0].text == "*":
                low, high = -OPEN_END_OF_MANY, OPEN_END_OF_MANY
            if high < low:
                fail(bounds[0].place, f"the range {low}..{high} is empty", mend="write the smaller bound first")
            ranges.append((low, high))
            total *= high - low + 1
        is_open = any(isinstance(low, Literal) and low.text == "*" for low, _ in spec.ranges)
        inner = self.type_of(spec.of, frame)
        self.fitting(self.size_of(inner) * total, spec.place, "the array")
        return Array(tuple(ranges), inner, open=is_open)

    @staticmethod
    def _deep(depth: int, place: Place) -> None:
        if depth > DEEPEST:
            fail(place, f"more than {DEEPEST} types stand in one another here")

    def _structure(self, spec: Structure, name: str, frame: Frame) -> Struct | Overlap:
        fields = self._fields(spec.fields, frame)
        if any(each.address for each in fields.values()) or spec.overlap:
            return laid_out(name, fields, spec, self.report)
        return Struct(name, fields)

    def _fields(self, variables: tuple[Variable, ...], frame: Frame) -> dict[str, StructField]:
        fields: dict[str, StructField] = {}
        for each in variables:
            if each.name.upper() in fields:
                self.report.error(each.place, f"the field {each.name} is declared twice", length=len(each.name))
            type_ = self.type_of(each.type, frame)
            initial = self.initial(each.initial, type_, frame, each.name)
            fields[each.name.upper()] = StructField(
                each.name, type_, initial, "FIELD", each.place, address=each.address
            )
        return fields

    def _enumeration(self, spec: Enumeration, name: str, frame: Frame) -> Scalar:
        if spec.place in self._enums:  # a program is declared once for each instance
            return self._enums[spec.place]
        base = BASES.get(spec.base.upper(), ENUM_BASE) if spec.base else ENUM_BASE
        words: dict[str, tuple[str, int]] = {}
        following = 0
        for place, word, value in spec.names:
            if value is not None:
                following = int(Statements(frame, NO_ROUTINES).constant(value, elementary(base), word))
            if word.upper() in words:
                self.report.error(place, f"{word} is declared twice", length=len(word))
            words[word.upper()] = (word, following)
            following += 1
        first = next(iter(words.values()))[1] if words else 0
        made = Scalar(base, name or f"({', '.join(w for w, _ in words.values())})", words=words, initial=first,
                      named=bool(spec.base))  # fmt: skip
        self._enums[spec.place] = made
        for key, (_, number) in words.items():
            self.names.words.setdefault(key, []).append((made, number))
        return made

    def _subrange(self, spec: Subrange, frame: Frame) -> Scalar:
        base = BASES.get(spec.base.upper())
        if base is None or base.kind is not Kind.INTEGER:
            fail(spec.place, f"{spec.base} has no subrange", "only whole numbers have", length=len(spec.base))
        lowering = Statements(frame, NO_ROUTINES)
        low = int(lowering.constant(spec.low, elementary(base), "a bound"))
        high = int(lowering.constant(spec.high, elementary(base), "a bound"))
        if high < low:
            fail(spec.place, f"the range {low}..{high} is empty", mend="write the smaller bound first")
        initial = 0 if low <= 0 <= high else low
        return Scalar(base, f"{base.name}({low}..{high})", low, high, initial=initial)
