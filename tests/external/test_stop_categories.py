"""The safety chain and a run circuit held against what an emergency stop must do. This proves nothing about safety.

Sources: latching, and that unlatching only permits a restart: Machinery Directive, Annex I. Available at all times and
prior to all other functions; the machine stays stopped until it is unlatched on purpose: ISO 13850:2015, 4.1.1, as
cited by makers of safety parts. Category 0 is the immediate removal of power: EN 60204-1, 9.2.2, as cited in a safety
glossary. The table of what follows press, release, reset and start is derived from these.
"""

from typing import ClassVar

from simplant.part import Part
from simplant.plant.world import Wire, World
from simplant.timebase import Ns, ms
from simplant.wiring.devices import Door, EmergencyStop, PushButton
from simplant.wiring.relay import Contactor
from simplant.wiring.safety_chain import SafetyChain


class RunCircuit(Part):
    """What a program should do: run from a start edge on, while the chain is healthy."""

    INPUTS: ClassVar = {"start": False, "healthy": False}
    OUTPUTS: ClassVar = {"run": False}

    def begin(self, now: Ns) -> None:
        self.before = True

    def command(self, now: Ns) -> None:
        edge, self.before = self.on("start") and not self.before, self.on("start")
        self.emit("run", self.on("healthy") and (edge or self.outputs["run"]))


class HungProgram(RunCircuit):
    """What a program must be allowed to do: leave its output on for ever."""

    def command(self, now: Ns) -> None:
        self.emit("run", True)


def machine(program=RunCircuit):
    parts = {
        "estop": EmergencyStop("estop"),
        "door": Door("door"),
        "reset": PushButton("reset"),
        "start": PushButton("start"),
        "safety": SafetyChain("safety", {"response": 0.02, "operate": 0.03}),
        "program": program("program"),
        "drive": Contactor("drive", {"operate": 0.02, "release": 0.015}),
    }
    wires = [
        Wire("estop.contact", "safety", "estop"),
        Wire("door.switch", "safety", "door"),
        Wire("reset.contact", "safety", "reset"),
        Wire("start.contact", "program", "start"),
        Wire("safety.aux", "program", "healthy"),
        Wire("program.run", "drive", "coil"),
        Wire("safety.power", "drive", "enable"),
    ]
    world = World(parts, wires)
    world.begin()
    return world


def act(world, now, part, action, value=None):
    run(world, now)
    world.parts[part].act(action, value, ms(now))
    world.touch(part)
    world.settle(ms(now))


def run(world, until):
    while world.next_due() <= ms(until):
        now = world.next_due()
        world.advance(now)
        world.settle(now)


def state(world):
    return (
        world.parts["safety"].outputs["power"],
        world.parts["program"].outputs["run"],
        world.parts["drive"].outputs["closed"],
    )


def test_pressed_released_reset_started():
    """Pressed: off and latched. Released: still off. Reset: still off. Start: may run."""
    world = machine()
    table = []
    story = [
        ("power-up", None, None), ("reset", "reset", "press"), ("start", "start", "press"), ("stop", "estop", "press"),
        ("start again", "start", "press"), ("reset", "reset", "press"), ("unlatch", "estop", "release"),
        ("start", "start", "press"), ("reset", "reset", "press"), ("start", "start", "press"),
    ]  # fmt: skip
    for number, (what, part, action) in enumerate(story):
        now = 1000 * (number + 1)
        if part:
            act(world, now, part, action, 0.1 if action == "press" and part != "estop" else None)
        run(world, now + 500)
        table.append((what, *state(world)))
    assert table == [
        # story          power  run    drive
        ("power-up",     False, False, False),
        ("reset",        True,  False, False),
        ("start",        True,  True,  True),
        ("stop",         False, False, False),
        ("start again",  False, False, False),
        ("reset",        False, False, False),
        ("unlatch",      False, False, False),
        ("start",        False, False, False),
        ("reset",        True,  False, False),
        ("start",        True,  True,  True),
    ]  # fmt: skip


def test_power_goes_whatever_the_program_does():
    """Category 0: the drive is off 20 ms (chain) and 15 ms (contactor) after the press or the open door."""
    for part, action in (("estop", "press"), ("door", "open")):
        world = machine(HungProgram)
        act(world, 100, "reset", "press", 0.1)
        run(world, 1000)
        assert state(world) == (True, True, True)
        act(world, 1000, part, action)
        run(world, 1034)
        assert state(world) == (False, True, True)
        run(world, 1035)
        assert state(world) == (False, True, False)
