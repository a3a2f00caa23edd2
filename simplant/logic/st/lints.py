"""What is right by the standard and yet looks wrong: unused variables, doubtful loops and divisions, two writers.

Told by `simplant check`, after all that is really wrong. Rule: in doubt it is said, as a warning; each can be answered
by a change that makes the text clearer.
"""

from collections.abc import Iterable, Iterator

from simplant.blocks.steps import STEP
from simplant.logic.sfc.checks import warnings_of
from simplant.logic.sfc.situations import findings_of
from simplant.logic.sfc.tree import Chart
from simplant.logic.sfc.writers import two_writers
from simplant.logic.st.parts import bodies_of, expressions_of, within
from simplant.logic.st.project import Project
from simplant.logic.st.report import Mistake
from simplant.logic.st.scope import Symbol, UnitInfo
from simplant.logic.st.statements import every
from simplant.logic.st.tree import Access, Call, Case, Do, Expression, If, Infix, Let, Literal, Repeat, Statement, While
from simplant.logic.st.types import Scalar, Standard

_ELSEWHERE = ("VAR_EXTERNAL", "VAR_IN_OUT", "RESULT")
_MIRRORED = {"<": ">", ">": "<", "<=": ">=", ">=": "<="}


def lints(project: Project) -> list[Mistake]:
    """Give warnings about a text that can run, in its order."""
    charts = {unit.name.upper(): unit.body for unit in project.written.units if isinstance(unit.body, Chart)}
    own = {name: unit for name, unit in project.names.units.items() if not unit.standard}
    found = [m for name, unit in own.items() for m in _of_unit(unit, charts.get(name))]
    found += [m for chart in charts.values() for m in (*warnings_of(chart), *findings_of(chart))]
    found += _across(project)
    return sorted(found, key=lambda m: (m.place.line, m.place.column))


def _of_unit(unit: UnitInfo, chart: Chart | None) -> Iterator[Mistake]:
    for symbol in unit.symbols.values():
        yield from _unused(symbol)
    for node in every(unit.tree.statements):
        if isinstance(node, While | Repeat) and not _ends(node):
            word = "WHILE" if isinstance(node, While) else "REPEAT"
            yield _warning(node, f"nothing shows that this {word} ends", "the watchdog stops a scan that does not",
                           "count in it, or use FOR", len(word))  # fmt: skip
    known = tuple(s.name.upper() for s in unit.symbols.values() if s.folded)  # a constant 0 is an error already
    yield from _divisions(unit.tree.statements, known)
    outputs = {s.name.upper() for s in unit.symbols.values() if s.section == "VAR_OUTPUT" or s.at("%Q")}
    yield from two_writers(chart, outputs) if chart is not None else _writers(unit.tree.statements, outputs)


def _across(project: Project) -> Iterator[Mistake]:
    """Find outputs at one address that several units write."""
    writers: dict[str, str] = {}
    for unit in project.names.units.values():
        for node in every(unit.tree.statements):
            for name in sorted(_written(node)) if isinstance(node, Let | Do) else ():
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


# loops


def _ends(node: While | Repeat) -> bool:
    """Say whether a loop counts one variable towards a bound in every pass."""
    condition = node.condition if isinstance(node, While) else node.until
    for each in _joined(condition, "AND" if isinstance(node, While) else "OR"):
        if isinstance(each, Infix) and each.operator in _MIRRORED:
            sides = ((each.left, each.operator), (each.right, _MIRRORED[each.operator]))
            for counter, operator in sides:
                upward = (operator[0] == "<") is isinstance(node, While)
                if isinstance(counter, Access) and any(_counts(s, counter, upward=upward) for s in node.body):
                    return True
    return False


def _joined(node: Expression, operator: str) -> Iterator[Expression]:
    if isinstance(node, Infix) and node.operator == operator:
        yield from _joined(node.left, operator)
        yield from _joined(node.right, operator)
    else:
        yield node


def _counts(node: Statement, counter: Access, *, upward: bool) -> bool:
    if not isinstance(node, Let) or not _same(node.target, counter) or not isinstance(node.value, Infix):
        return False
    value = node.value
    by = value.right if _same(value.left, counter) else value.left if value.operator == "+" else None
    steady = isinstance(by, Literal) and isinstance(by.value, int | float) and by.value > 0
    return steady and value.operator == ("+" if upward else "-")


def _same(one: Expression, other: Expression) -> bool:
    plain = isinstance(one, Access) and isinstance(other, Access)
    return plain and str(one).upper() == str(other).upper() and "[" not in str(one)


# divisions


def _divisions(body: Iterable[Statement], guards: tuple[str, ...]) -> Iterator[Mistake]:
    """Find divisions by what nothing around keeps from being 0."""
    for node in body:
        if isinstance(node, If):
            for condition, _ in node.arms:
                yield from _in_expression(condition, guards)
            for condition, inner in node.arms:
                yield from _divisions(inner, (*guards, *_tested(condition)))
            tested = tuple(name for condition, _ in node.arms for name in _tested(condition))
            yield from _divisions(node.otherwise, (*guards, *tested))
            continue
        for expression in expressions_of(node):
            yield from _in_expression(expression, guards)
        for inner in bodies_of(node):
            yield from _divisions(inner, guards)


def _in_expression(node: Expression, guards: tuple[str, ...]) -> Iterator[Mistake]:
    for each in within(node):
        if isinstance(each, Infix) and each.operator in ("/", "MOD"):
            divisors = [each.right]
        elif isinstance(each, Call) and each.callee.name.upper() in ("DIV", "MOD") and len(each.arguments) == 2:
            divisors = [a.value for a in each.arguments[1:] if a.value is not None]
        else:
            continue
        for divisor in divisors:
            if isinstance(divisor, Access) and str(divisor).upper() not in guards:
                what = f"{divisor} may be 0 here"
                yield _warning(divisor, what, "a division by 0 stops the scan", f"test it: IF {divisor} <> 0 THEN",
                               len(divisor.name))  # fmt: skip


def _tested(condition: Expression) -> tuple[str, ...]:
    """Give the variables that a condition compares."""
    compared = [e for e in within(condition) if isinstance(e, Infix) and e.operator in ("<>", "=", *_MIRRORED)]
    return tuple(str(s).upper() for e in compared for s in (e.left, e.right) if isinstance(s, Access))


# writers


def _writers(body: tuple[Statement, ...], outputs: set[str]) -> Iterator[Mistake]:
    """Find outputs that two statements of one row write, unless they are a set and a reset."""
    first: dict[str, list[Statement]] = {}
    for node in body:
        for name in sorted(_written(node) & outputs):
            first.setdefault(name, []).append(node)
        for inner in bodies_of(node):
            yield from _writers(inner, outputs)
    for name, nodes in first.items():
        if len(nodes) > 1 and not (len(nodes) == 2 and {_sets(n, name) for n in nodes} == {True, False}):
            lines = " and ".join(str(n.place.line) for n in nodes)
            why = "the last one wins, and the others are hard to see"
            yield _warning(nodes[1], f"the output {name.lower()} is written at lines {lines}", why, "write it once")


def _written(node: Statement) -> set[str]:
    names = {s.target.name.upper() for s in every([node]) if isinstance(s, Let)}
    calls = [s.call for s in every([node]) if isinstance(s, Do)]
    return names | {a.target.name.upper() for c in calls for a in c.arguments if a.target is not None}


def _sets(node: Statement, name: str) -> bool | None:
    """Say whether a statement only sets (TRUE) or only resets (FALSE) an output under a condition; None: neither."""
    if not isinstance(node, If | Case):
        return None
    values = {s.value.value if isinstance(s.value, Literal) else None
              for s in every([node]) if isinstance(s, Let) and s.target.name.upper() == name}  # fmt: skip
    return next(iter(values)) is True if values in ({True}, {False}) else None
