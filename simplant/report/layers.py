"""Where the steps of a chart stand in its picture: in layers from the initial step down.

An edge to the layer below goes straight there; every other one has a lane of its own beside the steps, the shortest
next to them. Drawing is state_diagram.py. Rule: the same table gives the same picture, and no line crosses a step.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

Edge = tuple[str, str]
"""(from, to)."""

HUB: Final = 5
"""A step that so many or more others lead to, and a quarter of all, is drawn as a sign at each of these."""


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything is.

    Attributes:
        places: step -> (column, layer).
        lanes: edge that does not go to the layer below -> (columns of steps beside it, its lane).
        columns, layers: how many.
    """

    places: Mapping[str, tuple[int, int]]
    lanes: Mapping[Edge, tuple[int, int]]
    columns: int
    layers: int


def hubs_of(steps: Sequence[str], edges: Iterable[Edge]) -> frozenset[str]:
    """Give the steps that nearly everything leads to: drawn as lines they would hide the rest."""
    into = dict.fromkeys(steps, 0)
    for _, dest in edges:
        into[dest] += 1
    return frozenset(step for step, count in into.items() if count >= max(HUB, len(steps) / 4))


def layout(steps: Sequence[str], initial: str, edges: Sequence[Edge]) -> Layout:
    """Place steps and edges.

    Args:
        steps: in declared order.
        initial: where to begin.
        edges: in written order, without loops on one step.
    """
    layer = _layers(steps, _opened(steps, initial, edges))
    filled: dict[int, int] = {}
    places: dict[str, tuple[int, int]] = {}
    for step in steps:
        column = filled.get(layer[step], 0)
        filled[layer[step]] = column + 1
        places[step] = column, layer[step]
    beside = [(s, d) for s, d in edges if layer[d] != layer[s] + 1]
    return Layout(places, _lanes(beside, layer, filled), max(filled.values()), max(filled) + 1)


def _lanes(edges: Sequence[Edge], layer: Mapping[str, int], filled: Mapping[int, int]) -> dict[Edge, tuple[int, int]]:
    """Give each edge the innermost lane that is free along it, the shortest first."""
    taken: list[list[tuple[int, int]]] = []
    lanes: dict[Edge, tuple[int, int]] = {}
    for edge in sorted(edges, key=lambda e: abs(layer[e[0]] - layer[e[1]])):
        first, last = sorted((layer[edge[0]], layer[edge[1]]))
        free = (n for n, spans in enumerate(taken) if all(last < a or b < first for a, b in spans))
        lane = next(free, len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((first, last))
        lanes[edge] = max(filled[n] for n in range(first, last + 1)), lane
    return lanes


def _opened(steps: Sequence[str], initial: str, edges: Sequence[Edge]) -> list[Edge]:
    """Turn round the edges that close a cycle, seen from the initial step."""
    after: dict[str, list[str]] = {step: [] for step in steps}
    for source, dest in edges:
        after[source].append(dest)
    done: set[str] = set()
    closing: set[Edge] = set()

    def visit(step: str, path: frozenset[str]) -> None:
        done.add(step)
        for dest in after[step]:
            if dest in path:
                closing.add((step, dest))
            elif dest not in done:
                visit(dest, path | {dest})

    for step in (initial, *steps):
        if step not in done:
            visit(step, frozenset((step,)))
    return [(d, s) if (s, d) in closing else (s, d) for s, d in edges]


def _layers(steps: Sequence[str], edges: Sequence[Edge]) -> dict[str, int]:
    """Give each step the layer below its lowest predecessor; one without any stands just above what follows it."""
    layer = dict.fromkeys(steps, 0)
    for _ in steps:
        for source, dest in edges:
            layer[dest] = max(layer[dest], layer[source] + 1)
    led_to = {dest for _, dest in edges}
    for step in steps:
        following = [layer[dest] for source, dest in edges if source == step]
        if step not in led_to and following:
            layer[step] = min(following) - 1
    return layer
