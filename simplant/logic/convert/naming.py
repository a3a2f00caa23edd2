"""Names of a converted program: its own as they are, and new ones for what Python gives no name in the standard.

Rule: a tag, step or block keeps its name, or the conversion is refused with the reason: traces and rules speak of it.
"""

from collections.abc import Iterable
from typing import Final

from simplant.errors import Place, ProgramError
from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.standard import signature
from simplant.tags import name_problem


class Naming:
    """The names of one program.

    Args:
        taken: its own names, each with its place.
    """

    def __init__(self, taken: Iterable[tuple[str, Place]]) -> None:
        self._spelt: Final[dict[str, str]] = {}
        for name, place in taken:
            self._take(name, place)

    def _take(self, name: str, place: Place) -> None:
        check_name(name, place)
        other = self._spelt.setdefault(name.upper(), name)
        if other != name:
            why = "letter case does not count in the standard's languages"
            raise ProgramError(f"{name} and {other} would be one name", why, "rename one of them", place)

    def new(self, name: str) -> str:
        """Give a free name, this one if it is free."""
        number, found = 1, name
        while found.upper() in self._spelt or found.upper() in KEYWORDS or signature(found.upper()) is not None:
            number += 1
            found = f"{name}_{number}"
        self._spelt[found.upper()] = found
        return found

    def is_used(self, name: str) -> bool:
        """Say whether a name is that of a tag, a block or another thing of the program."""
        return name.upper() in self._spelt


def check_name(name: str, place: Place) -> None:
    """Refuse a name that cannot stand in the standard's languages.

    Raises:
        ProgramError: it cannot, with the reason.
    """
    why = name_problem(name) or ("it is a word of the language" if name.upper() in KEYWORDS else "")
    if why:
        raise ProgramError(f"{name!r} cannot be a name in Structured Text", why, "rename it in the program", place)


def in_capitals(name: str) -> str:
    """Give a name as types are spelt: `stop_wanted` is `StopWanted`."""
    return "".join(part[:1].upper() + part[1:] for part in name.split("_"))
