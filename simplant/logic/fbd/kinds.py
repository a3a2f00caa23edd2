"""Of which type a value in a drawing is, as far as it must be known before the checker sees it: hidden variables.

Rule: what cannot be told here is said to be unknown, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from simplant.errors import Place
from simplant.logic.st.bases import block_named
from simplant.logic.st.declared import ArrayOf, File, Named, RefTo, Structure, TypeSpec, Unit, Variable
from simplant.logic.st.tree import Access, Call, Deref, Expression, Field, Index, Infix, Literal, Prefix
from simplant.values import TYPES

COMPARISONS: Final = frozenset(("GT", "GE", "EQ", "LE", "LT", "NE", "=", "<>", "<", ">", "<=", ">="))
_SAME: Final = frozenset(
    ("ADD", "SUB", "MUL", "DIV", "MOD", "EXPT", "AND", "OR", "XOR", "NOT", "ABS", "SQRT", "MOVE", "MAX", "MIN", "LIMIT",
     "SHL", "SHR", "ROL", "ROR")
)  # fmt: skip
_CHOSEN: Final = frozenset(("SEL", "MUX"))
_STRINGS: Final = ("STRING", "WSTRING")
_TEXTS: Final = {"LEN": "INT", "FIND": "INT"}
_CUT: Final = frozenset(("CONCAT", "LEFT", "RIGHT", "MID", "INSERT", "DELETE", "REPLACE"))
"""Functions that give a text of the kind of their first one, as long as a text may be."""


class Kinds:
    """Types of values in one unit."""

    def __init__(self, unit: Unit, file: File | None) -> None:
        self.variables: dict[str, Variable] = {}
        self.types: dict[str, TypeSpec] = {}
        self.units: dict[str, Unit] = {}
        if file is not None:
            self.types = {row.name.upper(): row.type for row in file.types}
            self.units = {each.name.upper(): each for each in file.units}
            shared = [*file.variables, *(v for c in file.configurations for v in c.variables)]
            self.variables = {v.name.upper(): v for v in shared}
        self.variables |= {v.name.upper(): v for v in unit.variables}
        if unit.result is not None:
            self.variables[unit.name.upper()] = Variable(unit.place, unit.name, unit.result)

    def of(self, node: Expression) -> TypeSpec | None:
        """Give the type of a value; None if it cannot be told."""
        match node:
            case Literal():
                name = node.enum or (node.type.name if node.type is not None else "")
                return Named(node.place, name) if name else None
            case Access():
                return self._access(node)
            case Prefix():
                return self.of(node.operand)
            case Infix():
                return self.result(node.operator, [self.of(node.left), self.of(node.right)], node.place)
            case Call():
                values = [a.value for a in node.arguments if a.value is not None and a.name.upper() != "EN"]
                return self.result(node.callee.name, [self.of(value) for value in values], node.place)

    def _access(self, node: Access) -> TypeSpec | None:
        found = self.variables.get(node.name.upper())
        if found is None:
            return Named(node.place, "BOOL") if node.name.startswith("%") and _is_bit(node.name) else None
        spec: TypeSpec | None = found.type
        for selector in node.selectors:
            spec = self._plain(spec)
            inner = isinstance(selector, Index) and isinstance(spec, ArrayOf)
            if (inner or isinstance(selector, Deref)) and isinstance(spec, ArrayOf | RefTo):
                spec = spec.of
            elif isinstance(selector, Field):
                spec = self._field(spec, selector.name)
            else:
                return Named(node.place, "BOOL") if getattr(selector, "size", "") == "X" else None
        return spec

    def _plain(self, spec: TypeSpec | None) -> TypeSpec | None:
        """Look a named type up, through aliases."""
        for _ in range(len(self.types)):
            if not isinstance(spec, Named) or spec.name.upper() not in self.types:
                break
            spec = self.types[spec.name.upper()]
        return spec

    def _field(self, spec: TypeSpec | None, name: str) -> TypeSpec | None:
        fields: Iterable[Variable] = ()
        if isinstance(spec, Structure):
            fields = spec.fields
        elif isinstance(spec, Named) and spec.name.upper() in self.units:
            fields = self.units[spec.name.upper()].variables
        elif isinstance(spec, Named) and (block := block_named(spec.name.upper())) is not None:
            kinds = {f.name: f.type.name for f in (*block.inputs, *block.outputs)}
            return Named(spec.place, kinds[name.upper()]) if name.upper() in kinds else None
        return next((f.type for f in fields if f.name.upper() == name.upper()), None)

    def keeps(self, name: str) -> bool:
        """Say whether a function gives a value of the type that its inputs have."""
        return name.upper() in _SAME and name.upper() not in self.units

    def result(self, name: str, values: list[TypeSpec | None], place: Place) -> TypeSpec | None:
        """Give what a function (or operator) gives for values of some types; None if it cannot be told."""
        key = name.upper()
        if key in self.units:
            return self.units[key].result
        if key in COMPARISONS:
            return Named(place, "BOOL")
        target = key.rpartition("TO_")[2] if "TO_" in key else _TEXTS.get(key, "")
        if target:
            return Named(place, target) if target in TYPES else None
        if key in _CUT:
            texts = [spec.name for spec in values if isinstance(spec, Named)]
            return Named(place, texts[0]) if texts and texts[0].upper() in _STRINGS else None
        stem, _, typed = key.rpartition("_")
        if stem in _SAME and typed in TYPES:
            return Named(place, typed)
        if key in _CHOSEN:
            values = values[1:]
        elif key.isalpha() and key not in _SAME:
            return None
        return next((spec for spec in values if spec is not None), None)


def _is_bit(address: str) -> bool:
    return address[2:3].isdigit() or address[2:3].upper() == "X"


__all__ = ["COMPARISONS", "Kinds"]
