"""What is right by the standard and yet looks wrong: unused variables, doubtful loops and divisions, two writers.

Told by `simplant check`, after all that is really wrong; loops are endings.py, divisions divisions.py, writers
two_writers.py. Rule: in doubt it is said, as a warning; each can be answered by a change that makes the text clearer.
"""

from collections.abc import Iterator

from simplant.blocks.steps import STEP
from simplant.logic.sfc.checks import warnings_of
from simplant.logic.sfc.situations import findings_of
from simplant.logic.sfc.tree import Chart
from simplant.logic.sfc.writers import two_writers
from simplant.logic.st.divisions import divisions
from simplant.logic.st.endings import endless
from simplant.logic.st.project import Project
from simplant.logic.st.report import Mistake
from simplant.logic.st.scope import Names, Symbol, UnitInfo
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Do, Expression, Let, Statement
from simplant.logic.st.two_writers import overwritten, targets
from simplant.logic.st.types import Scalar, Standard

_ELSEWHERE = ("VAR_EXTERNAL", "VAR_IN_OUT", "RESULT")


def lints(project: Project) -> list[Mistake]:
    """Give warnings about a text that can run, in its order."""
    charts = {unit.name.upper(): unit.body for unit in project.written.units if isinstance(unit.body, Chart)}
    own = {name: unit for name, unit in project.names.units.items() if not unit.standard}
    found = [m for name, unit in own.items() for m in _of_unit(unit, charts.get(name), project.names)]
    found += [m for chart in charts.values() for m in (*warnings_of(chart), *findings_of(chart))]
    found += _across(project)
    return sorted(found, key=lambda m: (m.place.line, m.place.column))


def _of_unit(unit: UnitInfo, chart: Chart | None, names: Names) -> Iterator[Mistake]:
    for symbol in unit.symbols.values():
        yield from _unused(symbol)
    yield from endless(unit.tree.statements)
    yield from divisions(unit, names)
    outputs = {s.name.upper() for s in unit.symbols.values() if s.section == "VAR_OUTPUT" or s.at("%Q")}
    yield from two_writers(chart, outputs) if chart is not None else overwritten(unit.tree.statements, outputs)


def _across(project: Project) -> Iterator[Mistake]:
    """Find outputs at one address that several units write."""
    writers: dict[str, str] = {}
    for unit in project.names.units.values():
        for node in every(unit.tree.statements):
            names = {access.name.upper() for access in targets(node)} if isinstance(node, Let | Do) else set()
            for name in sorted(names):
                symbol = unit.symbols.get(name) or project.names.globals.get(name)
                address = symbol.address if symbol is not None else name
                if address.startswith("%Q") and writers.setdefault(address, unit.tree.name) != unit.tree.name:
                    what = f"the output {address} is written by {writers[address]} as well"
                    yield _warning(node, what, "the last one wins, and the others are hard to see", "write it in one")


def _warning(
    node: Statement | Expression | Symbol, what: str, why: str = "", mend: str = "", length: int = 1
) -> Mistake:
    return Mistake(node.place, what, why, mend, length, "warning")


# variables


def _unused(symbol: Symbol) -> Iterator[Mistake]:
    name, length = symbol.name, len(symbol.name)
    if symbol.hidden or (isinstance(symbol.type, Standard) and symbol.type.block is STEP):
        return
    if symbol.folded or symbol.is_global or symbol.at("%") or symbol.section in _ELSEWHERE or "." in name:
        return
    own = symbol.section in ("VAR", "VAR_TEMP")
    if not symbol.read and not symbol.written:
        where = {"VAR_INPUT": "the input", "VAR_OUTPUT": "the output"}.get(symbol.section, "the variable")
        yield _warning(symbol, f"{where} {name} is never used", mend="take it away", length=length)
    elif own and not symbol.read:
        yield _warning(symbol, f"{name} is written but never read", mend="take it away", length=length)
    elif own and not symbol.written and symbol.initial is None and isinstance(symbol.plain, Scalar):
        yield _warning(symbol, f"{name} is read but never written", "it always has its first value", length=length)
