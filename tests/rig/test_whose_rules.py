"""Which rules a bench carries: those of its machine unless others, or none, are given."""

import pytest

from simplant import Force, Machine, Rig, RuleBroken, UsageError, minutes, seconds
from simplant.rules import never

MACHINE = Machine.load("programs/sump_pumps")


def test_the_machines_own_rules_are_carried_unless_others_are_given():
    """None is the machine's, in their order; `()` is none; a list is that list, and `demand` adds to each."""
    mine, more = (never(MACHINE.truth("sump.empty"), name=name) for name in ("mine", "more"))
    carried = []
    for claims in (None, (), [mine]):
        rig = Rig(MACHINE, claims=claims)
        rig.demand(more)
        carried.append([v.rule for v in rig.run(seconds(1)).finish()])
    assert carried == [[*MACHINE.rules.names, "more"], ["more"], ["mine", "more"]]


def test_a_bench_without_a_word_about_rules_finds_what_breaks_one():
    """So a test that only runs and checks does not pass for want of rules; with `()` there is none to break or ask."""
    rule, told = "pumps stop at the stop level", []
    for claims in (None, ()):
        rig = Rig(MACHINE, claims=claims)
        rig.hold(Force(seconds(1), "pump_1_run_cmd", value=True))
        rig.run(minutes(5))
        try:
            rig.check()
        except RuleBroken as error:
            told.append(rule in error.what)
    assert told == [True]
    with pytest.raises(UsageError, match=f"no rule '{rule}' is demanded"):
        rig.verdict(rule)
