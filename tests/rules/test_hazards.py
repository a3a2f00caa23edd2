"""Which breaches a hazard list accepts."""

from dataclasses import replace
from datetime import date

from simplant.errors import Place
from simplant.rules import Hazard, Outcome, Verdict, accepted, read_hazards

TEXT = """\ufeffrule,fault,who,date,reason,measure
aimed,wheel.dead,R. Ode,2024-05-31,"no speed sensor, none fits",fence
aimed or axis * at rest,limit_left.stuck_on + balls.extra or limit_*.stuck_off,R. Ode,2024-06-01,two at once,inspection

coasts,none or brake.worn,R. Ode,2024-06-01,no brake,door delay
now or never,*.late,R. Ode,2024-06-01,a name of its own,none
"""
RULES = ["aimed", "coasts", "axis 1 at rest", "axis 2 at rest", "axis 3 turns", "now or never"]
BROKEN = Verdict("aimed", Outcome.BROKEN, None, None, "", (), 1, "aimed", 1)


def hazards():
    return read_hazards(TEXT, "h.csv", rules=RULES)


def test_entries_keep_every_column_and_their_line():
    """Columns in any order, a byte order mark, quoted commas, empty lines; several rules, several ways to them."""
    first, second, third, fourth = hazards()
    assert first == Hazard(
        *(("aimed",), (("wheel.dead",),), "no speed sensor, none fits", "fence", "R. Ode"),
        *(date(2024, 5, 31), Place("h.csv", 2)),
    )
    assert second.rules == ("aimed", "axis 1 at rest", "axis 2 at rest")
    assert second.faults == (("limit_left.stuck_on", "balls.extra"), ("limit_*.stuck_off",))
    assert (third.faults, third.place) == (((), ("brake.worn",)), Place("h.csv", 5))
    assert (fourth.rules, fourth.faults) == (("now or never",), (("*.late",),))


def test_an_entry_accepts_only_its_rules_under_its_faults():
    """All faults of one alternative must be active, more may be; `none` wants none; a rule that held needs no entry."""
    first, second, third, fourth = hazards()
    coasts, held = replace(BROKEN, rule="coasts"), replace(BROKEN, outcome=Outcome.HELD)
    rests, turns, now = (replace(BROKEN, rule=rule) for rule in ("axis 2 at rest", "axis 3 turns", "now or never"))
    rows = [
        (BROKEN, {"wheel.dead"}, first),
        (BROKEN, {"wheel.dead", "arm.jammed"}, first),
        (BROKEN, {"balls.extra"}, None),
        (BROKEN, {"balls.extra", "limit_left.stuck_on"}, second),
        (rests, {"limit_right.stuck_off"}, second),
        (rests, {"limit_right.x.stuck_off"}, None),
        (rests, {"limit_right.stuck_on"}, None),
        (turns, {"limit_right.stuck_off"}, None),
        (BROKEN, set(), None),
        (coasts, set(), third),
        (coasts, {"wheel.dead"}, None),
        (coasts, {"wheel.dead", "brake.worn"}, third),
        (now, {"gate.late"}, fourth),
        (held, {"wheel.dead"}, None),
    ]
    assert [accepted(v, active, hazards()) for v, active, _ in rows] == [entry for *_, entry in rows]


def test_a_list_parted_by_semicolons_is_the_same_list():
    """As a spreadsheet saves it where a comma is a decimal point."""
    plain = TEXT.replace('"no speed sensor, none fits"', "no speed sensor / none fits")
    parted = plain.replace(",", ";").replace(" / ", ", ")
    assert read_hazards(parted, "h.csv", rules=RULES) == hazards()
