"""What a reference leads to: a type that is made when somebody asks for it.

The types themselves are types.py. Rule: made once, and not before it is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from simplant.logic.st.types import StType


class Referent:
    """The type that a reference leads to; made when somebody asks, since a structure may hold a reference to itself."""

    def __init__(self, make: Callable[[], StType]) -> None:
        self._make: Final = make
        self._made: StType | None = None

    def type(self) -> StType:
        """Give the type; raises `Fault` if there is no such."""
        if self._made is None:
            self._made = self._make()
        return self._made
