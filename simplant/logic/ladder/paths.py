"""From wires between joints to series and parallels.

Rule: a drawing that is no nest of series and parallels (a bridge between branches) is refused; what power would do
there cannot be said in rows and branches.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from simplant.logic.ladder.joints import END, START, Joints
from simplant.logic.ladder.tree import Element, Parallel, Series
from simplant.logic.ladder.wires import Edge
from simplant.logic.st.report import fail

DEEPEST: Final = 16
"""Branches within branches."""


def line_of(edges: Sequence[Edge], joints: Joints) -> Series:
    """Give what stands on the wires as one line.

    Raises:
        Fault: a wire leads nowhere or comes from nowhere, or the branches do not nest.
    """
    leaving: dict[int, list[Edge]] = {}
    for edge in sorted(edges, key=lambda e: (e.row, e.column)):
        leaving.setdefault(edge.start, []).append(edge)
    reached = {edge.end for edge in edges}
    for (row, column), joint in joints.everywhere():
        if joint not in reached:
            fail(joints.sheet.place(row, column), "no power comes here",
                 mend="join it to the left rail or to a line; lines up and down need + at both ends")  # fmt: skip
        if joint not in leaving:
            arrow = joints.sheet.at(row, column) == ">"
            mend = "go on in a row right below, without an empty one" if arrow else "join it to the line above or below"
            fail(joints.sheet.place(row, column), "nothing goes on from here", mend=mend)
    paths = _Paths(leaving, joints)
    line = Series(paths.from_joint(START, END, 0))
    if len(paths.taken) < len(edges):
        left = next(e for e in edges if (e.row, e.column) not in paths.taken)
        fail(joints.sheet.place(left.row, left.column), "this line goes round in a circle")
    return line


@dataclass(slots=True)
class _Paths:
    leaving: dict[int, list[Edge]]
    joints: Joints
    taken: set[tuple[int, int]] = field(default_factory=set)
    _reach: dict[int, frozenset[int]] = field(default_factory=dict)

    def reach(self, joint: int) -> frozenset[int]:
        """Give all joints that power from one can come to, itself included."""
        if joint not in self._reach:
            self._reach[joint] = frozenset()  # a circle ends here
            inside = (self.reach(e.end) for e in self.leaving.get(joint, ()) if e.end is not None)
            self._reach[joint] = frozenset({joint}).union(*inside)
        return self._reach[joint]

    def ahead(self, edge: Edge) -> frozenset[int]:
        """Give all joints that a wire leads to in the end."""
        return frozenset() if edge.end is None else self.reach(edge.end)

    def from_joint(self, joint: int, stop: int, depth: int) -> tuple[Element, ...]:
        """Give what stands from one joint up to another."""
        found: list[Element] = []
        while joint not in (stop, END):
            given = self.leaving.get(joint, [])
            if not given and joint == START:
                return ()
            found += self.group(given, stop, depth)
            joint = self.meeting(given, stop)
        return tuple(found)

    def group(self, edges: Sequence[Edge], stop: int, depth: int) -> tuple[Element, ...]:
        """Give what stands on wires that leave one joint, up to where they meet."""
        if depth > DEEPEST:
            edge = edges[0]
            fail(self.joints.sheet.place(edge.row, edge.column), f"more than {DEEPEST} branches stand in one another",
                 mend="make rungs of their own")  # fmt: skip
        meeting = self.meeting(edges, stop)
        parts = self.apart(edges, meeting)
        if len(edges) == 1:
            return self.along(edges[0], meeting, depth)
        if len(parts) == 1:
            edge = edges[1]
            what = "these branches are joined crosswise"
            fail(self.joints.sheet.place(edge.row, edge.column), what, "they are no nest of series and parallels",
                 "draw the contacts of the bridge on each branch that they serve")  # fmt: skip
        return (Parallel(tuple(Series(self.part(part, meeting, depth + 1)) for part in parts)),)

    def part(self, edges: Sequence[Edge], meeting: int, depth: int) -> tuple[Element, ...]:
        """Give one branch: a single wire, or several that meet before the others."""
        if len(edges) == 1:
            return self.along(edges[0], meeting, depth)
        inner = self.meeting(edges, meeting)
        return (*self.group(edges, meeting, depth), *self.from_joint(inner, meeting, depth))

    def along(self, edge: Edge, stop: int, depth: int) -> tuple[Element, ...]:
        """Give what stands on a wire, and behind it up to a joint."""
        if (edge.row, edge.column) in self.taken:
            fail(self.joints.sheet.place(edge.row, edge.column), "these branches are joined crosswise",
                 "they are no nest of series and parallels",
                 "draw the contacts of the bridge on each branch that they serve")  # fmt: skip
        self.taken.add((edge.row, edge.column))
        if edge.end is None:
            return edge.elements
        return (*edge.elements, *self.from_joint(edge.end, stop, depth))

    def meeting(self, edges: Sequence[Edge], stop: int) -> int:
        """Give the first joint where wires meet again, those that end before left aside; `stop` if there is none."""
        if len(edges) < 2:
            return stop
        found = {joint for edge in edges for joint in self.ahead(edge)}
        fit = [joint for joint in found if self.meet(edges, joint, stop)]
        return max(fit, key=lambda joint: (len(self.reach(joint)), -joint), default=stop)

    def meet(self, edges: Sequence[Edge], joint: int, stop: int) -> bool:
        """Say whether two wires or more lead to a joint, surely, and the others end before."""
        there = [edge for edge in edges if joint in self.ahead(edge)]
        others = [edge for edge in edges if joint not in self.ahead(edge)]
        beyond = self.reach(joint) | {stop, END}
        if len(there) < 2 or any(self.ahead(edge) & beyond for edge in others):
            return False
        return all(self.certain(edge.end, joint, stop) for edge in there)

    def certain(self, joint: int | None, through: int, stop: int) -> bool:
        """Say whether all power from one joint that does not end before goes through another."""
        open_, seen = [joint], set()
        while open_:
            here = open_.pop()
            if here == through or here in seen or here is None:
                continue
            if here in (END, stop):
                return False
            seen.add(here)
            open_ += [edge.end for edge in self.leaving.get(here, ())]
        return True

    def apart(self, edges: Sequence[Edge], meeting: int) -> list[list[Edge]]:
        """Give the wires in groups that share joints before the meeting, in the order of drawing."""
        beyond = self.reach(meeting)
        groups: list[tuple[set[int], list[Edge]]] = []
        for edge in edges:
            inside = set(self.ahead(edge) - beyond)
            joined = [g for g in groups if g[0] & inside]
            groups = [g for g in groups if not g[0] & inside]
            groups.append((inside.union(*(g[0] for g in joined)), [*(e for g in joined for e in g[1]), edge]))
        found = [sorted(group, key=lambda e: (e.row, e.column)) for _, group in groups]
        return sorted(found, key=lambda group: (group[0].row, group[0].column))
