"""Which breaches a hazard list accepts."""

from dataclasses import replace
from datetime import date

from simplant.errors import Place
from simplant.rules import Hazard, Outcome, Verdict, accepted, read_hazards

TEXT = """\ufeffrule,fault,who,date,reason,measure
aimed,wheel.dead,R. Ode,2024-05-31,"no speed sensor, none fits",fence
aimed,limit_left.stuck_on + balls.extra,R. Ode,2024-06-01,two at once,inspection

coasts,none,R. Ode,2024-06-01,no brake,door delay
"""
BROKEN = Verdict("aimed", Outcome.BROKEN, None, None, "", (), 1, "aimed", 1)


def hazards():
    return read_hazards(TEXT, "h.csv", rules=["aimed", "coasts"])


def test_entries_keep_every_column_and_their_line():
    """Columns in any order, a byte order mark, quoted commas, empty lines; several faults joined by +."""
    first, second, third = hazards()
    assert first == Hazard(
        "aimed", ("wheel.dead",), "no speed sensor, none fits", "fence", "R. Ode", date(2024, 5, 31), Place("h.csv", 2)
    )
    assert second.faults == ("limit_left.stuck_on", "balls.extra")
    assert (third.faults, third.place) == ((), Place("h.csv", 5))


def test_an_entry_accepts_only_its_rule_under_its_faults():
    """All faults of the entry must be active; more may be; a rule that is not broken needs no entry."""
    first, second, third = hazards()
    coasts, held = replace(BROKEN, rule="coasts"), replace(BROKEN, outcome=Outcome.HELD)
    rows = [
        (BROKEN, {"wheel.dead"}, first),
        (BROKEN, {"wheel.dead", "arm.jammed"}, first),
        (BROKEN, {"balls.extra"}, None),
        (BROKEN, {"balls.extra", "limit_left.stuck_on"}, second),
        (BROKEN, set(), None),
        (coasts, set(), third),
        (held, {"wheel.dead"}, None),
    ]
    assert [accepted(v, active, hazards()) for v, active, _ in rows] == [entry for *_, entry in rows]
