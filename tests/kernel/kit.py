"""A bench for controllers: plays a list of stimuli, instant by instant, and writes down all that can be seen.

The stand-in for the rig in kernel tests; no plant, only wires from outputs back to inputs. Rule: it calls
the phases in the order of the design, and looks only at what a controller shows.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from simplant.kernel.controller import Controller
from simplant.kernel.executable import Executable, Slot
from simplant.timebase import NEVER, Ns

Act = tuple[int, Callable[[Controller, Ns], None]]
Line = tuple[int, str, object]


@dataclass
class Bench:
    """Plays stimuli to a controller; `wires` lead from outputs back to inputs."""

    controller: Controller
    wires: Mapping[str, str]

    def play(self, acts: Iterable[Act], until: int) -> list[Line]:
        """Give one line per change: inputs in the image `>a`, outputs at terminals `a>`, memory `a`, events `!`."""
        lines: list[Line] = []
        waiting = sorted(acts, key=lambda act: act[0])
        while True:
            now = Ns(min(self.controller.next_due(), waiting[0][0] if waiting else NEVER))
            if now > until:
                return lines
            while waiting and waiting[0][0] == now:
                waiting.pop(0)[1](self.controller, now)
            self.settle(now, lines)

    def settle(self, now: Ns, lines: list[Line]) -> None:
        """Phases 4 to 6; an output that changes goes round by the wires, without new scans."""
        c = self.controller
        lines += [(now, f">{name}", value) for name, value in c.settle_filters(now)]
        c.scan(now)
        while changed := c.publish(now):
            lines += [(now, f"{name}>", value) for name, value in changed]
            for name, value in changed:
                if name in self.wires:
                    c.set_input(self.wires[name], value, now)
            lines += [(now, f">{name}", value) for name, value in c.settle_filters(now)]
        lines += [(now, name, value) for name, value in c.collect()]
        lines += [(now, "!", f"{event.kind.value}: {event.text}") for event in c.events]
        c.events.clear()


def play(controller: Controller, acts: Iterable[Act], until: int, wires: Mapping[str, str] | None = None) -> list[Line]:
    """Give the trace of one run from 0 to `until`."""
    return Bench(controller, wires or {}).play(acts, until)


def program(inputs: Iterable[str], slots: Iterable[Slot], run, outputs=(), shared=(), restless="") -> Executable:
    """Make an executable, with outputs and shared tags by name."""
    slots = tuple(slots)
    at = {slot.name: p for p, slot in enumerate(slots)}
    return Executable(tuple(inputs), slots, tuple(at[n] for n in outputs), tuple(at[n] for n in shared), run, restless)


def power(on, cold=None):
    return lambda c, now: c.power(now, on=on, cold=cold)


def level(name, value):
    return lambda c, now: c.set_input(name, value, now)


def force(name, value):
    return lambda c, now: c.force(name, value, now)


def write(name, value):
    return lambda c, now: c.write(name, value, now)


def stop(why="by command"):
    return lambda c, now: c.stop(now, why)


def start(cold=None):
    return lambda c, now: c.mode.value == "stopped" and c.start(now, cold=cold)


def hang(on):
    return lambda c, now: c.hang(now, on=on)
