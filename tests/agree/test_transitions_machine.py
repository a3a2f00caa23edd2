"""The library `transitions` chooses the same steps as a scan does, and so does a Machine that a user brings along.

The Machine is built by `machines.machine` or by hand, fired once a scan on a table of values, and held against the
compiled program and the walker. Rule: step and every variable are compared at every scan.
"""

from random import Random

import pytest
import transitions
from hypothesis import given

from simplant.errors import ProgramError
from simplant.expr import NOW
from simplant.logic.compile import compile_task
from simplant.logic.layout import layouts
from simplant.logic.lower import FIRST_SCAN
from simplant.logic.machines import machine, table_of
from simplant.logic.nodes import Step
from simplant.logic.program import Program
from simplant.logic.sequence import go
from simplant.logic.walk import walk_task
from simplant.tags import Direction, Tag
from simplant.timebase import Ns, ms
from simplant.values import BOOL, INT
from tests.agree.programs import Author, random_image, randoms


class ChartAuthor(Author):
    """Writes programs of sequences only, of what the library knows: guards, exit, row and entry actions."""

    def task(self, number):
        for _ in range(self.rnd.randint(1, 3)):
            self.chart()
            self.publish()

    def before_chart(self):
        pass

    def numbers(self, sequence):
        return []  # the oracle knows steps by their names only

    def step(self, name, names, driven):
        return Step(name, (), tuple(self.actions()), tuple(self.actions()))


class MachineAuthor(ChartAuthor):
    """Brings sequences along as Machines of the library, as a user may have them: several triggers, `unless`."""

    def __init__(self, rnd):
        super().__init__(rnd)
        self.machines = {}

    def chart(self):
        rnd, name = self.rnd, self.name("chart")
        names = [f"s{i}" for i in range(rnd.randint(2, 4))]
        leaving = {n: self.actions() for n in names}
        rows = [self.row(names, leaving) for _ in range(rnd.randint(2, 6))]
        states = [{"name": n, "on_enter": self.actions(), "on_exit": leaving[n]} for n in names]
        self.machines[name] = transitions.Machine(
            states=states, transitions=rows, initial=rnd.choice(names),
            auto_transitions=False, ignore_invalid_triggers=True,
        )  # fmt: skip
        sequence = self.program.sequence_from(name, self.machines[name], retain=rnd.random() < 0.3)
        self.reads[BOOL] += [sequence[n] for n in names]
        self.elapsed.append(sequence.time)

    def row(self, names, leaving):
        rnd = self.rnd
        row = {
            "trigger": rnd.choice(["go", "stop"]),
            "source": rnd.choice([*names, "*"]),
            "dest": rnd.choice([*names, "="]),
        }
        row["conditions"] = [self.bit(2) for _ in range(rnd.randint(1, 2))]
        if rnd.random() < 0.3:
            row["unless"] = self.bit(1)
        if row["source"] != "*" and not leaving[row["source"]]:
            row["before"] = self.actions()
        return row


class Oracle:
    """Machines fired in turn, once a scan, on a table of values in which charts are their steps' names."""

    def __init__(self, program, machines, fire):
        self.machines, self.fire = machines, fire
        self.charts = {name: sequence.chart for name, sequence in program.charts.items()}
        self.env = {name: tag.initial for name, tag in program.declared.items()}
        self.first = True
        for name, own in machines.items():
            self.env[name] = own.state
            for state in own.states.values():
                state.on_enter.insert(0, lambda env, name=name: self.enter(name, env))

    def enter(self, name, env):
        env[name], env[f"{name}.since"] = self.machines[name].state, env[NOW]

    def scan(self, image, now):
        """One scan; gives the values of all names, charts by the numbers of their steps."""
        self.env.update(image, **{NOW: now, FIRST_SCAN.name: self.first})
        for name, own in self.machines.items():
            if self.first:
                self.enter(name, self.env)
                for action in self.charts[name].step(own.state).entry if not self.charts[name].retain else ():
                    action(self.env)
            else:
                self.fire(own, self.env)
        self.first = False
        self.env[FIRST_SCAN.name] = False
        return self.env | {n: self.charts[n].names.index(own.state) for n, own in self.machines.items()}


def by_scan(own, env):
    own.trigger("scan", env)


def by_each_trigger(own, env):
    """A Machine of the user's own: at most one of its triggers fires in a scan."""
    for trigger in own.events:
        if own.trigger(trigger, env):
            return


def agree(program, oracle, rnd, scans=40):
    """Hold compiled program, walker and oracle together at every scan."""
    (layout,) = layouts(program)
    fast, plain = compile_task(layout), walk_task(layout)
    state, now = fast.initial, Ns(0)
    for _ in range(scans):
        image = random_image(rnd, layout.inputs)
        levels = dict(zip(layout.inputs, image, strict=True))
        try:
            after = plain.run(image, state, now)[0]
        except ProgramError as error:
            with pytest.raises(ProgramError) as same:
                oracle.scan(levels, now)
            same.match(error.what)
            return
        assert fast.run(image, state, now)[0] == after
        wanted = oracle.scan(dict(zip(layout.inputs, image, strict=True)), now)
        assert dict(zip((s.name for s in layout.slots), after, strict=True)) == {
            s.name: wanted[s.name] for s in layout.slots
        }
        state, now = after, Ns(now + rnd.choice([ms(10), ms(10), ms(40)]))


def check_chart(rnd):
    program = ChartAuthor(rnd).write()
    machines = {name: machine(sequence.chart) for name, sequence in program.charts.items()}
    agree(program, Oracle(program, machines, by_scan), rnd)


@given(randoms())
def test_machine_of_a_chart_agrees(rnd):
    """A chart's Machine takes the steps that the scan takes, and leaves the same values."""
    check_chart(rnd)


@pytest.mark.parametrize("seed", range(40))
def test_machine_of_a_chart_agrees_on_plain_seeds(seed):
    """The same law on charts of full size."""
    check_chart(Random(seed))


def check_own(rnd):
    author = MachineAuthor(rnd)
    program = author.write()
    agree(program, Oracle(program, author.machines, by_each_trigger), rnd)


@given(randoms())
def test_machine_of_ones_own_agrees(rnd):
    """A Machine that a user brings along does in a scan what it does when its triggers are fired in turn."""
    check_own(rnd)


@pytest.mark.parametrize("seed", range(40))
def test_machine_of_ones_own_agrees_on_plain_seeds(seed):
    """The same law on Machines of full size."""
    check_own(Random(seed))


@pytest.mark.parametrize("seed", range(40))
def test_there_and_back(seed):
    """A chart, made a Machine and read back, has the same steps and rows."""
    program = ChartAuthor(Random(seed)).write()
    for sequence in program.charts.values():
        chart = sequence.chart
        states, initial, rows = table_of(machine(chart))
        assert initial == chart.initial
        assert states == [{"name": s.name, "on_enter": list(s.entry), "on_exit": list(s.exit)} for s in chart.steps]
        wanted = [
            {"source": r.source, "dest": r.dest, "before": list(r.actions), "conditions": [r.guard], "unless": []}
            for step in dict.fromkeys(r.source for r in chart.transitions)
            for r in chart.transitions
            if r.source == step
        ]
        assert rows == wanted


def test_exit_then_row_then_entry():
    """In the scan of a transition the exit actions come first, then the row's, then the entry actions."""
    program = Program("order", [Tag("a", BOOL, Direction.INPUT)])
    order = program.memory("order_of", INT)
    steps = [Step("one", exit=(order.becomes(order * 10 + 1),)), Step("two", entry=(order.becomes(order * 10 + 3),))]
    sequence = program.sequence("chart", steps)
    sequence.transitions([go("one", "two", program.tags.a, order.becomes(order * 10 + 2))])
    own, env = machine(sequence.chart), {"a": True, "order_of": 0, "chart": "one", NOW: 0}
    own.trigger("scan", env)
    (layout,) = layouts(program)
    executable = compile_task(layout)
    first = executable.run((True,), executable.initial, Ns(0))[0]
    second = executable.run((True,), first, ms(10))[0]
    assert (env["order_of"], second[0], own.state) == (123, 123, "two")
