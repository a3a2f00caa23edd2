"""Where the time of a run goes: by file and by function, as tables.

A profiler counts calls dearly, so small functions look worse here than they are. Rule: for finding waste, never for
the ratios.
"""

import cProfile
import pstats
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from rich.table import Table

RUNS = 30
SHOWN = 25


def profile_of(job: Callable[[], object]) -> Iterator[Table]:
    """Profile a job run again and again; give a table by file and one by function, in ms of one run."""
    profiler = cProfile.Profile()
    profiler.enable()
    for _ in range(RUNS):
        job()
    profiler.disable()
    entries = pstats.Stats(profiler).stats  # type: ignore[attr-defined]
    files: Counter[str] = Counter()
    functions: Counter[tuple[str, int]] = Counter()
    for (file, _line, function), (_, calls, own, _, _) in entries.items():
        name = short(file)
        files[name] += own
        functions[f"{name} {function}", calls // RUNS] += own
    yield _table("by file", ((name, "", own) for name, own in files.most_common(SHOWN)))
    yield _table("by function", ((name, str(calls), own) for (name, calls), own in functions.most_common(SHOWN)))


def short(file: str) -> str:
    """Give a file as its last folder and name."""
    return "/".join(Path(file).parts[-2:]) if "/" in file or "\\" in file else file


def _table(title: str, rows: Iterator[tuple[str, str, float]]) -> Table:
    table = Table("where", "calls", "ms, profiled", title=title)
    for name, calls, own in rows:
        table.add_row(name, calls, f"{own * 1e3 / RUNS:.3f}")
    return table
