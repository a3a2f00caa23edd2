"""The small machine that `simplant new NAME` writes: a clamp holds a part, a press comes down on it.

Its files are in the folder station/, as text with `@NAME@` in place of the machine's name. Rule: it runs and passes
as it is written, which place.py tries before it is put anywhere.
"""

from importlib.resources import files
from typing import Final

from simplant.starter.place import Files

_PLACES: Final = {
    "io.csv": "programs/@NAME@/io.csv",
    "machine.toml": "programs/@NAME@/machine.toml",
    "logic.py": "programs/@NAME@/logic.py",
    "rules.toml": "programs/@NAME@/rules.toml",
    "hazards.csv": "programs/@NAME@/hazards.csv",
    "one_part.toml": "scenarios/@NAME@/one_part.toml",
    "guard_opened.toml": "scenarios/@NAME@/guard_opened.toml",
    "test.py": "tests/test_@NAME@.py",
}


def station(name: str) -> Files:
    """Give the files of the small machine under a name."""
    folder = files(__package__) / "station"
    texts = {place: (folder / f"{file}.txt").read_text(encoding="utf-8") for file, place in _PLACES.items()}
    return {place.replace("@NAME@", name): text.replace("@NAME@", name) for place, text in texts.items()}
