"""Truth tables of guards: their atoms, all cases these can be in, and what holds in which case.

What is asked of a program's guards is charts.py and writers.py; coverage and fuzzing ask here too.
An atom is a Boolean leaf or a comparison. Comparisons of one expression with constants (or of one pair
of expressions) hang together and form one variable; so do the steps of one chart. Rule: exact in the
atoms, and never more cases than `MOST_CASES`: beyond that nothing is decided, and that is said.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from simplant.expr import COMPARISONS, Binary, Const, Expr, Function, Op, Ref, StepActive, Unary
from simplant.logic.check.regions import Steps, cases_of
from simplant.values import BOOL, INT

MOST_CASES: Final = 1 << 16
"""Cases that are looked at: 16 independent atoms."""


class TooManyCasesError(Exception):
    """There are more cases than are looked at."""


@dataclass(frozen=True, slots=True)
class Variable:
    """Atoms that hang together, and the truth values they can have at one time.

    Args:
        atoms: the Boolean leaves or comparisons.
        cases: for each case the truth of every atom, in the same order; all different.
    """

    atoms: tuple[Expr, ...]
    cases: tuple[tuple[bool, ...], ...]


def atoms_of(node: Expr) -> Iterator[Expr]:
    """Give the atoms of a Boolean expression, left to right, repeated as they stand."""
    match node:
        case Const():
            return
        case Unary(op=Op.NOT):
            yield from atoms_of(node.operand)
        case Binary() if node.left.type is BOOL:
            yield from atoms_of(node.left)
            yield from atoms_of(node.right)
        case Function(name="SEL"):
            for argument in node.arguments:
                yield from atoms_of(argument)
        case _:
            yield node


class Table:
    """All cases of the atoms of some Boolean expressions.

    A column is an `int` with one bit for each case: bit n is the value in case n.

    Args:
        expressions: what will be asked about.
        steps: the steps of the charts that they may name; of an unknown chart, any step may be active.

    Raises:
        TooManyCasesError: there are more than `MOST_CASES`.
    """

    def __init__(self, expressions: Iterable[Expr], steps: Steps | None = None) -> None:
        self.variables: Final = _variables(expressions, steps or {})
        sizes = [len(v.cases) for v in self.variables]
        if math.prod(sizes) > MOST_CASES:
            raise TooManyCasesError
        self.cases: Final = math.prod(sizes)
        self.every: Final = (1 << self.cases) - 1
        self._strides: Final = [math.prod(sizes[:n]) for n in range(len(sizes))]
        self._columns: Final = [
            (atom, self._spread(n, [case[k] for case in variable.cases]))
            for n, variable in enumerate(self.variables)
            for k, atom in enumerate(variable.atoms)
        ]

    @property
    def atoms(self) -> tuple[Expr, ...]:
        """The distinct atoms."""
        return tuple(atom for atom, _ in self._columns)

    def column(self, node: Expr) -> int:
        """Give the cases in which an expression holds."""
        match node:
            case Const():
                return self.every if node.value else 0
            case Unary(op=Op.NOT):
                return self.every ^ self.column(node.operand)
            case Binary() if node.left.type is BOOL:
                return self._join(node.op, self.column(node.left), self.column(node.right))
            case Function(name="SEL"):
                choice, if_false, if_true = (self.column(a) for a in node.arguments)
                return (choice & if_true) | (~choice & if_false)
            case _:
                return next(column for atom, column in self._columns if atom.same_as(node))

    def _join(self, op: Op, left: int, right: int) -> int:
        match op:
            case Op.AND:
                return left & right
            case Op.OR:
                return left | right
            case Op.EQ:
                return self.every ^ left ^ right
            case _:  # XOR and <> of two truth values
                return left ^ right

    def somehow(self, column: int, variable: int) -> int:
        """Give the cases in which `column` holds for some case of one variable, the others kept."""
        stride, size = self._strides[variable], len(self.variables[variable].cases)
        first = self._spread(variable, [n == 0 for n in range(size)])
        merged = 0
        for n in range(size):
            merged |= column >> n * stride & first
        return sum(merged << n * stride for n in range(size))

    def _spread(self, variable: int, truth: Sequence[bool]) -> int:
        """Give the column that has `truth[n]` wherever this variable is in its case n."""
        stride, size = self._strides[variable], len(self.variables[variable].cases)
        once = sum(((1 << stride) - 1) << n * stride for n in range(size) if truth[n])
        return once * (self.every // ((1 << stride * size) - 1))


def never_together(terms: Sequence[Expr], steps: Steps | None = None) -> bool | None:
    """Say whether no case makes all of `terms` true; None if there are too many cases to tell."""
    try:
        table = Table(terms, steps)
    except TooManyCasesError:
        return None
    column = table.every
    for term in terms:
        column &= table.column(term)
    return column == 0


def _variables(expressions: Iterable[Expr], steps: Steps) -> tuple[Variable, ...]:
    """Sort the distinct atoms into variables, in order of appearance."""
    subjects: list[tuple[tuple[Expr, ...], list[Expr]]] = []
    for atom in (a for e in expressions for a in atoms_of(e)):
        key = _subject(atom)
        atoms = next((found for other, found in subjects if _alike(key, other)), None)
        if atoms is None:
            subjects.append((key, [atom]))
        elif not any(atom.same_as(known) for known in atoms):
            atoms.append(atom)
    return tuple(Variable(tuple(atoms), cases_of(key, atoms, steps)) for key, atoms in subjects)


def _alike(one: tuple[Expr, ...], other: tuple[Expr, ...]) -> bool:
    return len(one) == len(other) and all(a.same_as(b) for a, b in zip(one, other, strict=True))


def _subject(atom: Expr) -> tuple[Expr, ...]:
    """Give what an atom is about: a value compared with constants, a pair compared with each other, or itself."""
    if isinstance(atom, StepActive):
        return (Ref(atom.chart, INT),)
    if not (isinstance(atom, Binary) and atom.op in COMPARISONS):
        return (atom,)
    if isinstance(atom.right, Const):
        return (atom.left,)
    if isinstance(atom.left, Const):
        return (atom.right,)
    return (atom.left, atom.right) if str(atom.left) <= str(atom.right) else (atom.right, atom.left)
