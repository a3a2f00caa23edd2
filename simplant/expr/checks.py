"""What is checked when a program runs: ranges, indices of arrays, lengths of texts.

They stand in `Checked` nodes; who puts them there is logic/st. Rule: what is let through comes out
as it is stored.
"""

from dataclasses import dataclass

from simplant.errors import ProgramError
from simplant.values import Value


@dataclass(frozen=True, slots=True)
class RangeCheck:
    """Lets through what lies in a range."""

    name: str
    least: int
    most: int

    def __call__(self, value: Value) -> Value:
        """Give the value back, or raise `ProgramError`."""
        if self.least <= value <= self.most:  # type: ignore[operator]  # a whole number
            return value
        raise ProgramError(f"{self.name} is {value}", f"it goes from {self.least} to {self.most}", "test it before")


@dataclass(frozen=True, slots=True)
class IndexCheck:
    """Lets through the indices of an array, counted from 0."""

    name: str
    least: int
    most: int

    def __call__(self, value: Value) -> Value:
        """Give the index from 0, or raise `ProgramError`."""
        if self.least <= value <= self.most:  # type: ignore[operator]  # a whole number
            return int(value) - self.least
        bounds = f"the array goes from {self.least} to {self.most}"
        raise ProgramError(f"{self.name} has no element {value}", bounds, "test the index before")


@dataclass(frozen=True, slots=True)
class LengthCheck:
    """Lets through texts that are not too long."""

    most: int

    def __call__(self, value: Value) -> Value:
        """Give the text back, or raise `ProgramError`."""
        if len(str(value)) <= self.most:
            return value
        what = f"a text of {len(str(value))} letters does not fit a STRING[{self.most}]"
        raise ProgramError(what, "cutting it off would hide it", "declare a longer one, or cut with LEFT")
