"""What a power cycle leaves of the values, held against the rules of the standard.

Sources: IEC 61131-3:2003 2.4.2, rules 1 to 3 (seen in a page-by-page reprint): warm restart: retained values kept;
cold restart: user initial value, else type default; not retained: that at any restart. Default initial values:
from memory: IEC 61131-3:2003 2.3.3.2. No restart of motion by power alone: Machinery Directive wording. Watchdog:
common practice, no source.
"""

import pytest

from simplant.kernel.controller import Controller
from simplant.kernel.executable import Slot
from simplant.kernel.mode import Mode
from simplant.kernel.setup import ControllerSetup, TaskSetup
from simplant.timebase import NEVER, ms
from tests.kernel.kit import level, play, power, program

SLOTS = (
    Slot("kept", False, retain=True),
    Slot("lost", False),
    Slot("kept_preset", 7, retain=True),
    Slot("lost_preset", 7),
    Slot("kept_text", "", retain=True),
    Slot("lost_time", 0),
)


def latch(image, state, now):
    """Sets every value once its input is on."""
    return ((True, True, 8, 8, "set", ms(5)) if image[0] else state), NEVER


@pytest.mark.parametrize(
    ("restart", "cold", "after"),
    [
        ("warm", None, (True, False, 8, 7, "set", 0)),
        ("cold", None, (False, False, 7, 7, "", 0)),
        ("cold", False, (True, False, 8, 7, "set", 0)),
        ("warm", True, (False, False, 7, 7, "", 0)),
    ],
)
def test_truth_table_of_restarts(restart, cold, after):
    """Retained values survive a warm restart only; all others are initial after any."""
    tasks = [(TaskSetup("main", ms(10)), program(["a"], SLOTS, latch))]
    controller = Controller(ControllerSetup("plc", boot=ms(50), restart=restart), tasks, ["a"], [], {})
    acts = [(0, power(True)), (ms(100), level("a", True)), (ms(200), level("a", False)), (ms(300), power(False))]
    play(controller, acts, ms(400))
    assert tuple(controller.value(slot.name) for slot in SLOTS) == (True, True, 8, 8, "set", ms(5))
    play(controller, [(ms(500), power(True, cold))], ms(560))
    assert tuple(controller.value(slot.name) for slot in SLOTS) == after


def test_a_dip_during_the_boot_loses_nothing_more():
    """Retained values outlast a second power loss before the first scan."""
    tasks = [(TaskSetup("main", ms(10)), program(["a"], SLOTS, latch))]
    controller = Controller(ControllerSetup("plc", boot=ms(50)), tasks, ["a"], [], {})
    acts = [(0, power(True)), (ms(60), level("a", True)), (ms(100), power(False)), (ms(101), level("a", False))]
    acts += [(ms(110), power(True)), (ms(130), power(False)), (ms(140), power(True))]
    play(controller, acts, ms(200))
    assert (controller.mode, controller.value("kept"), controller.value("lost")) == (Mode.RUNNING, True, False)


def test_a_retained_run_flag_does_not_move_anything_by_itself():
    """A command that needs a start edge stays off after power returns, although the flag before it is kept."""

    def run(image, state, now):
        flag, _, last, first = state
        flag = flag or image[0]
        edge = image[0] and not last and not first
        return (flag, flag and (edge or state[1]), image[0], False), NEVER

    slots = [Slot("wanted", False, retain=True), Slot("motor_cmd", False), Slot("last", False), Slot("first", True)]
    tasks = [(TaskSetup("main", ms(10)), program(["start"], slots, run, outputs=["motor_cmd"]))]
    controller = Controller(ControllerSetup("plc"), tasks, ["start"], ["motor_cmd"], {})
    acts = [(0, power(True)), (ms(20), level("start", True)), (ms(40), level("start", False))]
    acts += [(ms(100), power(False)), (ms(150), power(True)), (ms(300), level("start", True))]
    moves = [(t, value) for t, name, value in play(controller, acts, ms(400)) if name == "motor_cmd>"]
    assert moves == [(ms(20), True), (ms(100), False), (ms(300), True)]
