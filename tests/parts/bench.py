"""A bench for one part: sets its inputs and faults at instants and writes down what it says."""

from simplant.curves import Curve
from simplant.timebase import Ns, seconds


class Bench:
    """Drives one part by its own due instants, twice at each instant (a second call must change nothing)."""

    def __init__(self, part, **inputs):
        self.part, self.now, self.log = part, Ns(0), []
        part.inputs.update(inputs)
        part.begin(self.now)
        self._move()

    def at(self, time, fault=None, value=1.0, mend=None, **inputs):
        """Go to an instant (s, as text) and change inputs or faults there."""
        self.to(time)
        self.part.inputs.update(inputs)
        if fault:
            self.part.faults[fault] = value
        if mend:
            del self.part.faults[mend]
        self._move()
        return self

    def to(self, time):
        """Let the part run up to an instant (s, as text)."""
        end = seconds(time)
        while self.part.next_due() <= end:
            due = self.part.next_due()
            assert due > self.now, "due in the past"
            self.now = due
            self._move()
        self.now = end
        return self

    def value(self, terminal):
        """Give an output; a curve at the present instant."""
        value = self.part.outputs[terminal]
        return value.at(self.now) if isinstance(value, Curve) else value

    def told(self, *terminals):
        """Give what was said on these terminals: (s, terminal, value) in order."""
        return [(round(t / 1e9, 6), name, value) for t, name, value in self.log if name in terminals]

    def _move(self):
        part = self.part
        part.advance(self.now)
        part.command(self.now)
        said, part.changed = part.changed, []
        part.advance(self.now)
        part.command(self.now)
        assert part.changed == [], "a second call at one instant changed something"
        self.log += [(self.now, name, value) for name, value in said]
