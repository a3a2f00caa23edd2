"""Making variables from declarations.

Making types is making_types.py; what a name then means is scope.py. Rule: a declaration that is wrong is told and left
out.
"""

from simplant.blocks import BLOCKS
from simplant.logic.st.addresses import bits_of, canonical, covering
from simplant.logic.st.declared import Named, Unit, Variable
from simplant.logic.st.fields import is_instance
from simplant.logic.st.making_types import Types
from simplant.logic.st.moving import bounds
from simplant.logic.st.parts import every, expressions_of, within
from simplant.logic.st.references import as_cell, referred
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Frame, Symbol, UnitInfo
from simplant.logic.st.sizes import Size
from simplant.logic.st.tree import Call, Let
from simplant.logic.st.types import Scalar, Standard, alike, elementary
from simplant.values import BOOL, Kind


class Declaring(Types):
    """Makes the types and variables of one file.

    Attributes:
        stored: values of all variables that were declared.
        has_done: ENO is written somewhere in the file.
        has_references: REF is taken of something in the file.
    """

    stored = Size(0, 0)
    has_references = False
    has_done = False

    def declare(self, unit: UnitInfo, prefix: str) -> None:
        """Make the variables of a unit; their paths begin with `prefix`."""
        frame = Frame(self.names, unit)
        if unit.tree.result is not None:
            unit.result = self.report.guarded(self.type_of, unit.tree.result, frame)
        if unit.result is not None:
            key = unit.tree.name.upper()
            unit.symbols[key] = Symbol(unit.tree.name, prefix + unit.tree.name, unit.result, "RESULT", unit.tree.place)
        if self.has_done and "ENO" not in unit.symbols and "ENO" in _written(unit.tree):
            done = Symbol("ENO", prefix + "ENO", elementary(BOOL), "VAR_OUTPUT", unit.tree.place, initial=True)
            unit.symbols["ENO"] = done
        names = frozenset(referred(unit.tree)) if self.has_references else frozenset()
        for variable in unit.tree.variables:
            if not self.report.guarded(self._variable, variable, unit, prefix, frame, names):
                self.report.breaks(variable.name)

    def _variable(self, variable: Variable, unit: UnitInfo, prefix: str, frame: Frame, names: frozenset[str]) -> bool:
        """Make one variable of a unit."""
        key = variable.name.upper()
        if key in unit.symbols:
            first = unit.symbols[key].place
            where = f"first at line {first.line}"
            fail(variable.place, f"{variable.name} is declared twice", where, length=len(variable.name))
        symbol = self.symbol(variable, prefix, frame)
        if key in names and symbol.section not in ("VAR_EXTERNAL", "VAR_GLOBAL"):
            as_cell(symbol, unit)
        if unit.tree.kind == "FUNCTION" and symbol.section == "VAR" and is_instance(symbol.type):
            what = f"{symbol.name} is an instance in a FUNCTION, which keeps nothing"
            self.report.loose(symbol.place, what, "write a FUNCTION_BLOCK", len(symbol.name))
        if symbol.section == "VAR_EXTERNAL":
            self._external(symbol)
        if symbol.section == "VAR_GLOBAL":
            symbol.path = symbol.name if symbol.path == prefix + symbol.name else symbol.path
            symbol = self.names.globals.setdefault(key, symbol)
        unit.symbols[key] = symbol
        if symbol.edge:
            block = BLOCKS["R_TRIG" if symbol.edge == "R_EDGE" else "F_TRIG"]
            hidden = f"{symbol.name}.edge"
            unit.symbols[hidden] = Symbol(hidden, f"{symbol.path}.edge", Standard(block), "VAR", symbol.place)
        return True

    def _external(self, symbol: Symbol) -> None:
        known = self.names.globals.get(symbol.name.upper())
        if known is None:
            self.report.loose(symbol.place, f"there is no global {symbol.name}", "declare it with VAR_GLOBAL",
                              len(symbol.name))  # fmt: skip
            self.names.globals[symbol.name.upper()] = Symbol(
                symbol.name, symbol.name, symbol.type, "VAR_GLOBAL", symbol.place, symbol.initial
            )
        elif not alike(known.type, symbol.type) or bounds(known.type) != bounds(symbol.type):
            what = f"{symbol.name} is {symbol.type.name} here, the global {known.name} is {known.type.name}"
            self.report.error(symbol.place, what, length=len(symbol.name))

    def _sized(self, symbol: Symbol) -> None:
        """Hold the size of an address against that of the type; what a time takes is the controller's affair."""
        base, bits = symbol.type.base if isinstance(symbol.type, Scalar) else None, bits_of(symbol.address)
        if base is not None and base.kind not in (Kind.TIME, Kind.STRING) and base.bits not in (0, bits):
            what = f"{symbol.address} holds {bits} bit{'s' if bits > 1 else ''}, {symbol.name} is {base.name}"
            self.report.loose(symbol.place, what, "write the size of the type", len(symbol.name))

    def symbol(self, variable: Variable, prefix: str, frame: Frame) -> Symbol:
        """Make one variable; raises `Fault`."""
        type_ = self.type_of(variable.type, frame)
        size = self.size_of(type_)
        self.stored += size
        self.fitting(size, variable.place, variable.name)
        quarter = Size(
            self.stored.values // 4, self.stored.names // 4
        )  # an instance is declared with its unit, and placed
        self.fitting(quarter, variable.place, "a quarter of all that is declared up to here")
        initial = self.initial(variable.initial, type_, frame, variable.name)
        section = variable.section
        edge = variable.type.edge if isinstance(variable.type, Named) else ""
        symbol = Symbol(
            variable.name, prefix + variable.name, type_, section.word, variable.place, initial,
            section.constant, section.retain, variable.address, edge, hidden=variable.hidden,
        )  # fmt: skip
        if section.constant and variable.initial is None and section.word != "VAR_EXTERNAL":
            self.report.warn(variable.place, f"the constant {variable.name} has no value", length=len(variable.name))
        if "*" in variable.address:
            symbol.address, symbol.open_address = "", variable.address
            return symbol
        symbol = self._located(symbol) if variable.address else symbol
        if symbol.is_global and variable.name.upper() in self.referred:
            as_cell(symbol, None)
        return symbol

    def _located(self, symbol: Symbol) -> Symbol:
        """Let variables at one address be one."""
        if symbol.address[1] not in "IQM":
            what, mend = f"{symbol.address} is an address inside a structure", "write for instance %MB2"
            fail(symbol.place, what, mend=mend, length=len(symbol.name))
        address = canonical(symbol.address)
        symbol.address = address
        self._sized(symbol)
        known = self.names.located.get(address)
        if known is None:
            other = covering(address, self.names.located)
            if other is not None:
                what = f"{address} and {other} may cover one another"
                why = "what one has to do with the other is the controller's affair; here they are two variables"
                self.report.warn(symbol.place, what, why, "use one of them, and the bit access x.%X0", len(symbol.name))
            self.names.located[address] = symbol
        elif isinstance(known.plain, Scalar) and isinstance(symbol.type, Scalar):
            if known.plain.base is not symbol.type.base:
                what = f"{symbol.name} is {symbol.type.name}, {known.name} at {address} is {known.type.name}"
                fail(symbol.place, what, "one address has one type", length=len(symbol.name))
            symbol.path, symbol.type = known.path, known.type
        return symbol


def _written(unit: Unit) -> frozenset[str]:
    """Give what a unit assigns to without declaring it, by name in capitals."""
    nodes = list(every(unit.statements))
    calls = (e for n in nodes for whole in expressions_of(n) for e in within(whole) if isinstance(e, Call))
    targets = [n.target for n in nodes if isinstance(n, Let)] + [
        a.target for c in calls for a in c.arguments if a.target
    ]
    return frozenset(each.name.upper() for each in targets) - {v.name.upper() for v in unit.variables}
