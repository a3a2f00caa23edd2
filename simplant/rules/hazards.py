"""The hazard list: what the engineer knows and accepts, with reason, measure, name and date.

One row is one hazard: all the rules that it breaks, under all the faults that lead to it. Reading the file
from disk is the caller's affair. Rule: an entry accepts a broken rule only under the faults it names,
`none` only without any, and every entry names someone.
"""

import csv
import re
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
        rules: names of the rules that it breaks.
        faults: alternatives, each the faults (`*` for any run of letters within a name) that must all be active; an
            alternative without any applies only while no fault is active.
        reason: why the machine as built cannot do better.
        measure: what is done about it outside the program.
        who: who accepts it.
        date: when.
        place: its line in the list.
    """

    rules: tuple[str, ...]
    faults: tuple[tuple[str, ...], ...]
    reason: str
    measure: str
    who: str
    date: date
    place: Place

    def __str__(self) -> str:
        """Give *rules under faults*, as the list has them."""
        alternatives = [" + ".join(each) or "none" for each in self.faults]
        return f"{' or '.join(self.rules)} under {' or '.join(alternatives)}"

    def applies(self, active: Collection[str]) -> bool:
        """Say whether it applies while these faults (`target.kind`) are active; others may be active too."""
        return any(_together(each, active) if each else not active for each in self.faults)


def read_hazards(
    text: str, file: str, *, rules: Collection[str], faults: Collection[str] | None = None
) -> tuple[Hazard, ...]:
    """Read a hazard list: CSV with the columns rule, fault, reason, measure, who, date in any order.

    The rule column holds a rule, or several joined by ` or `; the fault column holds alternatives joined by ` or `: a
    fault (`target.kind`), several that must come together joined by ` + `, or `none`. `*` stands for any run of letters
    within a name: `pump * never runs dry`, `*.stuck_on`. Every rule of a row is accepted under every alternative, so
    what does not belong together stands in rows of its own.

    Args:
        text: the file's content.
        file: its name, for errors.
        rules: the names of the rules there are.
        faults: the names of the faults there are; None: not checked.

    Raises:
        RuleError: missing, unknown or doubled column, wrong number of fields, empty field, unknown rule or fault, a
            wildcard that fits none, a date that is none, a rule twice under one alternative.
    """
    mark = ";" if ";" in text.partition("\n")[0] else ","  # as a spreadsheet saves it, here or there
    rows = csv.reader(text.removeprefix("\ufeff").splitlines(keepends=True), strict=True, delimiter=mark)
    found: list[Hazard] = []
    listed: dict[tuple[str, tuple[str, ...]], Place] = {}
    header: list[str] | None = None
    for row in _rows(rows, file):
        place = Place(file, rows.line_num)
        if header is None:
            header = _header(row, place)
            continue
        hazard = _hazard(_fields(row, header, place), place, rules, faults)
        found.append(hazard)
        for key in ((rule, tuple(sorted(each))) for rule in hazard.rules for each in hazard.faults):
            if key in listed:
                raise RuleError("this hazard is listed twice", f"first at {listed[key]}", "keep one of them", place)
            listed[key] = place
    if header is None:
        raise RuleError("the hazard list is empty", mend=f"begin it with {','.join(COLUMNS)}", place=Place(file))
    return tuple(found)


def accepted(verdict: Verdict, active_faults: Iterable[str], hazards: Sequence[Hazard]) -> Hazard | None:
    """Give the entry that accepts a broken rule under the active faults; None if none does or it is not broken."""
    if verdict.outcome is not Outcome.BROKEN:
        return None
    active = set(active_faults)
    return next((h for h in hazards if verdict.rule in h.rules and h.applies(active)), None)


def _together(alternative: Iterable[str], active: Iterable[str]) -> bool:
    """Say whether each of these faults, or one that its wildcard stands for, is active."""
    return all(_fitting(fault, active, r"[^.]*") for fault in alternative)


def _fitting(pattern: str, names: Iterable[str], anything: str) -> tuple[str, ...]:
    """Give the names that a pattern stands for: itself, or what fits with `anything` in place of each `*`."""
    form = re.compile(anything.join(map(re.escape, pattern.split("*"))))
    return tuple(name for name in names if form.fullmatch(name))


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
    broken = _rules(fields["rule"], rules, place)
    alternatives = tuple(_alternative(each, faults, place) for each in fields["fault"].split(" or "))
    try:
        day = date.fromisoformat(fields["date"])
    except ValueError:
        raise RuleError(f"{fields['date']!r} is not a date", mend="write it as 2024-05-31", place=place) from None
    return Hazard(broken, alternatives, fields["reason"], fields["measure"], fields["who"], day, place)


def _rules(text: str, rules: Collection[str], place: Place) -> tuple[str, ...]:
    """Read the rule column; a name that has ` or ` or `*` in it may stand alone."""
    if text in rules:
        return (text,)
    broken: dict[str, None] = {}
    for each in (part.strip() for part in text.split(" or ")):
        fitting = _fitting(each, rules, ".*")
        if not fitting:
            what = f"no rule fits {each!r}" if "*" in each else f"there is no rule {each!r}"
            raise RuleError(what, mend=nearest(each, rules), place=place)
        broken.update(dict.fromkeys(fitting))
    return tuple(broken)


def _alternative(text: str, faults: Collection[str] | None, place: Place) -> tuple[str, ...]:
    """Read one alternative of the fault column; `none` is the one without faults."""
    if text.strip() == "none":
        return ()
    named = tuple(part.strip() for part in text.split("+"))
    for fault in named:
        if faults is not None and not _fitting(fault, faults, r"[^.]*"):
            what = f"no fault fits {fault!r}" if "*" in fault else f"there is no fault {fault!r}"
            raise RuleError(what, mend=nearest(fault, faults), place=place)
    return named
