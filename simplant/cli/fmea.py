"""`simplant fmea MACHINE`: what does each single fault do, in each step, and who notices?

The runs are campaign/failures.py, what they mean campaign/failure_table.py, the tables cli/views/failures.py. Rule:
exit code 1 if a demanded rule breaks that no accepted hazard covers, or a run fails.
"""

import argparse
import csv
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from rich.console import Console

from simplant.campaign.campaign import Campaign
from simplant.campaign.facts import Facts
from simplant.campaign.failure_table import (
    CHANGED,
    FAILED,
    HAZARD,
    KINDS,
    NOTHING,
    UNNOTICED,
    Effect,
    alike,
    dictionary,
    effect_of,
    never_raised,
    table,
)
from simplant.campaign.failures import FaultCase, Way, ask, cases_of, pairs_of, ways_of
from simplant.campaign.store import Store
from simplant.cli.faults import wanted
from simplant.cli.find import find_machine, find_ways
from simplant.cli.progress import add_campaign_options, bar, store_of
from simplant.cli.views.failures import Shown, dictionary_view, failures_view
from simplant.faults import CatalogueEntry
from simplant.files import write_text
from simplant.report.failure_part import COLUMNS, failure_page, read_lines
from simplant.rig.machine import Machine

_FINDINGS: Final = (FAILED, HAZARD, HAZARD + UNNOTICED)
_LATENT: Final = (NOTHING + UNNOTICED, CHANGED + UNNOTICED)
_PAIRS: Final = 1000


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked: the machine, its ways of use, the faults, and the campaign that runs them."""

    machine: Machine
    ways: Sequence[Way]
    entries: Sequence[CatalogueEntry]
    campaign: Campaign[FaultCase, Facts]


def add_parser(commands: Any) -> None:
    """Add this command."""
    parser = commands.add_parser("fmea", help="tell what each single fault of a machine does, and who notices")
    parser.add_argument("machine", help="folder of the machine, or its name under programs/")
    parser.add_argument(
        "names", nargs="*", help="parts, points or controllers, or faults (part.kind), to be tried (default: all)"
    )
    parser.add_argument(
        "--scenario",
        metavar="NAME",
        action="append",
        help="a way of use (default: each scenario in which all goes well)",
    )
    parser.add_argument(
        "--pairs", metavar="N", type=int, nargs="?", const=_PAIRS,
        help=f"also so many pairs of a fault that nobody notices and another, by chance ({_PAIRS})",
    )  # fmt: skip
    parser.add_argument("--seed", metavar="N", type=int, default=1, help="of the pairs (default 1)")
    parser.add_argument("--dictionary", action="store_true", help="tell which faults the alarms speak for")
    parser.add_argument("--rows", metavar="N", type=int, default=60, help="most rows to show (default 60)")
    parser.add_argument("--csv", metavar="FILE", help="write every run, a line each")
    parser.add_argument("--html", metavar="FILE", help="write the table as a page")
    add_campaign_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace, console: Console) -> int:
    """Do it."""
    machine = find_machine(options.machine)
    entries = wanted(machine, options.names)
    ways = ways_of(machine, find_ways(machine, options.scenario), named=bool(options.scenario))
    with store_of(options, f"{machine.name}-fmea") as store:
        effects, unseen = _run(machine, ways, entries, store, options, console)
    if options.csv or options.html:
        _write(options, machine.name, _csv(effects))
    shown = Shown(machine, tuple(ways), len(entries), table(effects), tuple(effects), unseen, options.rows)
    if options.json:
        console.file.write(json.dumps(_json(shown), indent=1) + "\n")
    else:
        console.print(dictionary_view(shown) if options.dictionary else failures_view(shown))
    return 1 if any(effect.kind in _FINDINGS for effect in effects) else 0


def _write(options: argparse.Namespace, machine: str, text: str) -> None:
    if options.csv:
        write_text(options.csv, text)
    if options.html:
        write_text(options.html, failure_page(machine, read_lines(text, "the failure table")))


def _run(
    machine: Machine, ways: Sequence[Way], entries: Sequence[CatalogueEntry], store: Store,
    options: argparse.Namespace, console: Console,
) -> tuple[list[Effect], tuple[str, ...]]:  # fmt: skip
    """Give the effects, and the accepted hazards that no run showed."""
    campaign = Campaign(machine, ask, Facts, store, options.processes, cluster=options.cluster)
    asked = Asked(machine, ways, entries, campaign)
    bases = {way.name: ask(machine, FaultCase(way)) for way in ways}
    cases = cases_of(ways, entries)
    facts = _answers(asked, cases, "faults", options, console)
    effects = [effect_of(case, bases[case.way.name], fact) for case, fact in zip(cases, facts, strict=True)]
    if options.pairs:
        pairs = pairs_of(ways, _latent(effects), entries, options.pairs, options.seed)
        more = _answers(asked, pairs, "pairs", options, console)
        effects += [effect_of(case, bases[case.way.name], fact) for case, fact in zip(pairs, more, strict=True)]
        facts += more
    lines = {line for fact in facts for line in fact.hazards}
    return effects, tuple(str(hazard) for hazard in machine.hazards if hazard.place.line not in lines)


def _answers(
    asked: Asked, cases: Sequence[FaultCase], title: str, options: argparse.Namespace, console: Console
) -> list[Facts]:
    with bar(title, console, silent=options.json) as tell:
        return asked.campaign.telling(tell).run(cases)


def _latent(effects: Sequence[Effect]) -> dict[str, list[CatalogueEntry]]:
    """Give, for each way, the faults that are there from its start, spoil nothing and raise no alarm."""
    latent: dict[str, list[CatalogueEntry]] = {}
    for effect in effects:
        (entry, onset), way = effect.case.faults[0], effect.case.way
        if onset == way.onsets[0] and effect.kind in _LATENT:
            latent.setdefault(way.name, []).append(entry)
    return latent


def _csv(effects: Sequence[Effect]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for effect in sorted(effects, key=lambda effect: KINDS.index(effect.kind)):
        entry, onset = effect.case.faults[-1]
        rules = "; ".join(f"{rule} ({word})" for rule, word in effect.rules)
        writer.writerow([
            effect.case.way.name, effect.fault, entry.mode.cause, onset.step, _seconds(onset.at), effect.kind,
            effect.told, "; ".join(effect.alarms), _seconds(effect.after), rules, _seconds(effect.broken_after),
        ])  # fmt: skip
    return text.getvalue()


def _seconds(time: int | None) -> str:
    return "" if time is None else f"{time / 1e9:g}"


def _json(shown: Shown) -> dict[str, Any]:
    effects = shown.effects
    return {
        "machine": shown.machine.name,
        "ways": {way.name: [{"step": onset.step, "at_ns": onset.at} for onset in way.onsets] for way in shown.ways},
        "runs": len(effects),
        "rows": [
            {
                "fault": row.first.fault,
                "cause": row.first.case.faults[-1][0].mode.cause,
                "kind": row.first.kind,
                "steps": row.onsets,
                "ways": row.ways,
                "runs": len(row.effects),
                "effects": row.told,
                "alarm": row.first.alarms[0] if row.first.alarms else None,
                "after_ns": row.after,
                "rules": row.first.rules,
            }
            for row in shown.rows
        ],
        "dictionary": [{"alarms": each, "faults": faults} for each, faults in dictionary(effects).items()],
        "alike": alike(effects),
        "never_raised": never_raised(shown.machine.alarm_texts, effects),
        "hazards_not_seen": shown.unseen,
    }
