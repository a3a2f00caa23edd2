"""The mutants of comet_toss that survive, each with its reason; the score itself, by hand.

`python -m tests.quality.mutants` tries every mutant (minutes, on two cores) and says which survivor nobody explains.
Rule: a reason says why no rule and no scenario could be asked for, not that none was written.
"""

import argparse
import json
import re
import sys
import tomllib
from pathlib import Path

from simplant.campaign.campaign import Campaign
from simplant.campaign.mutation import SURVIVED, Fate, Trial, Tried, all_mutants, score, suite_of, try_mutant
from simplant.campaign.store import Store
from simplant.cli.find import scenario_files
from simplant.rig.machine import Machine
from simplant.scenario.read import read_scenario
from tests.docs.markdown import ROOT

SURVIVORS = ROOT / "tests" / "quality" / "survivors.toml"
LEAST = 0.95


def reasons() -> list[tuple[re.Pattern[str], str]]:
    """Give each pattern with its reason."""
    rows = tomllib.loads(SURVIVORS.read_text(encoding="utf-8"))["survivor"]
    return [(re.compile(row["mutant"]), row["why"]) for row in rows]


def comet_toss() -> Machine:
    """Read the machine."""
    return Machine.load(ROOT / "programs" / "comet_toss")


def main() -> int:
    """Try every mutant; 1 if the score is too low or a survivor has no reason."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--results", type=Path, help="where answers are kept, so that a killed run goes on")
    options = parser.parse_args()
    machine = comet_toss()
    files = scenario_files([str(machine.scenario_folder())])
    suite, spoilt = suite_of(machine, [(path.stem, read_scenario(path)) for path in files])
    numbers: dict[str, int] = {}
    trials, mutants = [], all_mutants(machine)
    for controller, mutant in mutants:
        numbers[controller] = numbers.get(controller, -1) + 1
        trials.append(Trial(controller, numbers[controller], str(mutant), suite))
    with Store(options.results) as store:
        fates = Campaign(machine, try_mutant, Fate, store).run(trials)
    tried = [Tried(controller, mutant, fate) for (controller, mutant), fate in zip(mutants, fates, strict=True)]
    known = [pattern for pattern, _ in reasons()]
    left = [str(t.mutant) for t in tried if t.fate.became == SURVIVED]
    unexplained = [text for text in left if not any(pattern.search(text) for pattern in known)]
    counted = score(tried)
    told = {"killed": counted.killed, "of": counted.counted, "unexplained": unexplained, "left_out": spoilt}
    sys.stdout.write(json.dumps(told, indent=1) + "\n")
    return 1 if unexplained or counted.killed < LEAST * counted.counted else 0


if __name__ == "__main__":
    sys.exit(main())
