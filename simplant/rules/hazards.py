"""The hazard list: what the engineer knows and accepts, with reason, measure, name and date.

Reading the file from disk is the caller's affair. Rule: an entry accepts a broken rule only under
the faults it names, and every entry names someone.
"""

import csv
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from simplant.errors import Place, RuleError, nearest
from simplant.rules.verdict import Outcome, Verdict

COLUMNS: Final = ("rule", "fault", "reason", "measure", "who", "date")


@dataclass(frozen=True, slots=True)
class Hazard:
    """One accepted hazard.

    Args:
        rule: name of the rule that breaks.
        faults: the faults that must all be active for the entry to apply; empty: it occurs without any.
        reason: why the machine as built cannot do better.
        measure: what is done about it outside the program.
        who: who accepts it.
        date: when.
        place: its line in the list.
    """

    rule: str
    faults: tuple[str, ...]
    reason: str
    measure: str
    who: str
    date: date
    place: Place


def read_hazards(
    text: str, file: str, *, rules: Collection[str], faults: Collection[str] | None = None
) -> tuple[Hazard, ...]:
    """Read a hazard list: CSV with the columns rule, fault, reason, measure, who, date in any order.

    Args:
        text: the file's content. The fault column holds `none`, a fault, or several joined by ` + `.
        file: its name, for errors.
        rules: the names of the rules there are.
        faults: the names of the faults there are; None: not checked.

    Raises:
        RuleError: missing, unknown or doubled column, wrong number of fields, empty field, unknown rule or fault, a
            date that is none, an entry twice.
    """
    rows = csv.reader(text.removeprefix("\ufeff").splitlines(keepends=True), strict=True)
    found: dict[tuple[str, tuple[str, ...]], Hazard] = {}
    header: list[str] | None = None
    for row in _rows(rows, file):
        place = Place(file, rows.line_num)
        if header is None:
            header = _header(row, place)
            continue
        hazard = _hazard(_fields(row, header, place), place, rules, faults)
        key = (hazard.rule, tuple(sorted(hazard.faults)))
        if key in found:
            raise RuleError("this hazard is listed twice", f"first at {found[key].place}", "keep one of them", place)
        found[key] = hazard
    if header is None:
        raise RuleError("the hazard list is empty", mend=f"begin it with {','.join(COLUMNS)}", place=Place(file))
    return tuple(found.values())


def accepted(verdict: Verdict, active_faults: Iterable[str], hazards: Sequence[Hazard]) -> Hazard | None:
    """Give the entry that accepts a broken rule under the active faults; None if none does or it is not broken."""
    if verdict.outcome is not Outcome.BROKEN:
        return None
    active = set(active_faults)
    return next((h for h in hazards if h.rule == verdict.rule and active.issuperset(h.faults)), None)


def _rows(rows: Iterable[list[str]], file: str) -> Iterable[list[str]]:
    try:
        yield from ([field.strip() for field in row] for row in rows if any(field.strip() for field in row))
    except csv.Error as error:
        raise RuleError("the hazard list is not a CSV file", str(error), place=Place(file)) from None


def _header(row: list[str], place: Place) -> list[str]:
    for name in row:
        if name not in COLUMNS:
            raise RuleError(f"the hazard list has no column {name!r}", mend=nearest(name, COLUMNS), place=place)
    missing = [name for name in COLUMNS if name not in row]
    if missing or len(set(row)) < len(row):
        why = f"missing: {', '.join(missing)}" if missing else "one is there twice"
        raise RuleError("the columns are not complete", why, f"head the list with {','.join(COLUMNS)}", place)
    return row


def _fields(row: list[str], header: list[str], place: Place) -> dict[str, str]:
    if len(row) != len(header):
        why = f"{len(row)} fields where the head has {len(header)}"
        raise RuleError("this line does not fit the columns", why, "put a field with a comma in quotes", place)
    fields = dict(zip(header, row, strict=True))
    empty = [name for name, value in fields.items() if not value]
    if empty:
        raise RuleError(f"{empty[0]!r} is empty", "an accepted hazard says why, what is done, who and when", "", place)
    return fields


def _hazard(fields: dict[str, str], place: Place, rules: Collection[str], faults: Collection[str] | None) -> Hazard:
    named = tuple(part.strip() for part in fields["fault"].split("+")) if fields["fault"] != "none" else ()
    if fields["rule"] not in rules:
        raise RuleError(f"there is no rule {fields['rule']!r}", mend=nearest(fields["rule"], rules), place=place)
    for fault in named:
        if faults is not None and fault not in faults:
            raise RuleError(f"there is no fault {fault!r}", mend=nearest(fault, faults), place=place)
    try:
        day = date.fromisoformat(fields["date"])
    except ValueError:
        raise RuleError(f"{fields['date']!r} is not a date", mend="write it as 2024-05-31", place=place) from None
    return Hazard(fields["rule"], named, fields["reason"], fields["measure"], fields["who"], day, place)
