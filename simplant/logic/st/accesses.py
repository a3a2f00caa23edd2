"""What a configuration says of the variables of programs: paths by which others would reach them, addresses of `%I*`.

There is no network here, so nothing runs of a VAR_ACCESS. Rule: each leads to a variable that there is, of the
type that it says, and is written only if the program itself could write it.
"""

from collections.abc import Iterator

from simplant.errors import nearest
from simplant.logic.st.declare import Declaring
from simplant.logic.st.declared import AccessPath, Configuration, File
from simplant.logic.st.initial import NO_ROUTINES
from simplant.logic.st.report import Report, fail
from simplant.logic.st.scope import Frame, Names, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.statements import Statements
from simplant.logic.st.tree import Access, Field
from simplant.logic.st.types import alike

_NOT_REACHED = ("VAR_TEMP", "VAR_IN_OUT", "VAR_EXTERNAL")


def check_accesses(file: File, names: Names, declaring: Declaring, report: Report) -> None:
    """Tell of access paths that lead nowhere, or to something else."""
    for row, frame, path in _paths(file, names, report):
        report.guarded(_check, row, frame, path, declaring)


def told_open_addresses(file: File, names: Names, report: Report) -> None:
    """Tell of variables at `%I*` that no VAR_CONFIG gives an address."""
    given = {s.path[-1].upper() for c in file.configurations for s in c.settings if s.address}
    for symbol in (s for u in names.units.values() for s in u.symbols.values() if s.open_address):
        if symbol.name.upper() not in given:
            what = f"{symbol.name} AT {symbol.open_address} has no address"
            mend = "give it one in a VAR_CONFIG of the CONFIGURATION"
            report.warn(symbol.place, what, mend=mend, length=len(symbol.name))


def _paths(file: File, names: Names, report: Report) -> Iterator[tuple[AccessPath, Frame, Access]]:
    """Give each row with where its path begins, and the path from there on."""
    for unit in file.units:
        _told_twice(unit.accesses, report)
        frame = Frame(names, names.units.get(unit.name.upper()))
        yield from ((row, frame, row.path) for row in unit.accesses)
    for configuration in file.configurations:
        _told_twice(configuration.accesses, report)
        for row in configuration.accesses:
            found = report.guarded(_begin, row, configuration, names)
            if found is not None:
                yield row, Frame(names, found[0]), found[1]


def _told_twice(rows: tuple[AccessPath, ...], report: Report) -> None:
    known: set[str] = set()
    for row in rows:
        if row.name.upper() in known:
            report.error(row.place, f"the access {row.name} is declared twice", length=len(row.name))
        known.add(row.name.upper())


def _begin(row: AccessPath, tree: Configuration, names: Names) -> tuple[UnitInfo | None, Access]:
    """Pass over a resource and a program instance at the beginning of a path."""
    path = row.path
    resources = {t.resource.upper() for t in tree.tasks} | {p.resource.upper() for p in tree.programs}
    inside = path.name.upper() in resources and path.name.upper() not in names.globals
    path = _behind(path) if inside else path
    instances = {program.name.upper(): program for program in tree.programs}
    program = instances.get(path.name.upper())
    if program is None:
        if path.name[0] != "%" and path.name.upper() not in names.globals:
            known = [p.name for p in tree.programs] + [s.name for s in names.globals.values()]
            fail(row.place, f"{path.name} is no program instance and no global", mend=nearest(path.name, known),
                 length=len(row.name))  # fmt: skip
        return None, path
    return names.units.get(program.type.upper()), _behind(path)


def _behind(path: Access) -> Access:
    match path.selectors:
        case (Field(name=name, place=place), *rest):
            return Access(place, name, tuple(rest))
        case _:
            fail(path.place, f"{path} is no variable", "the path of an access ends at one", length=len(path.name))


def _check(row: AccessPath, frame: Frame, path: Access, declaring: Declaring) -> None:
    spot: Spot = Statements(frame, NO_ROUTINES).spot(path)
    wanted, symbol = declaring.type_of(row.type, frame), spot.symbol
    symbol.read = True
    symbol.written = symbol.written or row.writes
    if symbol.section in _NOT_REACHED:
        fail(row.place, f"{path} is a {symbol.section}", "it is not there between two scans", length=len(row.name))
    if not alike(spot.type, wanted):
        fail(row.place, f"{row.name} is {wanted.name}, {path} is {spot.type.name}", length=len(row.name))
    if row.writes and (symbol.constant or symbol.at("%I")):
        why = "it is a constant" if symbol.constant else "the machine gives it a value"
        fail(row.place, f"{row.name} would write {path}", why, "write READ_ONLY", len(row.name))
