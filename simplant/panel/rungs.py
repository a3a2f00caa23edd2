"""A rung drawn from its condition: contacts in series and parallel, coil or block at the end, power by line weight.

What each term is now is live.py. Rule: a wire is heavy where power reaches it from the left, and only there.
"""

from collections.abc import Callable
from dataclasses import dataclass

from simplant.expr import Binary, Expr, Op, StepActive, Unary
from simplant.panel.live import MANY, Live
from simplant.values import BOOL


@dataclass(frozen=True, slots=True)
class Drawn:
    """A piece of a rung: its rows, all of one width; power enters and leaves on the first one. `power`: it leaves."""

    rows: tuple[str, ...]
    power: bool

    @property
    def width(self) -> int:
        """Columns."""
        return len(self.rows[0])


def wire(power: bool, length: int = 1) -> str:  # noqa: FBT001 - a level
    """Give a piece of wire."""
    return ("━" if power else "─") * length


def rung_rows(condition: Expr, end: str, live: Live, width: int) -> list[str]:
    """Draw a rung from rail to rail.

    Args:
        condition: what must be so for power to reach the end.
        end: coil or block, with its name.
        live: what is TRUE now.
        width: columns there are.

    Returns:
        The rows; none if it is wider than that.
    """
    drawn = _piece(condition, live, power=True)
    gap = width - drawn.width - len(end) - 3
    if gap < 1:
        return []
    first, *others = drawn.rows
    last = wire(drawn.power, gap)
    return [f"┣━{first}{last}{end}", *(f"│ {row}".rstrip() for row in others)]


def _piece(node: Expr, live: Live, *, power: bool) -> Drawn:
    match node:
        case Binary() if node.type is BOOL and node.op is Op.AND:
            return _series([_piece_of(n, live) for n in _terms(node, Op.AND)], power=power)
        case Binary() if node.type is BOOL and node.op is Op.OR:
            return _parallel([_piece(n, live, power=power) for n in _terms(node, Op.OR)], power=power)
        case StepActive() if 1 < len(node.steps) < MANY:
            return _parallel(
                [_contact(StepActive(node.chart, (step,)), live, power=power) for step in node.steps], power=power
            )
        case _:
            return _contact(node, live, power=power)


def _piece_of(node: Expr, live: Live) -> Callable[[bool], Drawn]:
    return lambda power: _piece(node, live, power=power)


def _terms(node: Expr, op: Op) -> list[Expr]:
    if isinstance(node, Binary) and node.type is BOOL and node.op is op:
        return [*_terms(node.left, op), *_terms(node.right, op)]
    return [node]


def _contact(node: Expr, live: Live, *, power: bool) -> Drawn:
    closed = isinstance(node, Unary) and node.op is Op.NOT and not isinstance(node.operand, Binary)
    text = f"/{live.label(node.operand)}" if closed and isinstance(node, Unary) else f" {live.label(node)} "
    out = power and bool(live.holds(node))
    return Drawn((f"{wire(power)}┤{text}├{wire(out)}",), out)


def _series(pieces: list[Callable[[bool], Drawn]], *, power: bool) -> Drawn:
    done: list[Drawn] = []
    for piece in pieces:
        done.append(piece(power))
        power = done[-1].power
    height = max(len(d.rows) for d in done)
    rows = ("".join(d.rows[n] if n < len(d.rows) else " " * d.width for d in done) for n in range(height))
    return Drawn(tuple(rows), power)


def _parallel(branches: list[Drawn], *, power: bool) -> Drawn:
    """Stack branches: the power that enters goes down on the left, what comes through gathers on the right."""
    width = max(branch.width for branch in branches)
    rows: list[str] = []
    for number, branch in enumerate(branches):
        corner = 0 if number == 0 else 2 if number == len(branches) - 1 else 1
        gathered = any(b.power for b in branches[number:])
        below = any(b.power for b in branches[number + 1 :])
        first = branch.rows[0] + wire(branch.power, width - branch.width)
        rows.append(("┬├└", "┳┣┗")[power][corner] + first + ("┬┤┘", "┳┫┛")[gathered][corner])
        sides = "  " if corner == 2 else "│┃"[power] + "│┃"[below]
        rows += [f"{sides[0]}{row.ljust(width)}{sides[1]}" for row in branch.rows[1:]]
    out = any(b.power for b in branches)
    return Drawn((rows[0] + wire(out), *(row + " " for row in rows[1:])), out)
