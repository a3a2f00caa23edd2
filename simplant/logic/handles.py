"""What a program hands back of what it declares: tags, blocks and alarms as attributes.

Declaring them is program.py. Rule: an attribute is an expression, and a misspelt one an error at the author's line.
"""

from collections.abc import Iterable, Iterator
from typing import Final, Never

from simplant.errors import ProgramError, nearest
from simplant.expr import Expr, Ref, TimerElapsed
from simplant.logic.lower import first_out_ref
from simplant.logic.nodes import AlarmTable, Instance
from simplant.place import written_at
from simplant.tags import Tag
from simplant.values import BOOL


class TagNames:
    """The declared tags as attributes: `tags.start_pressed` is an expression."""

    def __init__(self, tags: Iterable[Tag]) -> None:
        """Offer these tags."""
        self._refs: Final = {tag.name: Ref(tag.name, tag.type) for tag in tags}

    def __getattr__(self, name: str) -> Ref:
        if name.startswith("__"):
            raise AttributeError(name)
        return self[name]

    def __getitem__(self, name: str) -> Ref:
        try:
            return self._refs[name]
        except KeyError:
            raise ProgramError(
                f"the I/O list has no tag {name!r}", mend=nearest(name, self._refs), place=written_at()
            ) from None

    def __iter__(self) -> Iterator[Ref]:
        return iter(self._refs.values())

    def __contains__(self, name: str) -> bool:
        return name in self._refs


class BlockHandle:
    """A block instance as its outputs: `warn.Q`, `warn.ET`."""

    def __init__(self, instance: Instance) -> None:
        """Offer the outputs (and stored inputs) of one instance."""
        self.instance: Final = instance
        block, name = instance.block, instance.name
        self._fields: Final[dict[str, Expr]] = {
            f.name: Ref(f"{name}.{f.name}", f.type) for f in (*block.outputs, *block.inputs)
        }
        if block.elapsed is not None:
            self._fields["ET"] = TimerElapsed(name, block.name)

    def __getattr__(self, name: str) -> Expr:
        if name.startswith("__"):
            raise AttributeError(name)
        if name not in self._fields:
            kind = self.instance.block.name
            raise ProgramError(
                f"{self.instance.name} ({kind}) has no {name!r}", mend=nearest(name, self._fields), place=written_at()
            )
        return self._fields[name]


class AlarmHandle:
    """An alarm table as its results: `alarms.first_out`, `alarms.any`, and each alarm by name, `alarms.no_ball`.

    Args:
        table: the table; it stands in the program where these are from that scan, above it from the last one.
    """

    def __init__(self, table: AlarmTable) -> None:
        self.table: Final = table
        self.first_out: Final = first_out_ref(table.name)
        """The number of the alarm that came first: from 1 in the order of the table, 0 = none."""
        self.any: Final = self.first_out != 0
        """TRUE as long as any alarm is not reset."""
        self._refs: Final = {alarm.name: Ref(alarm.name, BOOL) for alarm in table.alarms}

    def __getattr__(self, name: str) -> Ref:
        if name.startswith("__"):
            raise AttributeError(name)
        return self[name]

    def __getitem__(self, name: str) -> Ref:
        if name not in self._refs:
            mend = nearest(name, [*self._refs, "first_out", "any"])
            raise ProgramError(f"the table {self.table.name!r} has no alarm {name!r}", mend=mend, place=written_at())
        return self._refs[name]

    def __eq__(self, other: object) -> Never:
        """Refuse what would silently be a Python truth value."""
        mend = "write .first_out with the comparison, or .any for: some alarm is there"
        raise ProgramError(f"the alarm table {self.table.name!r} was compared", "it is no number", mend, written_at())

    __hash__ = object.__hash__
