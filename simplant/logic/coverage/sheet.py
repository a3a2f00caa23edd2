"""What a program has that can be seen, and what was seen of it, over as many runs as there are.

Marking is probes.py, deciding decisions.py. Rule: seen is seen; nothing here depends on the order of runs, or on how
many scans there were.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from simplant.errors import Place
from simplant.logic.coverage.decisions import Decision

KINDS = ("steps", "transitions", "rungs", "branches", "statements", "conditions")


@dataclass(slots=True)
class Item:
    """A step, transition or statement.

    Args:
        kind: step, transition or statement.
        name: for people.
        place: where it stands.
        seen: it was active, taken or done.
    """

    kind: str
    name: str
    place: Place
    seen: bool = False


@dataclass(slots=True)
class Count:
    """How many of how many."""

    seen: int
    all: int


@dataclass(slots=True)
class Sheet:
    """The coverage of one program.

    Args:
        program: its name.
        items: steps, transitions and statements, by kind, place and name.
        decisions: by place and name.
    """

    program: str
    items: dict[tuple[str, Place, str], Item] = field(default_factory=dict)
    decisions: dict[tuple[Place, str], Decision] = field(default_factory=dict)

    def item(self, kind: str, name: str, place: Place) -> Item:
        """Give an item, made when it is first asked for."""
        return self.items.setdefault((kind, place, name), Item(kind, name, place))

    def decision(self, kind: str, name: str, place: Place, conditions: Iterable[str], hidden: int = 0) -> Decision:
        """Give a decision, made when it is first asked for; instances of one program share it."""
        texts = tuple(conditions)
        found = self.decisions.get((place, name))
        if found is None or len(found.conditions) != len(texts):
            found = self.decisions[place, name] = Decision(kind, name, place, texts, hidden)
        return found

    def of(self, kind: str) -> list[Item]:
        """Give the items of a kind, in the order of the source."""
        return sorted((i for i in self.items.values() if i.kind == kind), key=lambda i: _order(i.place))

    def ordered(self) -> list[Decision]:
        """Give the decisions, in the order of the source."""
        return sorted(self.decisions.values(), key=lambda d: _order(d.place))

    def counts(self) -> dict[str, Count]:
        """Count; a rung or branch is seen when it came out both ways."""
        found = {f"{kind}s": _count(self.of(kind), lambda i: i.seen) for kind in ("step", "transition", "statement")}
        for kind, word in (("rung", "rungs"), ("branch", "branches")):
            found[word] = _count([d for d in self.decisions.values() if d.kind == kind], lambda d: len(d.outcomes) == 2)
        conditions = [(n in d.shown) for d in self.decisions.values() for n in range(len(d.conditions))]
        found["conditions"] = Count(sum(conditions), len(conditions))
        return {kind: found[kind] for kind in KINDS if found[kind].all}

    def as_json(self) -> dict[str, Any]:
        """Give all of it."""
        return {
            "program": self.program,
            "counts": {kind: {"seen": count.seen, "all": count.all} for kind, count in self.counts().items()},
            "items": [
                {"kind": i.kind, "name": i.name, "place": str(i.place), "seen": i.seen}
                for kind in ("step", "transition", "statement")
                for i in self.of(kind)
            ],
            "decisions": [
                {
                    "kind": d.kind,
                    "name": d.name,
                    "place": str(d.place),
                    "outcomes": sorted(d.outcomes),
                    "conditions": [
                        {"text": text, "shown": number in d.shown} for number, text in enumerate(d.conditions)
                    ],
                }
                for d in self.ordered()
            ],
        }

    def gaps(self) -> Iterator[tuple[Place, str]]:
        """Give what was not seen, in the order of the source."""
        items = [i for i in self.items.values() if not i.seen and (i.place, i.name) not in self.decisions]
        found = [(i.place, _unseen(i)) for i in items]
        for decision in self.decisions.values():
            found += [(decision.place, told) for told in _undecided(decision)]
        yield from sorted(found, key=lambda gap: (_order(gap[0]), gap[1]))


_UNSEEN = {"step": "was never active", "transition": "was never taken", "statement": "was never done"}


def _unseen(item: Item) -> str:
    return f"{item.kind} {item.name} {_UNSEEN[item.kind]}"


def _undecided(decision: Decision) -> Iterator[str]:
    whole = f"{decision.kind} {decision.name}"
    if not decision.outcomes:
        yield f"{whole} was never looked at"
    elif len(decision.outcomes) == 1:
        yield f"{whole} was always {'TRUE' if True in decision.outcomes else 'FALSE'}"
    elif decision.missing:
        yield f"{whole} was never decided alone by: {'; '.join(decision.missing)}"


def _count(things: list[Any], seen: Callable[[Any], bool]) -> Count:
    return Count(sum(map(seen, things)), len(things))


def _order(place: Place) -> tuple[str, int, int]:
    return (place.file, place.line, place.column)
