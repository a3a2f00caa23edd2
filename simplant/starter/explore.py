"""What each output of a draft moves: asked of the drafted plant, not guessed.

One output at a time is forced on, the rest at rest, and the inputs are looked at. Rule: what the last input that
changed shows is the answer of the step, and how long it took sets the step's time limit.
"""

from dataclasses import dataclass

from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Force, Scenario
from simplant.starter.sort import Roles
from simplant.timebase import NEVER, Ns, seconds

_ON, _WATCHED = seconds(15), seconds(45)


@dataclass(frozen=True, slots=True)
class Answer:
    """The input that answers an output, the level it then has, and how long it took."""

    tag: str
    level: bool
    took: Ns


def explore(machine: Machine, roles: Roles) -> dict[str, Answer | None]:
    """Give the answer to each output that moves something; None if no input answers."""
    answers: dict[str, Answer | None] = {}
    for point in roles.motions:
        back = next((p.name for p in roles.motions if p.part == point.part and p is not point), "")
        answers[point.name] = _ask(machine, roles, point.name) or (
            _ask(machine, roles, point.name, back) if back else None
        )
    return answers


def _ask(machine: Machine, roles: Roles, output: str, before: str = "") -> Answer | None:
    """Force an output; `before`: the opposite one has been on, so that there is a way back."""
    rig = Rig(machine, Scenario(machine.name, length=_WATCHED), claims=())
    if roles.reset:
        rig.press(roles.reset.part, at=seconds(1), for_=seconds(1))
    if before:
        rig.hold(Force(seconds(2), before, value=True, duration=Ns(_ON - seconds(3))))
    rig.hold(Force(_ON, output, value=True, duration=NEVER))
    rig.run()
    inputs = {point.name for point in machine.io.inputs}
    moved = [(at, name) for at, name, _ in rig.trace if name in inputs and at > _ON]
    kept = [(at, name) for at, name in moved if [n for _, n in moved].count(name) % 2 == 1]
    if not kept:
        return None
    at, name = max(kept)
    return Answer(name, bool(rig.value(name)), Ns(at - _ON))
