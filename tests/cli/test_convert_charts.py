"""`simplant convert --to sfc`: sequences written in Python become charts, and what cannot is refused with the reason.

That they do the same is tests/agree/test_in_charts.py. Rule: whole charts, whole messages.
"""

import pytest

from simplant import BOOL, INT, Direction, Program, Step, Tag, go, seconds
from simplant.cli import main
from simplant.errors import ProgramError
from simplant.logic.convert.in_charts import converted_in_charts
from simplant.logic.sfc.printed import printed_chart


def gate(*, closed=None, rows=None, retain=False, look=None):
    """A gate that opens for a call, for so long, and counts."""
    program = Program("gate", [Tag(n, BOOL, Direction.INPUT) for n in ("call", "seen")] + [
        Tag("motor_cmd", BOOL, Direction.OUTPUT)])  # fmt: skip
    t = program.tags
    count, late = program.memory("count", INT), program.memory("late")
    steps = [
        closed or Step("closed", description="rests"),
        Step("opening", drive=[t.motor_cmd], limit=seconds(2), on_limit="closed", exit=[count.becomes(count + 1)]),
        Step("left", entry=[count.becomes(0)], during=[late.becomes(True, when=t.call)]),
    ]
    gate = program.sequence("gate", steps, retain=retain)
    gate.transitions(
        rows
        or [
            go("closed", "opening", t.call),
            go("opening", "left", t.seen, late.becomes(False)),
            go("left", "closed", ~t.seen & (gate.time >= seconds(1))),
        ]
    )
    if look:
        look(program, gate)
    return program


CHART = """\
(* rests *)
INITIAL_STEP closed:
  closed_entered(P1);
END_STEP

STEP opening:
  opening_left(P0);
  opening_entered(P1);
  motor_cmd(N);
END_STEP

STEP left_step:
  left_entered(P1);
  left_active(N);
END_STEP

TRANSITION FROM closed TO opening
  := call;
END_TRANSITION

TRANSITION FROM opening TO left_step
  := seen;
END_TRANSITION

TRANSITION FROM opening TO closed
  := opening.T >= T#2s;
END_TRANSITION

TRANSITION FROM left_step TO closed
  := NOT seen AND left_step.T >= T#1s;
END_TRANSITION

ACTION opening_left:
  IF seen THEN
    way := 1;
  ELSE
    way := 0;
  END_IF;
  count := count + 1;
  CASE way OF
    1:
      late := FALSE;
  END_CASE;
END_ACTION

ACTION closed_entered:
  gate := GateStep#closed;
END_ACTION

ACTION opening_entered:
  gate := GateStep#opening;
END_ACTION

ACTION left_entered:
  gate := GateStep#left;
  count := 0;
END_ACTION

ACTION left_active:
  IF call THEN
    late := TRUE;
  END_IF;
END_ACTION"""


def test_a_sequence_as_a_chart():
    """Exit and way in a P0 action, entry in P1, during in N, drives as Boolean actions; the limit is the last way.

    A step named like a function of the standard (`left`) has another name there; the sequence's values keep theirs.
    """
    whole = converted_in_charts(gate())
    chart = whole.file.units[0].body
    assert "\n".join(printed_chart(chart, whole.notes)) == CHART


def looks_outside(program, gate):
    program.rung(program.memory("slow"), gate.time >= seconds(1))


REFUSED = {
    "kept": (
        {"retain": True},
        "the active step of gate is kept over a restart, which no chart can say. A chart begins in its initial step.",
    ),
    "outside": (
        {"look": looks_outside},
        "the step time of gate is read outside the sequence. A chart keeps the times of its steps to itself.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_no_chart_can_say_is_refused(name):
    """With what, why, the place and how to go on."""
    options, told = REFUSED[name]
    with pytest.raises(ProgramError) as caught:
        converted_in_charts(gate(**options))
    assert told in str(caught.value)
    assert str(caught.value).endswith("Convert it --to st.")
    assert caught.value.place.file.endswith("test_convert_charts.py")


def test_a_round_that_does_something_is_refused():
    """A step that is left and entered at once stays active, so its actions would not run; a quiet round is fine."""
    program = Program("p", [Tag("call", BOOL, Direction.INPUT)])
    count = program.memory("count", INT)
    chart = program.sequence("chart", ["only", "other"])
    chart.transitions([go("only", "=", program.tags.call), go("other", "only", program.tags.call)])
    assert converted_in_charts(program).file.units[0].body.transitions[0].targets == ("only",)
    loud = program.sequence("loud", ["only", "other"])
    loud.transitions([go("only", "=", program.tags.call, count.becomes(1)), go("other", "only", program.tags.call)])
    with pytest.raises(ProgramError, match="loud goes from only back into it, and does something on the way"):
        converted_in_charts(program)


@pytest.mark.slow
def test_by_the_command(capsys, tmp_path):
    """A whole machine, to a file that `simplant check` and `simplant diagram` take; what is none is refused."""
    to = tmp_path / "comet.st"
    assert main(["convert", "programs/comet_toss", "--to", "sfc", "--out", str(to)]) == 0
    assert main(["check", str(to)]) == 0
    assert main(["diagram", str(to)]) == 0
    assert "    [*] --> off" in capsys.readouterr().out
    for given, reason in (
        ("programs/sump_pumps", "logic.ladder is ladder text, it does not become a chart."),
        ("programs/sump_pumps/logic.st", "logic.st is Structured Text, it does not become a chart."),
    ):
        assert main(["convert", given, "--to", "sfc"]) == 2
        assert reason in capsys.readouterr().err.replace("\n", " ")
