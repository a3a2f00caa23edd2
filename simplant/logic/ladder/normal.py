"""The one form of a line among those that mean the same and are drawn the same.

Branches that are only a parallel again belong to the parallel around them; behind a parallel of which all branches but
one end in jumps, the rest stands on that one. Rule: what is done, and in which order, stays as it is.
"""

from __future__ import annotations

from dataclasses import replace

from simplant.logic.ladder.tree import Block, Element, Jump, Ladder, Parallel, Return, Rung, Series, ends
from simplant.logic.st.report import fail


def normal(ladder: Ladder) -> Ladder:
    """Give a ladder with every line in its one form; a comment without a rung is the next one's.

    Raises:
        Fault: something stands where no power can come.
    """
    rungs: list[Rung] = []
    waiting: list[str] = []
    for given in ladder.rungs:
        rung = replace(given, line=normal_line(given.line))
        waiting += [rung.comment] if rung.comment else []
        if rungs and not (rungs[-1].line.elements or rung.label or waiting):  # a label before a rung is the rung's
            label = rungs.pop()
            rung = replace(rung, label=label.label)
            waiting = [label.comment] if label.comment else []
        if rung.line.elements or rung.label:
            rungs.append(replace(rung, comment="\n".join(waiting)))
            waiting = []
    if waiting:
        rungs.append(replace(ladder.rungs[-1], label="", comment="\n".join(waiting), line=Series(())))
    return replace(ladder, rungs=tuple(rungs))


def normal_line(line: Series) -> Series:
    """Give a line in its one form."""
    made: list[Element] = []
    for number, element in enumerate(line.elements):
        if not isinstance(element, Parallel):
            made.append(_pins_in_order(element) if isinstance(element, Block) else element)
            continue
        rest = line.elements[number + 1 :]
        branches = _branches(element)
        alive = [n for n, branch in enumerate(branches) if not ends(branch)]
        if len(branches) > 1 and rest and len(alive) == 1:
            going_on = normal_line(Series((*branches[alive[0]].elements, *rest)))
            branches[alive[0]] = going_on
            return _checked(Series((*made, *_few(branches))))
        made += _few(branches)
    return _checked(Series(tuple(made)))


def _few(branches: list[Series]) -> tuple[Element, ...]:
    """Give branches as a parallel; one alone is none."""
    return branches[0].elements if len(branches) == 1 else (Parallel(tuple(branches)),)


def _branches(parallel: Parallel) -> list[Series]:
    found: list[Series] = []
    for branch in map(normal_line, parallel.branches):
        match branch.elements:
            case (Parallel() as inner,):
                found += inner.branches
            case _:
                found.append(branch)
    plain = [n for n, branch in enumerate(found) if not branch.elements]
    return [branch for n, branch in enumerate(found) if n not in plain[1:]]


def _checked(line: Series) -> Series:
    for number, element in enumerate(line.elements[:-1]):
        if ends(Series((element,))):
            behind = line.elements[number + 1]
            place = element.place if isinstance(element, Jump | Return | Block) else getattr(behind, "place", None)
            assert place is not None, "one of two neighbours is no parallel"
            fail(place, "something stands behind the end of a line", "no power can come there", "put it on a branch")
    return line


def _pins_in_order(block: Block) -> Block:
    """Give a block with the pins that are connected, inputs first."""
    into = tuple(p for p in block.pins if p.value is not None)
    out = tuple(p for p in block.pins if p.value is None and p.target is not None)
    return replace(block, pins=into + out)
