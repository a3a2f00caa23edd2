"""Random whole programs, written through the public Python face, and the stories that are told to them.

Timings, power cuts, forces and the like are drawn by tests/kernel/random_programs.py. Rule: everything is drawn
from the `Random` given, so hypothesis (which shrinks) and plain seeds share one author.
"""

from random import Random

from hypothesis import strategies as st

from simplant.expr import Ref, abs_, constant, limit, max_, min_, select, to_type
from simplant.logic.nodes import Alarm, Coil, Rung, Step
from simplant.logic.program import Program
from simplant.logic.sequence import go
from simplant.place import written_at
from simplant.tags import Direction, Tag
from simplant.timebase import Ns, ms, us
from simplant.values import BOOL, BYTE, DINT, INT, REAL, TIME, UINT
from tests.kernel.random_programs import INPUTS

NUMBERS = (INT, DINT, UINT, REAL)
ANALOGUE = {"n": INT, "z": REAL}
"""Inputs besides the Boolean ones."""
TIMES = (0, ms(1), ms(5), ms(12), ms(20), ms(33), us(41_700), ms(60), ms(100))
FEW = {
    INT: (0, 1, 2, 3, 7, -4, 32767),
    DINT: (0, 1, -5, 100_000),
    UINT: (0, 1, 2, 65535),
    REAL: (0.0, -0.0, 0.1, 2.5, -8.0),
}
BLOCKS = ("TON", "TON", "TON", "TOF", "TOF", "TP", "TP", "R_TRIG", "F_TRIG", "SR", "RS", "CTU", "CTD", "CTUD")


class Author:
    """Writes one random program of `tasks` tasks.

    A calm program only reads what stands above, so it comes to rest and sleeps until an input or a timer moves it; a
    wild one has loops through its memory, and most of them never rest.

    Attributes:
        program: what is written so far.
        reads: what a condition or a calculation may read, by type; grows with what is declared.
        elapsed: the running times that there are.
    """

    def __init__(self, rnd: Random, *, tasks: int = 1, opaque: bool = True, calm: bool | None = None) -> None:
        self.rnd, self.tasks, self.opaque = rnd, tasks, opaque
        self.calm = rnd.random() < 0.7 if calm is None else calm
        inputs = [Tag(n, BOOL, Direction.INPUT) for n in INPUTS]
        inputs += [Tag(n, kind, Direction.INPUT) for n, kind in ANALOGUE.items()]
        outputs = [Tag(f"q{i}", BOOL, Direction.OUTPUT) for i in range(tasks)]
        outputs += [Tag(f"w{i}", INT, Direction.OUTPUT) for i in range(tasks)]
        self.program = Program("random", [*inputs, *outputs])
        self.memory = {
            kind: [self._memory(kind, i) for i in range(2 + (kind is BOOL))] for kind in (BOOL, *NUMBERS, BYTE, TIME)
        }
        self.reads = {kind: list(refs[1:] if self.calm else refs) for kind, refs in self.memory.items()}
        self.inputs = [self.program.tags[n] for n in INPUTS]
        for name, kind in ANALOGUE.items():
            self.reads[kind].append(self.program.tags[name])
        self.elapsed, self.handles, self.fresh, self.serial = [], [], [], 0

    def _memory(self, kind, number):
        name = f"m_{kind.name.lower()}_{number}"
        initial = {BYTE: 5, TIME: ms(20)}.get(kind) if number else None
        return self.program.memory(name, kind, initial=initial, retain=number == 1)

    def name(self, hint):
        self.serial += 1
        return f"{hint}{self.serial}"

    def target(self, kind):
        """Something to write to: new in a calm program, any in a wild one."""
        if not self.calm:
            return self.rnd.choice(self.memory[kind])
        self.fresh.append(
            self.program.memory(self.name(f"m_own_{kind.name.lower()}_"), kind, retain=self.rnd.random() < 0.3)
        )
        return self.fresh[-1]

    def publish(self):
        """From here on, what was written may be read."""
        for ref in self.fresh:
            self.reads[ref.type].append(ref)
        self.fresh.clear()

    def write(self) -> Program:
        """Write every task."""
        for number in range(self.tasks):
            if number == 0:
                self.task(number)
            else:
                with self.program.task(f"task{number}", period=ms(20), priority=number):
                    self.task(number)
        return self.program

    def task(self, number):
        """Write the statements of one task; the last ones drive its outputs."""
        kinds = [
            self.rung,
            self.rung,
            self.move,
            self.block,
            self.block,
            self.again,
            self.chart,
            self.timed_chart,
            self.alarms,
            self.python,
        ]
        weights = [2, 2, 2, 5, 5, 2, 1, 1, 1, 0.3 if self.opaque else 0]
        for _ in range(self.rnd.randint(2, 7)):
            self.rnd.choices(kinds, weights)[0]()
            self.publish()
        out = self.program.tags
        self.program.rung(out[f"q{number}"], self.bit(2))
        self.program.move(out[f"w{number}"].becomes(self.value(INT, 1)))

    # Expressions

    def bit(self, depth):
        """A condition."""
        rnd, kind = self.rnd, self.rnd.random()
        if depth <= 0 or kind < 0.25:
            return rnd.choice(self.reads[BOOL] if rnd.random() < 0.5 else self.inputs)
        if kind < 0.55:
            left, right = self.bit(depth - 1), self.bit(depth - 1)
            return rnd.choice(
                [lambda: left & right, lambda: left | right, lambda: left ^ right, lambda: left & ~right]
            )()
        if kind < 0.62:
            return ~self.bit(depth - 1)
        if kind < 0.65:
            return self.program.first_scan
        if kind < 0.7:
            return select(self.bit(depth - 1), self.bit(depth - 1), self.bit(depth - 1))
        if kind < 0.85 and self.elapsed:
            return self.look_at_time(depth)
        return self.comparison(rnd.choice([*NUMBERS, BYTE, TIME]), depth)

    def look_at_time(self, depth, running=None):
        """A running time against a bound that may be a variable, or volatile; either way round."""
        running = self.rnd.choice(self.elapsed) if running is None else running
        bound = self.rnd.choice([self.constant(TIME), self.steady()])
        if self.rnd.random() < 0.2:
            running, bound = running + self.constant(TIME), self.value(TIME, depth - 1)
        return self.compare(*self.rnd.choice([(running, bound), (bound, running)]))

    def steady(self):
        return min_(self.rnd.choice(self.memory[TIME]), constant(ms(50), TIME))

    def comparison(self, kind, depth):
        return self.compare(self.value(kind, depth - 1), self.value(kind, depth - 1))

    def compare(self, left, right):
        pick = self.rnd.randrange(6)
        return [lambda: left >= right, lambda: left > right, lambda: left < right, lambda: left <= right,
                lambda: left == right, lambda: left != right][pick]()  # fmt: skip

    def constant(self, kind):
        values = TIMES if kind is TIME else (0, 1, 0x0F, 0xFF) if kind is BYTE else FEW[kind]
        return constant(self.rnd.choice(values), kind)

    def value(self, kind, depth):
        """A calculation of a type."""
        rnd, pick = self.rnd, self.rnd.random()
        if depth <= 0 or pick < 0.3:
            return rnd.choice(self.reads[kind]) if rnd.random() < 0.7 else self.constant(kind)
        if kind is TIME and self.elapsed and pick < 0.4:
            return rnd.choice(self.elapsed)
        if pick < 0.5:
            return self.function(kind, depth)
        left, right = self.value(kind, depth - 1), self.value(kind, depth - 1)
        if kind is BYTE:
            return rnd.choice([lambda: left & right, lambda: left | right, lambda: left ^ right, lambda: ~left])()
        if pick < 0.58:
            return -left
        if kind is not TIME and pick < 0.72:
            return self.quotient(kind, left, right)
        ways = [lambda: left + right, lambda: left - right]
        return rnd.choice(ways if kind is TIME else [*ways, lambda: left * right])()

    def quotient(self, kind, left, right):
        """Mostly by what cannot be 0."""
        if self.rnd.random() < 0.97:
            right = max_(abs_(right), constant(1, kind))
        return left % right if kind is not REAL and self.rnd.random() < 0.4 else left / right

    def function(self, kind, depth):
        one, two, three = (self.value(kind, depth - 1) for _ in range(3))
        ways = [lambda: min_(one, two), lambda: max_(one, two, three), lambda: limit(one, two, three),
                lambda: select(self.bit(depth - 1), one, two)]  # fmt: skip
        if kind in NUMBERS:
            ways.append(lambda: abs_(one))
        sources = {
            INT: (BYTE, UINT, TIME),
            DINT: (INT, TIME),
            UINT: (BYTE, INT),
            REAL: (INT, DINT),
            TIME: (INT,),
            BYTE: (UINT,),
        }
        ways.append(lambda: to_type(self.value(self.rnd.choice(sources[kind]), depth - 1), kind))
        return self.rnd.choice(ways)()

    def action(self):
        kind = self.rnd.choice(list(self.memory))
        value = self.bit(1) if kind is BOOL else self.value(kind, 2)
        return self.target(kind).becomes(value, when=self.bit(1) if self.rnd.random() < 0.3 else None)

    def actions(self):
        return [self.action() for _ in range(self.rnd.randint(0, 2))]

    # Statements

    def rung(self):
        target, condition = self.target(BOOL), self.bit(3)
        coil = self.rnd.choice(list(Coil))
        self.program.add(Rung(self.program.next_id("rung"), written_at(), target, condition, coil))

    def move(self):
        when = self.bit(2) if self.rnd.random() < 0.6 else None
        self.program.move(*[self.action() for _ in range(self.rnd.randint(1, 3))], when=when)

    def block(self):
        kind = self.rnd.choice(BLOCKS)
        handle = self.program.block(self.name(kind.lower().replace("_", "")), kind)
        early = self.rnd.random() < 0.3
        if early:  # what stands before the call may read it too
            self.know(handle)
            self.rung()
        self.program.call(handle, when=self.bit(1) if self.rnd.random() < 0.25 else None, **self.arguments(handle))
        self.handles.append(handle)
        if not early:
            self.know(handle)
        if self.rnd.random() < 0.6:
            self.show(handle)

    def show(self, handle):
        """Bring what a block gives to where it is seen."""
        outputs = handle.instance.block.outputs
        self.program.move(*[self.target(f.type).becomes(getattr(handle, f.name)) for f in outputs if f.name != "ET"])
        if outputs[-1].name == "ET" and self.rnd.random() < 0.5:
            self.program.rung(self.target(BOOL), self.look_at_time(1, handle.ET))

    def know(self, handle):
        block = handle.instance.block
        for field in (*block.outputs, *block.inputs):
            if field.name == "ET":
                self.elapsed.append(handle.ET)
            else:
                self.reads[field.type].append(getattr(handle, field.name))

    def arguments(self, handle):
        """Inputs of a call; now and then one is left out."""
        given = {}
        for field in handle.instance.block.inputs:
            if self.rnd.random() < 0.9:
                signal = self.bit(2) if self.rnd.random() < 0.4 else self.rnd.choice(self.inputs)
                given[field.name] = signal if field.type is BOOL else self.preset(field.type)
        return given

    def preset(self, kind):
        return self.constant(kind) if self.rnd.random() < 0.7 else self.value(kind, 1)

    def again(self):
        """A second call of an instance, or a first one in another task."""
        if self.handles:
            handle = self.rnd.choice(self.handles)
            self.program.call(handle, **self.arguments(handle))

    def chart(self):
        rnd, name = self.rnd, self.name("chart")
        names = [f"s{i}" for i in range(rnd.randint(2, 4))]
        driven = [self.program.memory(f"m_{name}_drives_{i}") for i in range(2)]
        steps = [self.step(n, names, driven) for n in names]
        sequence = self.program.sequence(name, steps, initial=rnd.choice(names), retain=rnd.random() < 0.3)
        self.elapsed.append(sequence.time)
        self.reads[BOOL] += [*driven, *(sequence[n] for n in names), sequence.among(*names[:2])]
        self.reads[INT] += self.numbers(sequence)
        if any(s.limit is not None for s in steps):
            self.reads[BOOL].append(sequence.overtime())
        self.before_chart()
        rows = []
        for _ in range(rnd.randint(2, 6)):
            guard = self.bit(2) if rnd.random() < 0.5 else self.compare(sequence.time, self.constant(TIME))
            source = rnd.choice([rnd.choice(names), "*", names[:2]])
            rows.append(
                go(source, rnd.choice([*names, "="]) if source != "*" else rnd.choice(names), guard, *self.actions())
            )
        sequence.transitions(rows)
        return sequence

    def timed_chart(self):
        """A sequence, and a rung that looks at its step time."""
        sequence = self.chart()
        self.program.rung(self.target(BOOL), self.look_at_time(1, sequence.time))

    def before_chart(self):
        """Now and then something stands between the steps and their place in the scan: it sees them a scan late."""
        if self.rnd.random() < 0.3:
            self.rung()

    def numbers(self, sequence):
        return [sequence.number]

    def step(self, name, names, driven):
        rnd = self.rnd
        late = Ns(rnd.choice(TIMES[1:])) if rnd.random() < 0.4 else None
        on_limit = rnd.choice([None, *names]) if late else None
        drive = tuple(d for d in driven if rnd.random() < 0.4)
        during = self.actions() if rnd.random() < 0.3 else []
        return Step(name, drive, tuple(self.actions()), tuple(self.actions()), tuple(during), late, on_limit)

    def alarms(self):
        table = self.name("table")
        rows = [Alarm(f"{table}_alarm{i}", self.bit(1), "random") for i in range(self.rnd.randint(1, 3))]
        alarms = self.program.alarms(table, self.bit(1), rows)
        self.reads[INT].append(alarms.first_out)
        self.reads[BOOL] += [Ref(row.name, BOOL) for row in rows]

    def python(self):
        target = self.target(INT)
        self.program.python(lambda a, n: (n + a) % 100, reads=[self.program.tags["a"], target], writes=[target])


def random_program(rnd: Random, *, tasks: int = 1, opaque: bool = True, calm: bool | None = None) -> Program:
    """One whole program."""
    return Author(rnd, tasks=tasks, opaque=opaque, calm=calm).write()


def random_image(rnd: Random, names):
    """Levels for a program's inputs."""
    values = {INT: FEW[INT], REAL: FEW[REAL]}
    return tuple(rnd.choice(values[ANALOGUE[n]]) if n in ANALOGUE else rnd.random() < 0.5 for n in names)


@st.composite
def randoms(draw):
    """A source of chance that shrinks towards small draws: short programs, early and few stimuli."""
    return draw(st.randoms(use_true_random=False, note_method_calls=False))
