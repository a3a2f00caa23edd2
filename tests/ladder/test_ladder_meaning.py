"""What a ladder does: held against one that is done plainly; compiled against walked."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.logic.compile import compile_task
from simplant.logic.ladder.draw import draw
from simplant.logic.ladder.read import read_ladder
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from tests.ladder.plain import Plain
from tests.ladder.trees import BOOLS, DECLARED, NUMBERS, ladders
from tests.st.running import scans


def stateless(text):
    return "TON" not in text and "CTU" not in text and "late" not in text


def laid_out(text):
    project = Project(DECLARED.format(text), "t.ladder", read=read_ladder)
    project.report.raise_errors()
    (layout,) = lay_out(project).layouts
    return layout


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(ladders(back=False), st.lists(st.fixed_dictionaries({n: st.booleans() for n in BOOLS}), min_size=3, max_size=3))
def test_any_ladder_does_what_it_does_plainly(ladder, stories):
    """Contacts, coils, edges, branches, comparisons, moves, jumps, returns: scan by scan the same values."""
    text = draw(ladder)
    if "|" not in text or not stateless(text):
        return
    task = compile_task(laid_out(text))
    names = [slot.name for slot in task.slots]
    values = dict.fromkeys(NUMBERS, 0) | dict.fromkeys(BOOLS, False) | {"row[1]": False, "row[2]": True}
    plain, state = Plain(ladder, values), task.initial
    for story in stories:
        values.update(story)
        known = dict(zip(names, state, strict=True)) | values
        state, _ = task.run((), tuple(known[name] for name in names), 0)
        plain.scan()
        after = dict(zip(names, state, strict=True))
        assert {name: after[name] for name in values} == values


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(ladders(back=False), st.lists(st.fixed_dictionaries({n: st.booleans() for n in BOOLS}), min_size=3, max_size=3))
def test_compiled_and_walked_agree(ladder, stories):
    """With timers and counters too: every value after every scan."""
    text = draw(ladder)
    if "|" in text:
        scans(DECLARED.format(text), dict(enumerate(stories)), count=3, read=read_ladder)


def program(drawing, declared="n : INT; a, b, c, d : BOOL;"):
    return f"PROGRAM p\nVAR {declared} END_VAR\n{drawing}\nEND_PROGRAM\n"


def after(drawing, count=1, given=(), declared="n : INT; a, b, c, d : BOOL;"):
    """Give the values after some scans."""
    return scans(program(drawing, declared), given, count=count, read=read_ladder)


def test_a_jump_back_goes_round_until_it_has_no_power():
    """Five times round the loop in one scan; the rungs before it and behind it are done once."""
    rows = after("""
|         +--------+                        |
|         |  ADD   |                        |
+---------|EN   OUT|--before                |
| before--|IN1     |                        |
|      1--|IN2     |                        |
|         +--------+                        |

again:
|         +--------+                        |
|         |  ADD   |                        |
+---------|EN   OUT|--n                     |
|      n--|IN1     |                        |
|      1--|IN2     |                        |
|         +--------+                        |

|      +--------+                           |
|      |   LT   |                           |
|   n--|IN1  OUT|--->> again                |
|   5--|IN2     |                           |
|      +--------+                           |

|                              done         |
+------------------------------( )----------+
""", declared="n, before : INT; done : BOOL;")  # fmt: skip
    assert (rows[0]["n"], rows[0]["before"], rows[0]["done"]) == (5, 1, True)


def test_a_jump_forward_passes_rungs_over():
    """What is passed over keeps its value; a second jump may lead into the middle of what the first passes."""
    drawing = """
|  a
+--| |-->> last
|  b
+--| |-->> middle
|                     c
+---------------------(S)--+

middle:
|                     d
+---------------------(S)--+

last:
|  a                  n_set
+--| |----------------( )--+
"""
    declared = "a, b, c, d, n_set : BOOL;"
    seen = [
        tuple(after(drawing, given={0: {"a": a, "b": b}}, declared=declared)[0][name] for name in ("c", "d", "n_set"))
        for a, b in ((False, False), (False, True), (True, False))
    ]
    assert seen == [(True, True, False), (False, True, False), (False, False, True)]


def test_power_stays_what_it_was_where_it_was_measured():
    """A coil that resets the contact before it takes no power from the coils beside it."""
    drawing = """
|  a              a
+--| |--+---------(R)--+
|       |         b    |
|       +---------( )--+
"""
    row = after(drawing, given={0: {"a": True}})[0]
    assert (row["a"], row["b"]) == (False, True)


def test_a_contact_on_a_word_is_told():
    """A contact tests one bit: a whole word is no contact, a bit of it is."""
    project = Project(program("|  w       b\n+--| |-----( )--+", "w : WORD; b : BOOL;"), "t", read=read_ladder)
    assert [m.what for m in project.report.errors]
    assert after("|  w.3     b\n+--| |-----( )--+", given={0: {"w": 8}}, declared="w : WORD; b : BOOL;")[0]["b"] is True


def test_edges_in_two_instances_of_a_block_know_nothing_of_each_other():
    """The memory of an edge contact belongs to the instance."""
    text = """FUNCTION_BLOCK Count
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT n : INT; END_VAR
|                +--------+
|  go            |  ADD   |
+--|P|-----------|EN   OUT|--n
|             n--|IN1     |
|             1--|IN2     |
|                +--------+
END_FUNCTION_BLOCK
PROGRAM p
VAR a, b : BOOL; one, two : Count; END_VAR
|        one
|       +-------+
|  a    | Count |
+--| |--|go     |
|       +-------+
|        two
|       +-------+
|  b    | Count |
+--| |--|go     |
|       +-------+
END_PROGRAM
"""
    given = {0: {"a": True}, 1: {"a": False, "b": True}, 2: {"a": True}}
    row = scans(text, given, count=3, read=read_ladder)[-1]
    assert (row["one.n"], row["two.n"]) == (2, 1)


def test_the_walker_is_watched_and_changes_nothing():
    """Noting statements leaves the scan as it is."""
    layout = laid_out("|  a       b\n+--| |-----( )--+\n")
    seen = []
    watched = walk_task(layout, lambda node, values: seen.append(values["b"]))
    state = tuple(slot.name == "a" or slot.initial for slot in watched.slots)
    assert watched.run((), state, 0)[0] == walk_task(layout).run((), state, 0)[0]
    assert seen == [True]
