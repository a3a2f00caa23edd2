"""The files of a draft as text: plant, rules, test, parts of one's own; the program is program_text.py.

What stands in them is decided in draft.py and the files it asks. Rule: written as an engineer would write them, to
be read and changed; whatever was guessed says so.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from simplant.part import Parameter
from simplant.starter.explore import Answer
from simplant.starter.feeds import MAINS, PartDraft
from simplant.starter.fit import Device, opposed
from simplant.starter.program_text import limit_of
from simplant.starter.sort import Roles
from simplant.timebase import Ns
from simplant.wiring.io_list import IoList, Point


def machine_text(name: str, parts: Mapping[str, PartDraft], scenario: str) -> str:
    """Give `machine.toml`: each part with its wires, and its parameters as comments."""
    supplies = [part for part, p in parts.items() if p.part == "supply" and part != MAINS]
    supply = f'\nsupply = "{supplies[0]}.healthy"' if supplies else ""
    head = f'''# The plant of {name}, drafted from its I/O list. `part` names a stock part; text is a wire from another
# part's terminal, a number is a parameter: take away its # to change it.

[machine]
title = "{name}"
rules = "rules.toml"
hazards = "hazards.csv"
scenario = "{scenario}"

[controller]
period = "10ms"
execution = "1ms"
watchdog = "100ms"
boot = "1s"{supply}
'''
    return head + "".join(_part_text(part, drafted) for part, drafted in parts.items())


def _part_text(name: str, drafted: PartDraft) -> str:
    lines = ["", f"[parts.{name}]", f'part = "{drafted.part}"']
    lines += [f"{terminal} = {_toml(wires if wires[1:] else wires[0])}" for terminal, wires in drafted.wires.items()]
    lines += [
        f'# {terminal} = "part.terminal"  # not wired: nothing in the list feeds it' for terminal in drafted.loose
    ]
    lines += [f"{key} = {value}" for key, value in drafted.values.items()]
    known = drafted.kind.PARAMETERS if drafted.kind else {}
    lines += [_parameter(key, p) for key, p in known.items() if key not in drafted.values]
    return "\n".join(lines) + "\n"


def _parameter(key: str, p: Parameter) -> str:
    spread = f", within {p.tolerance * 100:g} %" if p.tolerance else ""
    value = f"{p.default:g}" if p.default % 1 or abs(p.default) >= 1e6 else f"{p.default:.1f}"
    return f"# {key} = {value}  # {p.unit + ': ' if p.unit else ''}{p.meaning}{spread}"


HAZARDS: Final = "rule,fault,reason,measure,who,date\n"
"""`hazards.csv` before anything is accepted."""


def parts_text(unmatched: Sequence[Device]) -> str:
    """Give `parts.py`: a part of one's own for each device that no stock part fits."""
    head = '''"""Devices of the I/O list that no stock part fits: stand-ins that a scenario moves by hand.

[[stimulus]] with do = "set" or "clear" and the terminal as its value. Put the real motion in `command`, or use a
stock part in machine.toml instead.
"""

from simplant import Part
'''
    return head + "".join(_own_part(device) for device in unmatched)


def class_of(device: str) -> str:
    """Give the class name of a device of one's own: `box_scale` -> `BoxScale`."""
    return "".join(word.capitalize() for word in device.split("_"))


def _own_part(device: Device) -> str:
    reads, drives = dict.fromkeys(device.reads, False), dict.fromkeys(device.drives, False)
    return f'''

class {class_of(device.name)}(Part):
    """{device.name}: what does it do, and how can it fail?"""

    INPUTS = {_dict(drives)}
    OUTPUTS = {_dict(reads)}
    ACTIONS = {{"set": "let a terminal say 1", "clear": "let it say 0"}}

    def begin(self, now):
        self.said = dict(self.OUTPUTS)

    def act(self, action, value, now):
        self.said[value] = action == "set"

    def command(self, now):
        for terminal, level in self.said.items():
            self.emit(terminal, level)
'''


def _dict(terminals: Mapping[str, bool]) -> str:
    return str(dict(terminals)).replace("'", '"')


def rules_text(io: IoList, roles: Roles, answers: Mapping[str, Answer | None]) -> str:
    """Give `rules.toml`: interlocks, start, time limits, what must not be on together."""
    head = (
        "# Derived from the I/O list: take away what your machine does not need, and add what it must do.\n"
        "# Names: points of io.csv, steps (cycle.ready), truths of the plant (part.terminal).\n"
        '# faults = "single" where a rule must hold whatever single thing fails; "none" is the default.\n'
    )
    return head + "".join(_rule(keys) for keys in _rules(io, roles, answers))


def _rules(io: IoList, roles: Roles, answers: Mapping[str, Answer | None]) -> Iterable[dict[str, object]]:
    if not roles.motions:
        return
    every = " OR ".join(p.name for p in roles.motions)
    if roles.start:
        start = f"{roles.start.part}.pressed"
        yield {"name": "nothing starts by itself", "kind": "no_restart_by_itself", "driven": every, "start": start}
    else:
        off = f"NOT ({every})"
        yield {"name": "nothing moves at power-up", "kind": "always_in", "claim": off, "between": ["0s", "1s"]}
    slowest = max((p.filter for p in io.inputs), default=Ns(0))
    within = f"{100 + slowest // 1_000_000}ms"
    lost = " OR ".join(need.removeprefix("NOT ") if need.startswith("NOT ") else f"NOT {need}" for need in roles.needs)
    for point in roles.motions if lost else ():  # for so long: a start may meet a loss that no scan has read yet
        claim = f"{point.name} AND ({lost})"
        yield {"name": f"interlock of {point.name}", "kind": "at_most_for", "claim": claim, "most": within}
    for one, other in _opposed(roles.motions):
        yield {"name": f"{one} and {other} never together", "kind": "exclusive", "members": [one, other]}
    for point in roles.motions:
        most = f"{limit_of(answers[point.name])}100ms".replace("100ms", "s 100ms")
        yield {"name": f"longest run of {point.name}", "kind": "output_at_most", "output": point.name, "most": most}


def _opposed(motions: Sequence[Point]) -> Iterable[tuple[str, str]]:
    return (
        (one.name, other.name)
        for n, one in enumerate(motions)
        for other in motions[n + 1 :]
        if one.part == other.part or opposed(one.name, other.name)
    )


def _rule(keys: Mapping[str, object]) -> str:
    return "\n[[rule]]\n" + "".join(f"{key} = {_toml(value)}\n" for key, value in keys.items())


def _toml(value: object) -> str:
    return f"[{', '.join(_toml(each) for each in value)}]" if isinstance(value, list) else f'"{value}"'


def test_text(name: str, roles: Roles) -> str:
    """Give a pytest file."""
    moving = [p.name for p in roles.motions]
    return f'''"""What {name} must do; its scenarios are tests of their own: `pytest scenarios`."""

from simplant import seconds


def test_nothing_moves_by_itself(rig):
    """Ten seconds after power-up, with nobody near, no output that moves something has been on."""
    bench = rig("programs/{name}")
    bench.run(seconds(10))
    assert [name for name in {moving!r} if bench.value(name) or bench.since(name)] == []
'''.replace("'", '"')
