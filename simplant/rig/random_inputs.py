"""Inputs by chance for a program alone: rows of a table, as a pure function of seed and number.

What runs on them is table.py. Either each input has a value that it mostly has; from there it is pulsed, or changed for
good, with long pauses, so that timers expire. Or inputs of a run that is known are disturbed here and there, which
reaches what only a plant leads to. Rule: the same arguments, the same rows.
"""

from collections.abc import Sequence
from itertools import count
from typing import Final

from simplant.chance import below, stream
from simplant.rig.table import Column, Row
from simplant.timebase import Ns, ms, seconds
from simplant.values import Kind, Value

_PAUSES: Final = (1, 1, 1, 2, 3, 5, 10, 30, 100, 300)
"""Scans between two changes."""
_TIMES: Final = (Ns(0), ms(1), ms(10), ms(50), ms(200), seconds(1), seconds(10))
_NUMBERS: Final = (0, 1, 2, 3, 5, 10, 20, 50, 100, 1000, -1, -5, -100)
_TEXTS: Final = ("", "a", "on", "Hello", "12")


class Chance:
    """Draws in order from a stream of one's own."""

    def __init__(self, seed: int, name: str) -> None:
        self._base, self._number = stream(seed, name), count()

    def below(self, most: int) -> int:
        """Give a whole number from 0 to `most` - 1."""
        return below(self._base, next(self._number), most)

    def value(self, column: Column) -> Value:
        """Give a value that a column may have; plain ones more often."""
        kind, type_ = column.type.kind, column.type
        if column.words:
            return list(column.words.values())[self.below(len(column.words))]
        match kind:
            case Kind.BOOL:
                return self.below(2) == 1
            case Kind.STRING:
                return _TEXTS[self.below(len(_TEXTS))]
            case Kind.TIME:
                return _TIMES[self.below(len(_TIMES))]
            case Kind.REAL:
                return float(_NUMBERS[self.below(len(_NUMBERS))]) / (1, 2, 10)[self.below(3)]
            case _ if not isinstance(type_.default, int):
                return type_.default
            case _:
                ends = (type_.least, type_.most, type_.most // 2)
                plain = [n for n in _NUMBERS if type_.least <= n <= type_.most]
                return int((*plain, *plain, *ends)[self.below(2 * len(plain) + 3)])


def random_rows(columns: Sequence[Column], seed: int, number: int, scan: Ns, changes: int = 40) -> list[Row]:
    """Make one story.

    Args:
        columns: the inputs.
        seed: of all stories.
        number: of this one, from 0.
        scan: the scan period.
        changes: how often anything changes.
    """
    chance = Chance(seed, f"inputs {number}")
    usual = {column.name: chance.value(column) for column in columns}
    rows = [Row(Ns(0), dict(usual))]
    if not columns:
        return rows
    now, away = 0, ""
    for _ in range(changes):
        now += _PAUSES[chance.below(len(_PAUSES))] * scan
        if away:
            rows.append(Row(Ns(now), {away: usual[away]}))
            away = ""
            continue
        column = columns[chance.below(len(columns))]
        value = not usual[column.name] if column.type.kind is Kind.BOOL else chance.value(column)
        rows.append(Row(Ns(now), {column.name: value}))
        if chance.below(4):
            away = column.name
        else:
            usual[column.name] = value
    return rows


def disturbed_rows(
    course: Sequence[Row], columns: Sequence[Column], seed: int, number: int, scan: Ns, until: Ns, most: int = 12
) -> list[Row]:
    """Take the inputs of a run and change some of them for a while.

    Args:
        course: the inputs of the run, from instant 0 on.
        columns: the inputs.
        seed: of all stories.
        number: of this one.
        scan: the scan period.
        until: end of the story.
        most: the most changes.
    """
    chance = Chance(seed, f"disturbed {number}")
    spells: list[tuple[Ns, Ns, Column, Value]] = []
    for _ in range(1 + chance.below(most)):
        begins = Ns(chance.below(max(1, until // scan)) * scan)
        lasts = _PAUSES[chance.below(len(_PAUSES))] * scan
        column = columns[chance.below(len(columns))]
        spells.append((begins, Ns(begins + lasts), column, chance.value(column)))
    times = sorted({row.time for row in course} | {t for spell in spells for t in spell[:2]})
    held: dict[str, Value] = {}
    said: dict[str, Value] = {}
    rows, following = [], 0
    for now in (t for t in times if t <= until):
        while following < len(course) and course[following].time <= now:
            held |= course[following].values
            following += 1
        values = held | {c.name: value for begins, ends, c, value in spells if begins <= now < ends}
        changed = {name: value for name, value in values.items() if name not in said or said[name] != value}
        if changed:
            rows.append(Row(now, changed))
            said |= changed
    return rows
