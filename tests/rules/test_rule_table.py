"""Rules as a table: each kind reads as the claim its builder makes, and each mistake is told with its place."""

import shutil
from pathlib import Path

import pytest

from simplant import Machine, ms, seconds
from simplant.errors import RuleError
from simplant.expr import Vocabulary
from simplant.rig.rule_kinds import KINDS
from simplant.rules import (
    aim_within,
    always,
    always_in,
    at,
    at_most_for,
    before,
    count_at_most,
    count_equals,
    exclusive,
    holds,
    interlock,
    served_in_order,
    step_at_most,
    total_at_most,
    trip_latched,
    within,
)
from simplant.rules.claim import Claim

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of comet_toss whose rules are a table."""
    copy = tmp_path_factory.mktemp("programs") / "comet_toss"
    shutil.copytree(ROOT / "programs/comet_toss", copy)
    file = copy / "machine.toml"
    text = file.read_text().replace('rules = "rules.py"', 'rules = ["rules.toml"]').replace("hazards =", "# hazards =")
    file.write_text(text)
    return copy


def claims(folder: Path, table: str) -> list[Claim]:
    (folder / "rules.toml").write_text(table)
    return list(Machine.load(folder).rules)


TABLE = """
[let]
stopped = "estop.pressed OR door.open"
driven = "wheel_contactor.closed OR lift_feed.closed"

[[rule]]
kind = "always"
when = "stopped"
claim = "NOT driven"
[[rule]]
kind = "at"
trigger = "gate_release_cmd"
claim = "wheel.speed >= 232 AND wheel.speed <= 246"
scale = 10
unit = "rad/s"
[[rule]]
kind = "within"
claim = "NOT driven"
time = "1.3s"
after = "stop.pressed"
faults = "single"
name = "a stop is obeyed"
[[rule]]
kind = "trip_latched"
trip = "stopped"
driven = "driven"
reset = "reset.pressed"
start = "start.pressed"
stop_within = "100ms"
[[rule]]
kind = "interlock"
running = "driven"
needs = "NOT stopped"
stop_within = "100ms"
name = "guard"
[[rule]]
kind = "exclusive"
members = ["lamp_red.lit", "lamp_green.lit"]
[[rule]]
kind = "step_at_most"
step = "cycle.aim"
most = "3s"
[[rule]]
kind = "count_equals"
counted = "tosses"
truth = "balls.launched"
settle = "300ms"
[[rule]]
kind = "count_at_most"
edge = "gate_release_cmd"
most = 6
[[rule]]
kind = "total_at_most"
claim = "lift_feed.closed"
share = 0.25
window = "2min"
[[rule]]
kind = "always_in"
claim = "NOT driven"
between = ["0s", "20ms"]
[[rule]]
kind = "before"
earlier = "lamp_yellow.lit"
later = "gate_release_cmd"
[[rule]]
kind = "holds"
claim = "lamp_yellow.lit"
for = "1s"
after = "gate_release_cmd"
[[rule]]
kind = "aim_within"
aimed = "lift.elevation"
aim = 29
tolerance = 2
at = "gate_release_cmd"
[[rule]]
kind = "served_in_order"
calls = ["want_1", "want_2"]
serves = ["cycle.toss AND spot = 1", "cycle.toss AND spot = 2"]
[[rule]]
kind = "at_most_for"
claim = "lift_run_cmd"
most = "12s"
"""


def written(machine: Machine) -> list[Claim]:
    """The same in Python."""
    t, truth, memory, cycle = (
        machine.program.tags,
        machine.truth,
        machine.program.memories,
        machine.program.charts["cycle"],
    )
    stopped = truth("estop.pressed") | truth("door.open")
    driven = truth("wheel_contactor.closed") | truth("lift_feed.closed")
    speed, yellow, release = truth("wheel.speed"), truth("lamp_yellow.lit"), t.gate_release_cmd
    return [
        always(stopped.implies(~driven)),
        at(release, (speed >= 232.0) & (speed <= 246.0), scale=10.0, unit="rad/s"),
        within(~driven, seconds("1.3"), after=truth("stop.pressed"), faults="single", name="a stop is obeyed"),
        trip_latched(stopped, driven, reset=truth("reset.pressed"), start=truth("start.pressed"), stop_within=ms(100)),
        *interlock(driven, ~stopped, stop_within=ms(100), name="guard"),
        exclusive(truth("lamp_red.lit"), truth("lamp_green.lit")),
        step_at_most("cycle", "aim", seconds(3)),
        count_equals(memory["tosses"], truth("balls.launched"), settle=ms(300)),
        count_at_most(release, 6),
        total_at_most(truth("lift_feed.closed"), share="0.25", window=seconds(120)),
        always_in(~driven, between=(seconds(0), ms(20))),
        before(yellow, release),
        holds(yellow, for_=seconds(1), after=release),
        aim_within(truth("lift.elevation"), 29.0, 2.0, at_=release),
        served_in_order(
            [memory["want_1"], memory["want_2"]],
            [cycle["toss"] & (memory["spot"] == 1), cycle["toss"] & (memory["spot"] == 2)],
        ),
        at_most_for(t.lift_run_cmd, seconds(12)),
    ]


def told(claim: Claim) -> tuple[object, ...]:
    every = [*claim.propositions(), *claim.looked_at()]
    return (type(claim), claim.name, claim.text, claim.faults, claim.scale, claim.unit, *map(str, every))


def test_each_row_is_the_claim_its_builder_makes(folder: Path) -> None:
    """A table says what Python says: same kind of claim, words, faults, scale and propositions, in the same order."""
    read = claims(folder, TABLE)
    assert [told(claim) for claim in read] == [told(claim) for claim in written(Machine.load(folder))]
    assert [str(claim.place) for claim in read[:2]] == [
        f"{(folder / 'rules.toml').as_posix()}:{line}:1" for line in (6, 10)
    ]


def test_every_kind_has_only_arguments_that_a_table_can_give() -> None:
    """Each argument of each builder is an expression, a time, a number, a share, or a list of such."""
    simple = {"Expr", "Ns", "int", "float", "str", "Fraction", "NoneType", "Sequence", "tuple"}
    for name, kind in KINDS.items():
        for key, parameter in kind.keys.items():
            said = str(parameter.annotation)
            assert any(word in said for word in simple), (name, key, said)


def test_tables_and_python_stand_side_by_side(folder: Path) -> None:
    """`rules` names several files; their rules come in the order of the list."""
    file = folder / "machine.toml"
    text = file.read_text()
    file.write_text(text.replace('["rules.toml"]', '["rules.toml", "rules.py"]'))
    names = [claim.name for claim in claims(folder, '[[rule]]\nkind = "never"\nclaim = "FALSE"\nname = "first"\n')]
    file.write_text(text)
    assert names[:2] == ["first", "a stop removes drive power"]


GOOD = '[[rule]]\nname = "one"\nkind = "within"\nclaim = "horn"\ntime = "1s"\nafter = "start.pressed"\n'
MISTAKES = [
    ('kind = "within"', 'kind = "witin"', "3:1: there is no kind of rule 'witin'. Close in spelling: within"),
    ('kind = "within"\n', "", "1:1: this rule has no kind. Write for instance kind = \"never\"."),
    ('time = "1s"', 'tim = "1s"', "5:1: a rule of kind 'within' has no 'tim'. Close in spelling: time."),
    ('time = "1s"\n', "", "1:1: a rule of kind 'within' needs 'time'. It takes claim, time, after."),
    ('"1s"', "1", "5:1: 'time' is 1. It must be a time. Write for instance \"1s\"."),
    ('"horn"', '"horm"', "4:10: 'horm' is not known. Close in spelling: horn."),
    ('"horn"', '"horn AND 3 <"', "4:22: the expression ends where a name, a value or '(' is wanted."),
    ('"horn"', '"cycle"', "4:10: 'cycle' is not one value. Write one of: cycle.off, "),
    ('"horn"', '"wheel.speed"', "1:1: the answer must be true or false. 'wheel.speed' is LREAL. "
     "Give a BOOL tag, a step, or a comparison such as speed > 40.0."),
    ('name = "one"', "name = 1", "2:1: 'name' is 1. It must be text."),
    ('name = "one"', 'faults = "al"', "1:1: faults='al' is not a class of faults. Write \"none\", \"single\" or"),
    ("[[rule]]", "[[rules]]", "1:1: there is no key 'rules'. Close in spelling: rule."),
    ("[[rule]]", "[rule]", "1:1: 'rule' is not a list of tables. Write [[rule]]."),
    ("[[rule]]", '[let]\nhorn = "TRUE"\n[[rule]]', "2:1: the name 'horn' is taken. A tag or another"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), MISTAKES, ids=[m for _, _, m in MISTAKES])
def test_each_mistake_is_told_with_its_place(folder: Path, old: str, new: str, message: str) -> None:
    """File, line, column, what is wrong and the nearest right names."""
    with pytest.raises(RuleError) as caught:
        claims(folder, GOOD.replace(old, new))
    assert str(caught.value).startswith(f"{(folder / 'rules.toml').as_posix()}:{message}")


def test_a_name_of_program_and_plant_is_refused_where_it_is_used(folder: Path) -> None:
    """A step and a truth of one name are not silently taken for each other."""
    machine = Machine.load(folder)
    names = Vocabulary(
        [("cycle.aim", machine.program.charts["cycle"]["aim"]), ("cycle.aim", machine.truth("wheel.speed"))]
    )
    with pytest.raises(Exception, match=r"'cycle.aim' means two things"):
        names.find("cycle.aim")
