"""How small the story of each planted bug becomes: `python -m tests.quality.reducing`.

The bugs are bugs.py, finding them steering.py; results stand in reduced.csv beside this file, and what is there is not
measured again. Rule: a thing is a stimulus, a fault or a cut of power; where parts stand at the start is none.
"""

import argparse
import csv
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from rich.console import Console
from rich.table import Table

from simplant.files import write_text
from simplant.fuzz import Decoder
from simplant.fuzz.reduce import reduced, things
from simplant.fuzz.search import Find, Seen, is_wrong, search, wrong_with
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.model import Scenario
from tests.quality.bugs import BUGS, Bug
from tests.quality.planting import planted
from tests.quality.steering import CAP, FOLDER, decoders

MOST = 5
"""So many things a reduced story may have."""
SIX = ("not homed after a stop", "home position not set")
"""These cannot show with fewer than six: a reset, a start, a call, a stop, a start, a call."""
FIELDS = ("bug", "seed", "cases", "rule", "things", "minimal")


@dataclass(frozen=True, slots=True)
class Reduced:
    """A bug found and made small: after how many stories, which rule, how many things are left, whether all count."""

    bug: str
    seed: int
    cases: int
    rule: str
    things: int
    minimal: bool


def found(machine: Machine, decoder: Decoder, bug: Bug, seed: int, cap: int) -> tuple[int, Find] | None:
    """Search for a bug; give the number of the story, from 1, and the find."""
    for told in search(machine, decoder, cap, seed, Seen()):
        for what in wrong_with(told.run):
            if what in bug.rules:
                return told.number + 1, Find(told.scenario, told.run, what)
    return None


def made_small(machine: Machine, find: Find) -> Scenario:
    """Reduce a find as the command does."""
    at = next((v.time for v in find.run.broken if v.rule == find.what and v.time is not None), find.run.ended)
    return reduced(find.scenario, at, lambda scenario: is_wrong(run_scenario(machine, scenario), find.what))


def without(scenario: Scenario, number: int) -> Scenario:
    """Leave one thing out."""
    gone = things(scenario)[number]
    return replace(
        scenario,
        stimuli=tuple(s for s in scenario.stimuli if s is not gone),
        faults=tuple(f for f in scenario.faults if f is not gone),
        power=tuple(p for p in scenario.power if p is not gone),
    )


def is_minimal(machine: Machine, small: Scenario, what: str) -> bool:
    """Say whether the rule holds as soon as any one thing is left out."""
    left = range(len(things(small)))
    return not any(is_wrong(run_scenario(machine, without(small, number)), what) for number in left)


def measure(bug: Bug, decoder: Decoder, seed: int, folder: Path) -> Reduced | None:
    """Find a bug, make the story small and try it."""
    machine = planted(bug, folder)
    hit = found(machine, decoder, bug, seed, CAP)
    if hit is None:
        return None
    cases, find = hit
    small = made_small(machine, find)
    return Reduced(bug.name, seed, cases, find.what, len(things(small)), is_minimal(machine, small, find.what))


def known(path: Path) -> dict[str, Reduced]:
    """Read what was measured."""
    if not path.exists():
        return {}
    rows = csv.DictReader(path.read_text(encoding="utf-8").splitlines())
    made = [Reduced(*_read(given)) for given in rows]
    return {row.bug: row for row in made}


def _read(given: dict[str, str]) -> tuple[str, int, int, str, int, bool]:
    bug, seed, cases, rule, left, minimal = (given[field] for field in FIELDS)
    return bug, int(seed), int(cases), rule, int(left), minimal == "yes"


def is_small(row: Reduced) -> bool:
    """Say whether a story has as few things as is asked for, all of them needed."""
    return row.minimal and row.things <= MOST + (row.bug in SIX)


def main() -> None:
    """Measure what is not known yet, then show the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.quality.reducing", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of the stories")
    seed = parser.parse_args().seed
    path, made = FOLDER / "reduced.csv", decoders()
    rows = known(path)
    for bug in (bug for bug in BUGS if bug.name not in rows):
        with TemporaryDirectory() as folder:
            row = measure(bug, made[bug.machine], seed, Path(folder))
        if row is not None:
            rows[bug.name] = row
            kept = [rows[b.name] for b in BUGS if b.name in rows]
            lines = [f"{r.bug},{r.seed},{r.cases},{r.rule},{r.things},{'yes' if r.minimal else 'no'}" for r in kept]
            write_text(path, "\n".join([",".join(FIELDS), *lines]) + "\n")
    Console().print(table(rows))


def table(rows: dict[str, Reduced]) -> Table:
    """Make the table."""
    shown = Table("bug", "stories", "rule broken", "things left", "all needed", title="stories made small")
    for row in rows.values():
        shown.add_row(row.bug, str(row.cases), row.rule, str(row.things), "yes" if row.minimal else "NO")
    small = sum(row.things <= MOST and row.minimal for row in rows.values())
    shown.caption = f"{small} of {len(rows)} with at most {MOST} things, all needed"
    return shown


if __name__ == "__main__":
    main()
