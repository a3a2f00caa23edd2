"""The error catalogue of rules and hazard lists, and how a verdict is told: exact texts."""

import pytest

from simplant.errors import RuleError
from simplant.expr import TimerElapsed
from simplant.rules import (
    Book,
    aim_within,
    always,
    at,
    count_at_most,
    count_equals,
    eventually,
    exclusive,
    holds_for,
    never,
    read_hazards,
    served_in_order,
    total_at_most,
    until,
    within,
)
from simplant.timebase import ms, seconds
from tests.rules.trace_player import levels, play, tag, truth

A, B = tag("clamp_closed"), tag("drill_cmd")
SPEED = truth("wheel.speed")

CASES = [
    (lambda: always(5), "what always holds must be true or false. It is 5. {bool}"),
    (lambda: never(SPEED), "what never holds must be true or false. 'wheel.speed' is LREAL. {bool}"),
    (lambda: at(A, 1.0), "what holds at the trigger must be true or false. It is 1.0. {bool}"),
    (
        lambda: always(TimerElapsed("warn", "TON") > ms(5)),
        "what always holds looks at a running time. warn.ET runs by itself, so no change of a signal tells when to"
        " look. Demand at_most_for, holds_for or within instead.",
    ),
    (lambda: within(A, 0.5, after=B), 'within must be a duration but is 0.5. Write ms(250) or seconds("1.5").'),
    (lambda: within(A, ms(1) - ms(2), after=B), "within is -1 ms. It must not be negative."),
    (lambda: holds_for(A, ms(0)), "holds_for is 0.000 s. It must be above 0."),
    (
        lambda: until(A, B, between=(ms(20), ms(10))),
        "between=(20 ms, 10 ms) ends before it begins. Swap the two.",
    ),
    (lambda: eventually(A, between=5), 'between=5 is not an interval. Write between=(ms(20), seconds("1.5")).'),
    (lambda: always(A, nmae="x"), "a rule has no 'nmae'. Close in spelling: name."),
    (lambda: always(A, faults="two"), 'faults=\'two\' is not a class of faults. Write "none", "single" or "pair".'),
    (lambda: always(A, scale=0.0), "scale=0.0 measures nothing. Give a number above 0."),
    (lambda: exclusive(A), "a group needs at least two members but has 1. Name them one by one."),
    (lambda: count_at_most(A, -1), "count_at_most counts up to -1. Give a whole number from 0 up."),
    (lambda: count_at_most(A, 1, window=ms(0)), "window is 0.000 s. It must be above 0."),
    (
        lambda: count_equals(A, SPEED, settle=ms(1)),
        "count_equals compares numbers, not clamp_closed. Give a counting tag and a counting truth.",
    ),
    (
        lambda: served_in_order([A], []),
        "1 calls and 0 services make no queue. Give each caller one call and one service.",
    ),
    (lambda: aim_within(SPEED, 1.0, 0, at_=A), "aim_within has the tolerance 0. Give a number above 0."),
    (
        lambda: total_at_most(A, share="0.5"),
        'total_at_most needs `most`, or `share` and `window`. Write share="0.25", window=minutes(10).',
    ),
    (
        lambda: total_at_most(A, share=0.5, window=ms(1)),
        'share=0.5 is not a part of the window. Write it as text from 0 to 1: "0.25" or "1/4".',
    ),
    (lambda: Book([always(A), 7]), "7 is no rule. Write for instance always(clamp_closed)."),
]
BOOLEAN = "Give a BOOL tag, a step, or a comparison such as speed > 40.0."


def line_here(offset=0):
    import sys

    return f"tests/messages/test_rule_messages.py:{sys._getframe(1).f_lineno + offset}: "


@pytest.mark.parametrize(("build", "expected"), CASES, ids=[text for _, text in CASES])
def test_a_rule_is_refused_where_it_is_written(build, expected):
    """What, why and mend, at the author's line."""
    with pytest.raises(RuleError) as caught:
        build()
    place, _, text = str(caught.value).partition(": ")
    assert text == expected.replace("{bool}", BOOLEAN)
    assert place.startswith("tests/messages/test_rule_messages.py:")


def test_two_rules_of_one_name_are_refused_at_the_second():
    """The place is the second's line, the first one's is told; lists are taken as they come."""
    first, place_first = always(A, name="clamped"), line_here()
    second, place_second = never(B, name="clamped"), line_here()
    with pytest.raises(RuleError) as caught:
        Book([first, [second]])
    assert str(caught.value) == (
        f"{place_second}a second rule is named 'clamped'. The first is at {place_first[:-2]}."
        ' Give one of them another name="...".'
    )
    with pytest.raises(RuleError) as caught:
        Book([first])["clampt"]
    assert str(caught.value) == "there is no rule 'clampt'. Close in spelling: clamped."
    assert Book([first, (second.called("other"),)]).names == ("clamped", "other")


HEAD = "rule,fault,reason,measure,who,date\n"
GOOD = "clamped,wheel.dead,no sensor,fence,R. Ode,2024-05-31\n"
LISTS = [
    ("", "h.csv: the hazard list is empty. Begin it with rule,fault,reason,measure,who,date."),
    ("rule,falt\n", "h.csv:1: the hazard list has no column 'falt'. Close in spelling: fault."),
    (
        "rule,fault,reason,who,date\n",
        "h.csv:1: the columns are not complete. Missing: measure. Head the list with"
        " rule,fault,reason,measure,who,date.",
    ),
    (
        HEAD.replace("\n", ",who\n"),
        "h.csv:1: the columns are not complete. One is there twice. Head the list with"
        " rule,fault,reason,measure,who,date.",
    ),
    (
        HEAD + "clamped,none\n",
        "h.csv:2: this line does not fit the columns. 2 fields where the head has 6."
        " Put a field with a comma in quotes.",
    ),
    (
        HEAD + GOOD.replace("no sensor", " "),
        "h.csv:2: 'reason' is empty. An accepted hazard says why, what is done, who and when.",
    ),
    (HEAD + GOOD.replace("clamped", "clampd"), "h.csv:2: there is no rule 'clampd'. Close in spelling: clamped."),
    (HEAD + GOOD.replace("dead", "dad"), "h.csv:2: there is no fault 'wheel.dad'. Close in spelling: wheel.dead."),
    (HEAD + GOOD.replace("clamped", "* clamp"), "h.csv:2: no rule fits '* clamp'. Close in spelling: clamped."),
    (HEAD + GOOD.replace("wheel.dead", "*.dea"), "h.csv:2: no fault fits '*.dea'. Known: wheel.dead."),
    (HEAD + GOOD.replace("dead", "dead + none"), "h.csv:2: there is no fault 'none'. Known: wheel.dead."),
    (
        HEAD + GOOD + GOOD.replace("clamped", "*").replace("wheel.dead", "none or wheel.dead"),
        "h.csv:3: this hazard is listed twice. First at h.csv:2. Keep one of them.",
    ),
    (HEAD + GOOD.replace("05-31", "05-32"), "h.csv:2: '2024-05-32' is not a date. Write it as 2024-05-31."),
    (HEAD + GOOD + "\n" + GOOD, "h.csv:4: this hazard is listed twice. First at h.csv:2. Keep one of them."),
    (HEAD + '"clamped" x,\n', "h.csv: the hazard list is not a CSV file. ',' expected after '\"'."),
]


@pytest.mark.parametrize(("text", "expected"), LISTS, ids=[text for _, text in LISTS])
def test_a_hazard_list_is_refused_at_its_line(text, expected):
    """Strictly: every column, every field, known names, a real date."""
    with pytest.raises(RuleError) as caught:
        read_hazards(text, "h.csv", rules=["clamped"], faults=["wheel.dead"])
    assert str(caught.value) == expected


def test_a_breach_is_told_with_its_signals():
    """Instant, what was demanded, each signal and since when."""
    claim = always(B.implies(A), name="clamped")
    signals = {"drill_cmd": levels("_" * 387 + "#"), "clamp_closed": levels("#" * 400 + "_#_")}
    assert play(claim, signals, seconds(5)).told() == (
        "t=4.000 s: rule broken, 2 times in all: clamped: drill_cmd implies clamp_closed\n"
        "  drill_cmd     TRUE   since 3.870 s\n"
        "  clamp_closed  FALSE  since 4.000 s"
    )
    held = play(within(A, ms(50), after=B), {"drill_cmd": levels("_#"), "clamp_closed": levels("___#")}, ms(90))
    assert held.told() == "held: clamp_closed within 50 ms after drill_cmd (margin 30 ms of 50 ms)"
    idle = play(claim, {"drill_cmd": levels("_"), "clamp_closed": levels("_")}, ms(90))
    assert idle.told() == "not exercised: clamped: drill_cmd implies clamp_closed"
