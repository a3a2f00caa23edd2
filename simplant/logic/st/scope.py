"""What a name means at a place: variables of a unit, globals, names of enumerations, types and units of the file.

Making them from declarations is declare.py. Rule: letter case does not count; a name is told as it was declared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count

from simplant.blocks import BlockType
from simplant.errors import Place, nearest
from simplant.logic.core import Routine
from simplant.logic.st.declared import Unit
from simplant.logic.st.report import Report
from simplant.logic.st.types import Array, Scalar, Struct, StType, plain
from simplant.values import Value


@dataclass(slots=True)
class Symbol:
    """One variable.

    Args:
        name: as declared.
        path: root of the names of its leaves.
        type: its type.
        section: the VAR section it stands in.
        place: of the declaration.
        initial: its initial value, as `leaves` takes it.
        constant: it cannot be written.
        retain: kept over a warm restart.
        address: where it is located (`%IX0.0`), or "".
        open_address: `%I*`: a VAR_CONFIG says where.
        read, written: whether anything does.
        hidden: nobody wrote it, so nobody is shown it.
    """

    name: str
    path: str
    type: StType
    section: str
    place: Place
    initial: object = None
    constant: bool = False
    retain: bool = False
    address: str = ""
    edge: str = ""
    read: bool = False
    written: bool = False
    hidden: bool = False
    open_address: str = ""

    @property
    def plain(self) -> StType:
        """Its type, whether references lead to it or not."""
        return plain(self.type)

    @property
    def folded(self) -> bool:
        """Whether its value stands wherever it is named, and it is not stored."""
        inner = self.type.of if isinstance(self.type, Array) else self.type  # a Cell is stored, so it is not
        return self.constant and isinstance(inner, Scalar)

    def at(self, direction: str) -> bool:
        """Say whether it is located among the inputs (`%I`), the outputs (`%Q`) or the memory (`%M`)."""
        return (self.address or self.open_address).startswith(direction)

    @property
    def is_global(self) -> bool:
        """Whether it is seen from everywhere."""
        return self.section == "VAR_GLOBAL" or bool(self.address)


@dataclass(slots=True)
class UnitInfo:
    """One program unit: its declarations, and what became of it.

    Args:
        tree: as read.
        symbols: its variables by name in capitals, in declared order.
        result: of a function.
        struct: what an instance stores.
        routine: once it is lowered.
        externals: globals that it or what it calls uses: path -> symbol.
        busy: it is being lowered just now; a call of it is recursion.
        standard: it is the standard's own (library.py).
        versions: of a unit with ARRAY[*]: one for each length that it is called with.
    """

    tree: Unit
    symbols: dict[str, Symbol] = field(default_factory=dict)
    result: StType | None = None
    struct: Struct | None = None
    routine: Routine | None = None
    externals: dict[str, Symbol] = field(default_factory=dict)
    busy: bool = False
    standard: bool = False
    versions: dict[tuple[object, ...], UnitInfo] = field(default_factory=dict)

    def of(self, *sections: str) -> list[Symbol]:
        """Give its stored variables of some sections."""
        return [s for s in self.symbols.values() if s.section in sections and not s.folded]

    def given_back(self) -> list[Symbol]:
        """Give what a function gives back besides its VAR_IN_OUT; a block keeps its outputs."""
        return self.of("RESULT", "VAR_OUTPUT") if self.tree.kind == "FUNCTION" else []


@dataclass(slots=True)
class Names:
    """What a whole file declares, by name in capitals."""

    report: Report
    types: dict[str, StType] = field(default_factory=dict)
    units: dict[str, UnitInfo] = field(default_factory=dict)
    globals: dict[str, Symbol] = field(default_factory=dict)
    words: dict[str, list[tuple[Scalar, int]]] = field(default_factory=dict)
    located: dict[str, Symbol] = field(default_factory=dict)
    numbers: Iterator[int] = field(default_factory=lambda: count(1))


@dataclass(slots=True)
class Frame:
    """Where statements are being lowered: one unit, and what they use there.

    Args:
        names: of the file.
        unit: None while a configuration or a global is read.
        types: type of every single name and row that was met.
        blocks: standard block instances by path.
        rows: rows of the frame's own: name -> what each holds when it begins.
        used: globals used: path -> symbol.
        loops: what a CONTINUE must do, innermost last.
        controls: counters of the FOR loops around.
        told: globals that were looked at already, and what else is told once in a unit.
    """

    names: Names
    unit: UnitInfo | None = None
    types: dict[str, Scalar] = field(default_factory=dict)
    blocks: dict[str, BlockType] = field(default_factory=dict)
    rows: dict[str, tuple[Value, ...]] = field(default_factory=dict)
    used: dict[str, Symbol] = field(default_factory=dict)
    loops: list[tuple[object, ...]] = field(default_factory=list)
    controls: list[str] = field(default_factory=list)
    told: set[str] = field(default_factory=set)

    @property
    def report(self) -> Report:
        """The report of the file."""
        return self.names.report

    def fresh(self, kind: str) -> str:
        """Give a name that no program can write: `call.7`."""
        return f"{kind}.{next(self.names.numbers)}"

    def find(self, name: str) -> Symbol | None:
        """Find a variable: the unit's own first, then the globals."""
        key = name.upper()
        symbol = self.unit.symbols.get(key) if self.unit else None
        if symbol is None or symbol.section == "VAR_EXTERNAL":
            symbol = self.names.globals.get(key, symbol)
        if symbol is not None and symbol.is_global and not symbol.folded:
            self.used[symbol.path] = symbol
        return symbol

    def known(self) -> list[str]:
        """Give all names of variables that may stand here."""
        own = self.unit.symbols.values() if self.unit else ()
        return [s.name for s in (*own, *self.names.globals.values())]

    def close_to(self, name: str) -> str:
        """Say which declared names are close to a misspelt one."""
        enumerated = (made.words[key][0] for key, each in self.names.words.items() for made, _ in each if made.words)
        lowered = {n.lower(): n for n in (*enumerated, *self.known())}
        told = nearest(name.lower(), lowered)
        if not told.startswith("close"):
            return "declare it" if lowered else "declare it in a VAR section"
        names = [lowered[n.strip()] for n in told.partition(": ")[2].split(",")]
        return f"declared and close in spelling: {', '.join(names)}"
