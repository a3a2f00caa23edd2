"""A loose terminal and a leaking contact: what a digital point makes of them."""

import pytest

from simplant.timebase import NEVER, Ns, ms, seconds, us
from simplant.wiring.asked import ask
from simplant.wiring.io_file import parse_io
from simplant.wiring.loose import Loose
from simplant.wiring.points import InputPoint, OutputPoint
from tests.driving import fault, mend, microseconds, milliseconds, put

LIST = """tag,type,direction,address,device,contact,signal,input
button,BOOL,in,%IX0.0,b.pressed,NO,dry,{}
stop,BOOL,in,%IX0.1,b.pressed,NC,dry,{}
eye,BOOL,in,%IX0.2,e.seen,NO,NPN,logic_5v
run_cmd,BOOL,out,%QX0.0,motor.run,,,
"""


def row(tag, input_type="type_1"):
    return parse_io(LIST.format(input_type, input_type), "io.csv")[tag]


def level_changes(changes):
    return [(t, v) for t, terminal, v in changes if terminal in ("level", "drive")]


@pytest.mark.parametrize("longest", [ms(5), ms(50), ms(200)])
def test_a_gap_in_each_second(longest):
    """From its onset it opens once in each second, for 5 ms up to the longest time, on whole microseconds."""
    onset = Ns(123_456_000)
    loose, now, gaps = Loose(1, "button", onset), onset, []
    while len(gaps) < 200:
        if loose.opens(now, longest / 1e9):
            begins, now = now, loose.due
            assert not loose.opens(now, longest / 1e9)
            gaps.append((begins, now))
        now = loose.due
    lengths = [end - begin for begin, end in gaps]
    assert [(begin - onset) // seconds(1) for begin, _ in gaps] == list(range(200))
    assert all(ms(5) <= length <= longest and length % us(1) == 0 for length in lengths)
    assert longest == ms(5) or max(lengths) - min(lengths) > 0.9 * (longest - ms(5))


def test_other_seed_or_name_other_gaps():
    """A gap is a pure function of seed, name and second; which came before plays no part."""

    def gap(seed, name):
        loose = Loose(seed, name, Ns(0))
        loose.opens(seconds(5), 0.2)
        return loose.due

    assert gap(1, "a") == gap(1, "a")
    assert len({gap(1, "a"), gap(2, "a"), gap(1, "b")}) == 3


@pytest.mark.parametrize(
    ("make", "given"), [(lambda: InputPoint(row("button")), "actuated"), (lambda: OutputPoint(row("run_cmd")), "level")]
)
def test_drop_outs_of_a_point(make, given):
    """A closed circuit opens and closes again once a second while the fault lasts; an open one shows nothing."""
    steps = [(0, put(**{given: True})), (1_000_000, fault("intermittent", 0.05)), (4_000_000, mend("intermittent"))]
    seen = level_changes(microseconds(make(), steps, 9_000_000))
    assert [value for _, value in seen] == [True, *[False, True] * 3]
    assert [at // 1_000_000 for at, _ in seen[1::2]] == [1, 2, 3]
    assert all(5_000 <= on - off <= 50_000 for (off, _), (on, _) in zip(seen[1::2], seen[2::2], strict=True))
    assert level_changes(microseconds(make(), [(1_000_000, fault("intermittent", 0.05))], 9_000_000)) == []


def test_a_break_hides_the_drop_outs():
    """With the wire broken besides, nothing is left to drop out, and the point still comes to rest each time."""
    part = InputPoint(row("button"))
    steps = [(0, put(actuated=True)), (100, fault("intermittent", 0.2)), (200, fault("open_wire"))]
    seen = level_changes(microseconds(part, [(at * 1000, do) for at, do in steps], 9_000_000))
    assert [(at, value) for at, value in seen if value] == [(0, True)]
    assert len(seen) == 2
    assert part.next_due() != NEVER


HELD, ON, OFF = [(0, True), (30, False)], [(0, True)], [(0, True), (10, False)]


@pytest.mark.parametrize(
    ("input_type", "milliamperes", "found"),
    [
        ("type_1", 0.5, OFF),
        ("type_1", 1.0, HELD),
        ("type_1", 2.0, ON),
        ("type_2", 2.0, OFF),
        ("type_2", 2.5, HELD),
        ("type_3", 1.5, OFF),
        ("type_3", 1.7, HELD),
        ("type_3", 2.5, ON),
    ],
)
def test_leakage_holds_an_input_on(input_type, milliamperes, found):
    """Contact opens at 10 ms, supply dips at 30 to 40 ms: below OFF it reads 0, between it stays, from ON it is 1."""
    part = InputPoint(row("button", input_type))
    steps = [
        (0, put(actuated=True)), (5, fault("leaking", milliamperes)), (10, put(actuated=False)),
        (30, put(volts=0.0)), (40, put(volts=24.0)),
    ]  # fmt: skip
    seen = level_changes(milliseconds(part, steps, 90))
    expected = found if found is not ON else [(0, True), (30, False), (40, True)]
    assert seen == expected


def test_a_leaking_stop_button_cannot_stop():
    """NC and pressed: the contact is open and the input still reads 1; a broken wire or a short to 0 V wins."""
    part = InputPoint(row("stop"))
    steps = [
        (5, fault("leaking", 2.5)),
        (10, put(actuated=True)),
        (20, fault("short_to_0v")),
        (30, mend("short_to_0v")),
    ]
    assert level_changes(milliseconds(part, [*steps, (40, fault("open_wire"))], 90)) == [
        (0, True), (20, False), (30, True), (40, False),
    ]  # fmt: skip


def test_what_the_catalogue_says_of_them():
    """Asked of the point itself: a leak of the usual size reads as a contact that is made; drop-outs are no level."""
    modes = {mode.kind: mode for mode in InputPoint.FAILURES}
    answers = {tag: ask(row(tag), modes["leaking"]) for tag in ("button", "stop", "eye")}
    assert {tag: (a.at_rest, a.actuated) for tag, a in answers.items()} == dict.fromkeys(answers, (True, True))
    assert ask(row("button"), modes["intermittent"]) == ask(row("button"), None)
