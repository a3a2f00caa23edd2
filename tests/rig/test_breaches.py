"""Which breaches count, and how a finding names what was done to the machine."""

from datetime import date

from simplant.errors import Place
from simplant.faults import Fault
from simplant.rig.breaches import breaches_of, broken_at, broken_rules
from simplant.rules import Hazard, Outcome, Verdict, always
from simplant.scenario.model import Force
from simplant.timebase import seconds
from tests.rules.trace_player import tag

DEAD, JAMMED = Fault("wheel", "dead", seconds(2)), Fault("gate", "jammed", seconds(4), seconds(2))
CLAIMS = [always(tag("a"), name=demand, faults=demand) for demand in ("none", "single", "pair")]


def broken(rule, at):
    return Verdict(rule, Outcome.BROKEN, seconds(at), None, "", (), 1, rule, 1)


def hazard(rule, *alternatives):
    return Hazard((rule,), alternatives, "why", "what", "who", date(2024, 5, 31), Place("h.csv", 2))


def test_only_faults_that_had_begun_excuse_a_breach():
    """Each rule must bear so many faults as had begun when it first broke; one to come excuses nothing."""
    demanded = {
        at: [v.rule for v in breaches_of([broken(c.name, at) for c in CLAIMS], CLAIMS, [DEAD, JAMMED], ()).demanded]
        for at in (1, 2, 3, 4, 9)
    }
    one, two = ["single", "pair"], ["pair"]
    assert demanded == {1: ["none", "single", "pair"], 2: one, 3: one, 4: two, 9: two}


def test_a_hazard_accepts_under_faults_that_had_begun():
    """An entry with `none` only before any fault; an entry with a fault from its onset on, also after its end."""
    for entry, accepted_at in ((hazard("single", ()), [1]), (hazard("single", ("gate.jammed",)), [4, 9])):
        found = [
            at for at in (1, 2, 4, 9) if breaches_of([broken("single", at)], CLAIMS, [DEAD, JAMMED], [entry]).accepted
        ]
        assert found == accepted_at


def test_a_finding_names_the_faults_and_forces_at_the_breach():
    """What is there at that instant, and what had been; not what comes later. An error on the bench says the same."""
    forces = [Force(seconds(1), "seen", value=True), Force(seconds(1), "full", value=3, duration=seconds(1))]
    told = {at: broken_at(broken("aimed", at), [DEAD, JAMMED], forces) for at in (0, 1, 2, 5, 6)}
    assert told == {
        0: "rule 'aimed' broken at 0.000 s",
        1: "rule 'aimed' broken at 1.000 s under force seen = True since 1.000 s, force full = 3 since 1.000 s",
        2: "rule 'aimed' broken at 2.000 s under fault wheel.dead since 2.000 s, force seen = True since 1.000 s"
        " after force full = 3 from 1.000 s to 2.000 s",
        5: "rule 'aimed' broken at 5.000 s under fault wheel.dead since 2.000 s, fault gate.jammed since 4.000 s,"
        " force seen = True since 1.000 s after force full = 3 from 1.000 s to 2.000 s",
        6: "rule 'aimed' broken at 6.000 s under fault wheel.dead since 2.000 s, force seen = True since 1.000 s"
        " after fault gate.jammed from 4.000 s to 6.000 s, force full = 3 from 1.000 s to 2.000 s",
    }
    assert str(broken_rules([broken("aimed", 2)], (), [DEAD])) == (
        "rule 'aimed' broken at 2.000 s under fault wheel.dead since 2.000 s."
    )
