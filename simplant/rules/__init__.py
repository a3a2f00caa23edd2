"""Claims about tags and plant truth, and the monitors that judge them."""

from simplant.rules.always import always, at, never
from simplant.rules.amounts import count_at_most, total_at_most
from simplant.rules.atoms import Atom, atoms, moving
from simplant.rules.book import Book
from simplant.rules.claim import Claim, Faults, Label
from simplant.rules.counts import count_equals
from simplant.rules.direction import dead_time
from simplant.rules.groups import exclusive, one_active, one_hot
from simplant.rules.hazards import Hazard, accepted, read_hazards
from simplant.rules.holds import always_in, holds, holds_for
from simplant.rules.lasted import lasted
from simplant.rules.monitor import Monitor, View
from simplant.rules.order import before, no_restart_by_itself, trip_latched
from simplant.rules.queue import served_in_order
from simplant.rules.ready import (
    aim_within,
    interlock,
    output_at_most,
    permissive,
    start_of_run,
    step_at_most,
)
from simplant.rules.settle import Finding, settles
from simplant.rules.steps import steps_end
from simplant.rules.turns import alternates
from simplant.rules.until import at_most_for, eventually, settles_within, until, within
from simplant.rules.verdict import Outcome, Verdict

__all__ = [
    "Atom",
    "Book",
    "Claim",
    "Faults",
    "Finding",
    "Hazard",
    "Label",
    "Monitor",
    "Outcome",
    "Verdict",
    "View",
    "accepted",
    "aim_within",
    "alternates",
    "always",
    "always_in",
    "at",
    "at_most_for",
    "atoms",
    "before",
    "count_at_most",
    "count_equals",
    "dead_time",
    "eventually",
    "exclusive",
    "holds",
    "holds_for",
    "interlock",
    "lasted",
    "moving",
    "never",
    "no_restart_by_itself",
    "one_active",
    "one_hot",
    "output_at_most",
    "permissive",
    "read_hazards",
    "served_in_order",
    "settles",
    "settles_within",
    "start_of_run",
    "step_at_most",
    "steps_end",
    "total_at_most",
    "trip_latched",
    "until",
    "within",
]
