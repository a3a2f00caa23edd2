"""Finding what an access means, and reading there: variables, fields, elements of arrays, parts of bit strings.

Writing is moving.py. Rule: an index is checked, before the program runs if it is known then.
"""

from dataclasses import replace
from typing import Final, Protocol

from simplant.errors import Place, ProgramError
from simplant.expr import (
    Binary,
    Checked,
    Const,
    Element,
    Expr,
    Function,
    Op,
    Pointed,
    Ref,
    TimerElapsed,
    evaluate,
)
from simplant.expr.checks import IndexCheck
from simplant.logic.core import Assign, Core, Origin, Routine
from simplant.logic.st.adapt import Val
from simplant.logic.st.addresses import canonical
from simplant.logic.st.bare import is_constant
from simplant.logic.st.fields import field_names, field_type
from simplant.logic.st.foreign import ADDRESS, MEMBERS, VARIABLES, foreign
from simplant.logic.st.letters import is_text, letter, read_letter
from simplant.logic.st.operators import kind_of
from simplant.logic.st.outside import entered
from simplant.logic.st.overlaps import element_view, field_view, read_view
from simplant.logic.st.references import led
from simplant.logic.st.report import Fault, fail
from simplant.logic.st.scope import Frame, Symbol, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.tree import Access, Deref, Expression, Field, Index, Part
from simplant.logic.st.types import Array, Overlap, Scalar, Standard, elementary, leaves
from simplant.values import BOOL, BYTE, DINT, DWORD, LWORD, WORD, Kind

SIZES: Final = {"X": (BOOL, 1), "B": (BYTE, 8), "W": (WORD, 16), "D": (DWORD, 32), "L": (LWORD, 64)}
_PARTS: Final = {"X": "bit", "B": "byte", "W": "word", "D": "double word", "L": "long word"}
_DIRECTIONS: Final = {"E": "I", "A": "Q"}


class Routines(Protocol):
    """Gives what a user's function or function block became."""

    def routine(self, unit: UnitInfo, place: Place) -> Routine:
        """Give a unit as a routine; raises `Fault` if it calls itself."""

    def version(self, unit: UnitInfo, ranges: dict[str, tuple[tuple[int, int], ...]]) -> UnitInfo:
        """Give a unit with the lengths that its ARRAY[*] have in a call."""


class Spots:
    """Finds and reads variables.

    Args:
        frame: where they stand.
        project: gives the routines of user-written units.

    Attributes:
        before: statements that must run before the one that is being lowered.
    """

    def __init__(self, frame: Frame, project: Routines) -> None:
        self.frame = frame
        self.project = project
        self.report = frame.report
        self.before: list[Core] = []

    def value(self, node: Expression, wanted: Scalar | None = None) -> Val:
        """Lower an expression: see expressions.py."""
        raise NotImplementedError

    def read(self, spot: Spot) -> Expr:
        """Give the value at a spot."""
        assert isinstance(spot.type, Scalar), "only a single value is read"
        if spot.is_part:
            return self._read_part(spot)
        if spot.view is not None:
            return read_view(self, spot)
        if spot.through is not None:
            index = Const(0, DINT) if spot.index is None else spot.index
            return Pointed(spot.through, spot.label, spot.path, index, spot.type.base)
        if spot.known is not None:
            return Const(spot.known, spot.type.base)
        if spot.elapsed:
            return TimerElapsed(self.instance(spot), spot.elapsed.name)
        if spot.index is not None:
            if spot.symbol.folded:
                self.hold(spot.symbol)
            return Element(spot.path, spot.index, spot.type.base, spot.cell)
        return Ref(spot.path, spot.type.base)

    def _read_part(self, spot: Spot) -> Expr:
        """Give a part of a bit string, or a letter of a text."""
        if spot.letter is not None:
            return read_letter(self, spot, spot.letter)
        assert spot.bit is not None, "a part of a bit string"
        base, size = SIZES[spot.bit.size]
        whole = self.read(spot.whole())
        name = "BIT" if base is BOOL else "PART"
        return Function(name, (whole, Const(spot.bit.number, DINT), Const(size, DINT)), base)

    def instance(self, spot: Spot) -> str:
        """Give the path of a standard block's instance; one of an array is loaded into one of its own."""
        path, block = spot.path.rpartition(".")[0], spot.elapsed
        assert block is not None, "an instance of a timer"
        if spot.index is None:
            self.frame.blocks[path] = block
            return path
        own, origin = self.frame.fresh("block"), self.origin(spot.symbol.place)
        self.frame.blocks[own] = block
        for each in block.stored:
            self.frame.types[f"{own}.{each.name}"] = elementary(each.type)
            self.before.append(
                Assign(f"{own}.{each.name}", Element(f"{path}.{each.name}", spot.index, each.type), origin)
            )
        return own

    def hold(self, symbol: Symbol) -> None:
        """Keep a constant array at hand."""
        for leaf in leaves(symbol.path, symbol.type, symbol.initial):
            self.frame.rows[leaf.name] = leaf.initial

    def origin(self, place: Place) -> Origin:
        """Make the origin of a core node."""
        return Origin(f"line{place.line}.{place.column}", place)

    def spot(self, node: Access, *, looking: bool = False) -> Spot:
        """Find what an access means: a variable, or a part of one.

        Args:
            node: the access.
            looking: only to read one value there, when the expression comes to it: `r <> NULL AND r^.on`.
        """
        symbol = self.frame.find(node.name)
        if symbol is None:
            symbol = self._undeclared(node)
        elif symbol.section == "VAR_GLOBAL":
            self._from_outside(node, symbol)
        spot = Spot(symbol, symbol.path, symbol.type).entered()
        for number, selector in enumerate(node.selectors):
            match selector:
                case Deref():
                    before = Access(node.place, node.name, node.selectors[:number])
                    spot = led(self, spot, before, selector.place, looking=looking)
                case Field():
                    spot = self._field(spot, selector)
                case Index():
                    spot = self._index(spot, selector)
                case Part():
                    spot = self._part(spot, selector)
        return spot.resolved()

    def _from_outside(self, node: Access, symbol: Symbol) -> None:
        """Tell of a global of this file that a unit uses without a VAR_EXTERNAL; what the I/O list has needs none."""
        unit, key = self.frame.unit, node.name.upper()
        if unit is not None and key not in unit.symbols and key not in self.frame.told and node.name[0] != "%":
            self.frame.told.add(key)
            if symbol.place.file == self.report.name:
                what = f"{node.name} is a global that {unit.tree.name} does not name"
                self.report.loose(node.place, what, "write it in a VAR_EXTERNAL", len(node.name))

    def _undeclared(self, node: Access) -> Symbol:
        if node.name[0] == "%":
            return located(self.frame, node)
        unit = self.frame.names.units.get(node.name.upper())
        if unit is not None and unit is self.frame.unit and unit.tree.kind == "FUNCTION":
            what = f"the FUNCTION {unit.tree.name} has no type, so it gives nothing back"
            fail(node.place, what, mend=f"write FUNCTION {unit.tree.name} : INT", length=len(node.name))
        if unit is not None:
            what, length = f"{unit.tree.name} is a {unit.tree.kind}, no variable", len(node.name)
            fail(
                node.place, what, mend=f"write {node.name}(...)" if unit.tree.kind == "FUNCTION" else "", length=length
            )
        inside = node.selectors[0] if node.selectors else None
        if isinstance(inside, Field) and inside.name.upper() in self.frame.names.globals:
            foreign(node.place, f"{node.name}. before a global", f"write {inside.name} instead", len(node.name))
        broken = self.report.broken.get(node.name.upper())
        if broken is not None:
            raise Fault(broken)
        if ADDRESS.fullmatch(node.name):
            bit = f".{inside.number}" if isinstance(inside, Part) else ""
            letter, rest = node.name[0].upper(), node.name[1:].upper()
            where = f"write %{_DIRECTIONS.get(letter, letter)}{rest}{bit}, or "
            instead = f"{where if letter not in 'XYD' else ''}declare a variable"
            foreign(node.place, f"the address {node.name}{bit} without %", instead, len(node.name))
        if node.name.upper() in VARIABLES:
            foreign(node.place, node.name, VARIABLES[node.name.upper()], len(node.name))
        fail(node.place, f"{node.name!r} is not declared", mend=self.frame.close_to(node.name), length=len(node.name))

    def _field(self, spot: Spot, selector: Field) -> Spot:
        found = field_type(spot.type, selector.name)
        if found is None:
            names = field_names(spot.type)
            meant = [n for n in MEMBERS.get(selector.name.upper(), ()) if n in names]
            if meant and isinstance(spot.type, Standard):
                foreign(
                    selector.place, f"{selector.name} of a {spot.type.name}", f"write {meant[0]}", len(selector.name)
                )
            mend = f"it has {', '.join(names[:12])}" if names else ""
            what = f"{spot.symbol.name} ({spot.type.name}) has no {selector.name!r}"
            fail(selector.place, what, mend=mend, length=len(selector.name))
        name, type_, section = found
        if spot.view is not None or isinstance(spot.type, Overlap):
            return field_view(spot, name, type_)
        return replace(spot.field(name, type_, section), inner=entered(self.frame, spot, name, section))

    def _index(self, spot: Spot, selector: Index) -> Spot:
        if is_text(spot):
            return letter(self, spot, selector)
        if not isinstance(spot.type, Array):
            base = spot.type.base if isinstance(spot.type, Scalar) else BOOL
            mend = "write x.%X0 for a bit" if base.is_bits or base.is_integer else ""
            fail(selector.place, f"{spot.symbol.name} is {spot.type.name}, not an array", mend=mend)
        if len(selector.values) < len(spot.type.ranges) or (
            len(selector.values) > len(spot.type.ranges) and not isinstance(spot.type.of, Array)
        ):
            count = len(spot.type.ranges)
            fail(
                selector.place,
                f"the array has {count} {'index' if count == 1 else 'indices'}, not {len(selector.values)}",
                mend="write [i, j]" if count == 2 else "",
            )
        flat = spot.index if spot.view is None else None
        for value, (low, high) in zip(selector.values, spot.type.ranges, strict=False):
            flat = self._flat(flat, value, low, high, spot)
        assert flat is not None, "an array has an index"
        inner = spot.element(flat) if spot.view is None else element_view(spot, flat)
        rest = selector.values[len(spot.type.ranges) :]
        return self._index(inner, Index(selector.place, rest)) if rest else inner

    def _flat(self, before: Expr | None, node: Expression, low: int, high: int, spot: Spot) -> Expr:
        """Add one index, counted from 0, to those of the arrays around."""
        given = self.value(node, elementary(DINT))
        if given.type.base.kind is not Kind.INTEGER:
            fail(node.place, f"an index is {kind_of(given)}", "it needs a whole number")
        check = IndexCheck(spot.symbol.name, low, high)
        if isinstance(given.constant, int):
            try:
                here: Expr = Const(check(given.constant), DINT)
            except ProgramError as error:
                if not (isinstance(spot.type, Array) and spot.type.open):  # how long that is, each call says
                    fail(node.place, error.what, error.why, error.mend)
                here = Const(0, DINT)
        else:
            here = Checked(given.expr, check, DINT)
        if before is None:
            return here
        size = Const(high - low + 1, DINT)
        made = Binary(Op.ADD, Binary(Op.MUL, before, size, DINT), here, DINT)
        if not is_constant(made):
            return made
        try:
            return Const(evaluate(made, {}), DINT)
        except ProgramError as error:
            fail(node.place, error.what, error.why, error.mend)

    def _part(self, spot: Spot, selector: Part) -> Spot:
        base, size = SIZES[selector.size]
        if not isinstance(spot.type, Scalar) or spot.type.base.kind not in (Kind.BITS, Kind.INTEGER):
            fail(selector.place, f"{spot.symbol.name} is {spot.type.name}, not a bit string")
        if (selector.number + 1) * size > spot.type.base.bits:
            what = f"{spot.type.name} has no {_PARTS[selector.size]} {selector.number}"
            fail(selector.place, what, f"it has {spot.type.base.bits // size}, numbered from 0")
        if spot.type.base.kind is Kind.INTEGER:
            self.report.loose(selector.place, f"a bit of an {spot.type.name}", "use a bit string, for instance WORD")
        return spot.part(selector, elementary(base))


def located(frame: Frame, node: Access) -> Symbol:
    """Find the variable at a direct address; one that nobody declared is made here."""
    address = canonical(node.name)
    if "*" in address:
        what = f"{node.name} is no whole address"
        fail(node.place, what, mend="declare a variable AT it, and use that", length=len(node.name))
    base = SIZES[address[2]][0]
    fresh = Symbol(address, address, elementary(base), "VAR_GLOBAL", node.place, address=address)
    found = frame.names.located.setdefault(address, fresh)
    frame.used[found.path] = found
    return found
