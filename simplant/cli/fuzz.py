"""`simplant fuzz MACHINE`: tell a machine story after story until some break rules, and make those small.

Searching and reducing are fuzz/; the same story is found again by its seed, and replayed for ever from the file
written here. Rule: a find is exit code 1; a hazard that the list accepts is counted and gone past.
"""

import argparse
import json
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from rich.console import Console
from rich.text import Text

from simplant.campaign.campaign import Campaign
from simplant.campaign.stories import StoryFacts, finds_in, gathered, share, story_cases, tell
from simplant.cli.find import find_machine
from simplant.cli.numbers import a_time, at_least_one
from simplant.cli.progress import add_campaign_options, bar, progress, store_of
from simplant.cli.views.story import story_view
from simplant.fuzz.decode import Decoder
from simplant.fuzz.reduce import reduced, things
from simplant.fuzz.saved import save
from simplant.fuzz.search import Find, Seen, is_wrong, names, search
from simplant.fuzz.timing import Tried, timings
from simplant.rig.breaches import errors_in
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.rules import Verdict
from simplant.scenario.model import Scenario
from simplant.timebase import Ns

CLOSEST: Final = 3
"""How many of the closest margins are told."""


@dataclass(frozen=True, slots=True)
class Small:
    """A find made small: as it was found, as it is now, and the file it was written to."""

    found: Find
    find: Find
    path: Path

    timings: tuple[Tried, ...] = ()

    @property
    def verdict(self) -> Verdict | None:
        """The verdict of the broken rule; None if the program failed."""
        return _verdict(self.find)


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("fuzz", help="tell a machine random stories until one breaks a rule")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument(
        "--cases", type=at_least_one, default=1000, help="how many stories to run at most (default 1000)"
    )
    parser.add_argument("--seed", type=int, default=1, help="of the stories (default 1)")
    parser.add_argument(
        "--for", dest="length", type=a_time, metavar="TIME", help="machine time of each (default: the machine's own)"
    )
    parser.add_argument("--nominal", action="store_true", help="leave all parameters as they are, tolerances aside")
    parser.add_argument("--finds", type=at_least_one, default=1, help="go on until so many different finds (default 1)")
    parser.add_argument(
        "--save", metavar="FILE", help="where to write a find, numbered from the second on (default: runs/...)"
    )
    parser.add_argument(
        "--even", action="store_true", help="draw every story anew, over all cores, and tell what share breaks a rule"
    )
    add_campaign_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    machine = find_machine(options.machine)
    decoder = Decoder(machine, length=options.length, nominal=options.nominal)
    seen = Seen()
    facts: list[StoryFacts] = []
    if options.even:
        seen, facts, finds = _evenly(machine, decoder, options, console)
    else:
        finds = _search(machine, decoder, options, seen, console)
    if options.json:
        console.file.write(json.dumps(_json(seen, finds) | _json_share(facts), indent=1) + "\n")
    else:
        _tell(machine, seen, finds, facts, console)
    return 1 if finds else 0


def _search(
    machine: Machine, decoder: Decoder, options: argparse.Namespace, seen: Seen, console: Console
) -> list[Small]:
    finds: list[Small] = []
    with _bar(machine, options, seen, console) as advance:
        for told in search(machine, decoder, options.cases, options.seed, seen):
            for each in told.finds:
                _take(machine, each, seen, finds, options)
            advance()
            if len(finds) >= options.finds:
                break
    return finds


def _evenly(
    machine: Machine, decoder: Decoder, options: argparse.Namespace, console: Console
) -> tuple[Seen, list[StoryFacts], list[Small]]:
    """Run all stories, each drawn anew, then make small what was found."""
    finds: list[Small] = []
    cases = story_cases(decoder, options.seed, options.cases, nominal=options.nominal)
    with store_of(options, f"{machine.name}-fuzz") as store, bar("stories", console, silent=options.json) as told:
        campaign = Campaign(machine, tell, StoryFacts, store, options.processes, told, options.cluster)
        facts = campaign.run(cases)
    seen = gathered(facts)
    for each in finds_in(machine, cases, facts):
        if len(finds) >= options.finds:
            break
        _take(machine, each, seen, finds, options)
    return seen, facts, finds


def _take(machine: Machine, found: Find, seen: Seen, finds: list[Small], options: argparse.Namespace) -> None:
    """Make a find small, and keep it if it is a new one and there is room for it."""
    if len(finds) >= options.finds or seen.knows(found.scenario, found.what):
        return
    small = _small(machine, found)
    if not seen.knows(small.scenario, small.what):
        seen.remember(small)
        tried = timings(machine, small.scenario, _wrong(machine, small.what))
        finds.append(Small(found, small, _save(small, options, len(finds)), tried))


@contextmanager
def _bar(machine: Machine, options: argparse.Namespace, seen: Seen, console: Console) -> Iterator[Any]:
    steps = sum(len(chart.steps) for chart in machine.program.charts.values())
    began = time.monotonic()
    with progress("stories", options.cases, console, silent=options.json) as shown:

        def advance() -> None:
            pace = seen.cases / max(time.monotonic() - began, 1e-9)
            told = (
                f"{seen.cases} at {pace:.0f}/s, {len(seen.steps)} of {steps} steps, {len(seen.transitions)} transitions"
            )
            shown(seen.cases, f"{told}; closest: {_closest(seen, 1)}")

        yield advance


def _closest(seen: Seen, most: int) -> str:
    near = sorted(seen.closest.items(), key=lambda pair: pair[1])[:most]
    return ", ".join(f"{rule} {abs(margin):.1%}" for rule, margin in near) or "-"


def _small(machine: Machine, found: Find) -> Find:
    verdict = _verdict(found)
    broken_at = found.run.ended if verdict is None else Ns(verdict.time or 0)
    small = reduced(found.scenario, broken_at, _wrong(machine, found.what))
    return Find(small, run_scenario(machine, small), found.what)


def _wrong(machine: Machine, what: str) -> Callable[[Scenario], bool]:
    return lambda scenario: is_wrong(run_scenario(machine, scenario), what)


def _verdict(find: Find) -> Verdict | None:
    return next((v for v in find.run.broken if v.rule == find.what), None)


def _save(find: Find, options: argparse.Namespace, before: int) -> Path:
    return save(find.scenario, find.what, Path(options.save) if options.save else None, number=before + 1)


def _tell(machine: Machine, seen: Seen, finds: Sequence[Small], facts: Sequence[StoryFacts], console: Console) -> None:
    console.print(
        Text(f"{machine.name}: {seen.cases} stories, {len(seen.steps)} steps, {len(seen.transitions)} transitions")
    )
    for what, counted in (
        ("accepted hazards", seen.accepted),
        ("broken under more faults than demanded", seen.undemanded),
        ("broken once more as below", +seen.again),
    ):
        if counted:
            told = ", ".join(f"{rule} ({count})" for rule, count in counted.most_common())
            console.print(Text(f"{what}: {told}", style="yellow"))
    console.print(Text(f"closest margins: {_closest(seen, CLOSEST)}"))
    if facts:
        wrong, low, high = share(facts)
        bounds = f"{low:.2%} to {high:.2%}" if wrong else f"at most {high:.2%}"
        console.print(Text(f"stories that break a rule: {wrong} of {len(facts)}: {bounds} of such stories (95 %)"))
    if not finds:
        console.print(Text("no story broke a rule", style="bold"))
    for small in finds:
        _tell_find(small, console)


def _tell_find(small: Small, console: Console) -> None:
    verdict, run = small.verdict, small.find.run
    console.print("", story_view(run, verdict), "")
    told = verdict.told() if verdict else "\n".join(event.text for event in errors_in(run.trace))
    console.print(Text(told, style="bold red"))
    if verdict and verdict.margin_text:
        console.print(Text(f"  by {verdict.margin_text}"))
    before, after = (len(things(find.scenario)) for find in (small.found, small.find))
    console.print(Text(f"reduced from {before} things that happen to {after}"))
    for tried in small.timings:
        console.print(Text(tried.told(), style="yellow" if tried.is_race else ""))
    console.print(Text(f"written to {small.path}"))
    console.print(Text(f"again: simplant replay {small.path}"))
    console.print(Text(f"as a test: pytest {small.path}"))


def _json(seen: Seen, finds: Sequence[Small]) -> dict[str, Any]:
    told = [
        {
            "found": small.find.what,
            "with": sorted(names(small.find.scenario)),
            "at_ns": None if small.verdict is None else small.verdict.time,
            "timing": [{"varied": t.what, "runs": t.runs, "wrong": t.wrong} for t in small.timings],
            "scenario": str(small.path),
        }
        for small in finds
    ]
    first = told[0] if told else dict.fromkeys(("found", "at_ns", "scenario"))
    return {
        "cases": seen.cases,
        "steps": sorted(seen.steps),
        "transitions": len(seen.transitions),
        "accepted": dict(seen.accepted),
        "undemanded": dict(seen.undemanded),
        "closest": seen.closest,
        "again": dict(+seen.again),
        "found": first["found"],
        "at_ns": first["at_ns"],
        "scenario": first["scenario"],
        "finds": told,
    }


def _json_share(facts: Sequence[StoryFacts]) -> dict[str, Any]:
    if not facts:
        return {}
    wrong, low, high = share(facts)
    return {"share": {"wrong": wrong, "of": len(facts), "least": low, "most": high}}
