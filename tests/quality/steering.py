"""How many stories it takes to find each planted bug, steered and not: `python -m tests.quality.steering`.

The bugs are bugs.py; what is measured stands in steered.csv and unsteered.csv beside this file, one row a search; a
measurement goes on where it ended. Rule: a miss counts as the cap; nothing here depends on the time it takes.
"""

import argparse
import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from rich.console import Console
from rich.table import Table

from simplant.files import write_text
from simplant.fuzz import Decoder, ways_of_play
from simplant.fuzz.search import Seen, search, wrong_with
from simplant.rig.machine import Machine
from tests.quality.bugs import BUGS, Bug
from tests.quality.planting import PROGRAMS, planted

FOLDER = Path(__file__).parent
SEEDS = tuple(range(1, 21))
COMPARED = 300
"""Up to so many stories the two ways are held against each other."""
CAP = 2000
"""Up to so many stories a bug is looked for."""
FIELDS = ("bug", "seed", "cap", "cases")


@dataclass(frozen=True, slots=True)
class Row:
    """One search: `cases` until the bug was found, 0 = not within `cap`."""

    bug: str
    seed: int
    cap: int
    cases: int


class Results:
    """The rows of one way, kept in a file as they come."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows: dict[tuple[str, int], Row] = {}
        if path.exists():
            for given in csv.DictReader(path.read_text(encoding="utf-8").splitlines()):
                self._put(Row(given["bug"], int(given["seed"]), int(given["cap"]), int(given["cases"])))

    def _put(self, row: Row) -> None:
        self.rows[row.bug, row.seed] = row

    def add(self, row: Row) -> None:
        """Keep a row."""
        self._put(row)
        order = {bug.name: n for n, bug in enumerate(BUGS)}
        rows = sorted((r for r in self.rows.values() if r.bug in order), key=lambda r: (order[r.bug], r.seed))
        lines = [",".join(FIELDS), *(f"{r.bug},{r.seed},{r.cap},{r.cases}" for r in rows)]
        write_text(self.path, "\n".join(lines) + "\n")

    def answered(self, bug: Bug, seed: int, cap: int) -> bool:
        """Say whether a search up to a cap is known to the end."""
        row = self.rows.get((bug.name, seed))
        return row is not None and (row.cases > 0 or row.cap >= cap)

    def counts(self, bug: Bug, cap: int) -> list[int]:
        """Give for each seed the stories it took; a miss counts as the cap."""
        rows = [r for (name, _), r in self.rows.items() if name == bug.name]
        return [r.cases if 0 < r.cases <= cap else cap for r in rows if r.cases or r.cap >= cap]

    def found(self, bug: Bug) -> tuple[int, int]:
        """Give in how many seeds it was found within `CAP`, and of how many that is known."""
        known = [r for (name, _), r in self.rows.items() if name == bug.name and (r.cases or r.cap >= CAP)]
        return sum(0 < r.cases <= CAP for r in known), len(known)


def decoders() -> dict[str, Decoder]:
    """Give what makes stories of each machine as it is: the same for all bugs planted in it."""
    made = {}
    for name in dict.fromkeys(bug.machine for bug in BUGS):
        machine = Machine.load(PROGRAMS / name)
        made[name] = Decoder(machine, plays=ways_of_play(machine))
    return made


def cases_until_found(machine: Machine, decoder: Decoder, bug: Bug, seed: int, cap: int, *, steered: bool) -> int:
    """Search; give the number of the story that shows the bug, from 1, or 0."""
    for told in search(machine, decoder, cap, seed, Seen(), steered=steered):
        if any(what in bug.rules for what in wrong_with(told.run)):
            return told.number + 1
    return 0


def measure(bugs: Sequence[Bug], seeds: Sequence[int], cap: int, *, steered: bool) -> None:
    """Search for each bug with each seed, all bugs with one seed before the next, and keep the results."""
    results, made = Results(_path(steered=steered)), decoders()
    with TemporaryDirectory() as folder:
        machines = {bug.name: planted(bug, Path(folder) / str(n)) for n, bug in enumerate(bugs)}
        for seed, bug in ((seed, bug) for seed in seeds for bug in bugs):
            if not results.answered(bug, seed, cap):
                cases = cases_until_found(machines[bug.name], made[bug.machine], bug, seed, cap, steered=steered)
                results.add(Row(bug.name, seed, cap, cases))
                print(
                    f"{'steered' if steered else 'drawn anew'} seed {seed}: {bug.name}: {cases or 'not found'}",
                    flush=True,
                )


def _path(*, steered: bool) -> Path:
    return FOLDER / ("steered.csv" if steered else "unsteered.csv")


def told() -> Table:
    """Make the table of what is known."""
    steered, unsteered = Results(_path(steered=True)), Results(_path(steered=False))
    table = Table(
        "bug", "kind", f"found within {CAP}", "median", f"mean, at most {COMPARED}", "drawn anew", "steered is",
        title="stories until a planted bug is found",
    )  # fmt: skip
    better = 0
    for bug in BUGS:
        ours, theirs = steered.counts(bug, COMPARED), unsteered.counts(bug, COMPARED)
        if not ours or not theirs:
            continue
        a, b = sum(ours) / len(ours), sum(theirs) / len(theirs)
        better += a < b
        hits, of = steered.found(bug)
        word = "better" if a < b else "equal" if a == b else "worse"
        table.add_row(bug.name, bug.kind, f"{hits} of {of}", f"{median(ours):g}", f"{a:.1f}", f"{b:.1f}", word)
    table.caption = f"steered better on {better} of {table.row_count} bugs"
    return table


def main() -> None:
    """Measure what is not known yet, then show the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.quality.steering", description=__doc__)
    parser.add_argument("--seeds", type=int, default=len(SEEDS), help="how many seeds")
    parser.add_argument("--first", type=int, default=1, help="the first of the seeds")
    parser.add_argument("--bug", action="append", help="only this one")
    parser.add_argument("--how", choices=("steered", "unsteered", "both", "table"), default="both")
    parser.add_argument("--cap", type=int, default=COMPARED, help=f"stories at most ({CAP}: for those missed before)")
    options = parser.parse_args()
    bugs = [bug for bug in BUGS if not options.bug or bug.name in options.bug]
    for seed in SEEDS[options.first - 1 : options.seeds]:
        for steered in _ways(options.how):
            measure(bugs, [seed], options.cap, steered=steered)
    Console().print(told())


def _ways(how: str) -> Iterator[bool]:
    if how in ("steered", "both"):
        yield True
    if how in ("unsteered", "both"):
        yield False


if __name__ == "__main__":
    main()
