"""A find that depends on where in a scan it comes is told to be a race.

Rule: a small machine, a press shorter than a scan: what is seen is arithmetic.
"""

from simplant.fuzz.search import is_wrong
from simplant.fuzz.timing import Tried, timings
from simplant.rig.machine import Machine
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import parse_scenario
from tests.plugin.tiny import FILES

LOGIC = """\
from simplant import Program

def build(tags):
    p = Program("tiny", tags)
    p.rung(p.tags.lamp_cmd, p.tags.start_pressed)
    return p
"""
RULES = """\
from simplant.rules import never

def build(machine):
    return [never(machine.program.tags.lamp_cmd, name="dark")]
"""
SHORT = """\
machine = "tiny"
length = "2s"
stimulus = [{ at = "998ms", on = "start", do = "press", for = "5ms" }]
"""


def tiny(folder):
    table = FILES["programs/tiny/machine.toml"] + '\n[controller]\nperiods = ["5ms", "25ms"]\n'
    files = {
        **FILES,
        "programs/tiny/logic.py": LOGIC,
        "programs/tiny/rules.py": RULES,
        "programs/tiny/machine.toml": table,
    }
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return Machine.load(folder / "programs/tiny")


def tried(machine, text):
    scenario = parse_scenario(text)
    return timings(machine, scenario, lambda given: is_wrong(run_scenario(machine, given), "dark"))


def test_a_press_shorter_than_a_scan_is_a_race(tmp_path):
    """5 ms within a scan of 10 ms: seen at half of the places; of five periods, by those that scan at 1 s."""
    found = tried(tiny(tmp_path), SHORT)
    assert found == (
        Tried("at 10 places in a scan of 10 ms", 10, 5),
        Tried("with 5 orders of what comes at one instant", 5, 5),
        Tried("with 5 periods of main from 5 ms to 25 ms", 5, 4),
    )
    assert [each.is_race for each in found] == [True, False, True]
    assert found[0].told() == "at 10 places in a scan of 10 ms: breaks in 5 of 10: a race"


def test_a_long_press_is_none(tmp_path):
    """Pressed for a whole scan and more, it is seen wherever it comes."""
    found = tried(tiny(tmp_path), SHORT.replace('"5ms"', '"100ms"'))
    assert [each.is_race for each in found] == [False, False, False]
