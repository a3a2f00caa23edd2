"""The names that an expression written as text may use, and what each stands for.

Reading the text is read.py. Rule: letter case does not count, as in the standard; an unknown name is
answered with the nearest.
"""

from collections.abc import Iterable
from typing import Final

from simplant.errors import ProgramError, nearest
from simplant.expr.base import Expr


class Vocabulary:
    """The names an expression may use, letter case not counting.

    Args:
        names: (name, what it stands for), `start_pressed` or dotted `wheel.speed`. A name that stands for two unlike
            things is refused where it is used.
    """

    def __init__(self, names: Iterable[tuple[str, Expr]]) -> None:
        self._names: Final[dict[str, tuple[str, Expr]]] = {}
        self._twice: Final[set[str]] = set()
        for name, node in names:
            _, first = self._names.setdefault(name.upper(), (name, node))
            if not first.same_as(node):
                self._twice.add(name.upper())

    def find(self, name: str) -> Expr:
        """Give what a name stands for; raises `ProgramError` with the nearest names."""
        key = name.upper()
        if key in self._twice:
            raise ProgramError(f"{name!r} means two things", "program and plant both use it", "rename one of them")
        if key not in self._names:
            known = [written for written, _ in self._names.values()]
            steps = [n for n in known if n.upper().startswith(f"{key}.")]
            if steps:
                raise ProgramError(f"{name!r} is not one value", mend=f"write one of: {', '.join(steps[:8])}")
            raise ProgramError(f"{name!r} is not known", mend=nearest(name, known))
        return self._names[key][1]
