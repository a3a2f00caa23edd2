"""Cases for campaigns, to be asked in other processes: the square of a number, some of which kill whoever is asked."""

import os
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Number:
    """A number to be squared; with a `marker` file named, whoever is asked first makes it and dies."""

    number: int
    marker: str = ""

    @property
    def depends(self):
        return str(self.number)

    def __str__(self):
        return f"number {self.number}"


@dataclass(frozen=True, slots=True)
class Square:
    """The answer."""

    square: int
    words: tuple[tuple[str, int], ...] = ()


def square(machine, case):
    """Square it, or die."""
    if case.marker == "always":
        os._exit(9)
    if case.marker and not Path(case.marker).exists():
        Path(case.marker).touch()
        os._exit(9)
    return Square(case.number**2, ((machine.name, case.number),))
