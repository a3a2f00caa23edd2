"""Laws of moving parts under any orders and faults: no jumps, no way past an end, rest where rest is said."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from simplant.plant.lift import Lift
from simplant.plant.limit_sensor import LimitSensor
from simplant.plant.tank import Tank
from simplant.plant.turntable import Turntable
from simplant.plant.wheel import Wheel
from simplant.timebase import Ns
from tests.parts.bench import Bench

PAUSES = st.integers(0, 3_000_000).map(lambda us: us * 1000)


def orders(part, **inputs):
    """Draw a list of (pause in ns, input or fault to change, value)."""
    choices = [st.tuples(st.just(name), values) for name, values in inputs.items()]
    faults = [st.tuples(st.just(mode.kind), st.just(mode.value or 1.0)) for mode in part.FAILURES]
    return st.lists(st.tuples(PAUSES, st.one_of(*choices, *faults)), max_size=20)


def play(part, terminal, story, check):
    """Let a story happen; `check(bench, before)` looks after each order, with the value from just before it."""
    bench = Bench(part)
    for pause, (name, value) in story:
        bench.to(_text(bench.now + pause))
        before = bench.value(terminal)
        if name in part.inputs:
            bench.at(_text(bench.now), **{name: value})
        elif name in part.faults:
            bench.at(_text(bench.now), mend=name)
        else:
            bench.at(_text(bench.now), fault=name, value=value)
        check(bench, before)
    bench.to(_text(bench.now + 60_000_000_000))
    return bench


def _text(t):
    return f"{t // 10**9}.{t % 10**9:09d}"


LEVELS = st.booleans()


@given(
    orders(Turntable, move=LEVELS, right=LEVELS, enable=LEVELS, volts=st.sampled_from([24.0, 5.0])),
    st.sampled_from([0.0, 160.0]),
    st.sampled_from([0.0, 2.0]),
    st.sampled_from([0.0, 1.0]),
)
def test_the_table_never_jumps_nor_leaves_its_stops(story, ramp, backlash, reversal_slips):
    """An order bends the angle but does not break it; between orders too; what rests has no rate."""
    table = Turntable("table", {"ramp": ramp, "backlash": backlash, "jump": 0, "reversal_slips": reversal_slips})

    def check(bench, before):
        assert abs(bench.value("angle") - before) < 1e-9
        rests = abs(table.outputs["angle"].rate(bench.now)) < 1e-9
        assert rests or table.outputs["moving"]
        assert -68 <= bench.value("angle") <= 68

    bench = play(table, "angle", story, check)
    curves = [(t, value) for t, name, value in bench.log if name == "angle"]
    for (_, old), (t, new) in pairwise(curves):
        assert abs(old.at(t) - new.at(t)) < 1e-4
    least, most = bench.part.outputs["angle"].extremes(Ns(0), bench.now)
    assert -68 <= least <= most <= 68


@given(
    orders(Lift, volts=st.sampled_from([24.0, 18.0, 12.0, 0.0, -24.0, -12.0])),
    st.sampled_from([0.0, 1.0]),
    st.floats(20, 60),
)
def test_the_lift_never_jumps_nor_leaves_its_travel(story, back_drive, start):
    """An order bends the elevation but does not break it; it stays in its travel; the winding stays below its trip."""
    lift = Lift("lift", {"back_drive": back_drive, "start_elevation": start})

    def check(bench, before):
        assert abs(bench.value("elevation") - before) < 1e-9
        assert 20 - 1e-9 <= bench.value("elevation") <= 60 + 1e-9
        assert lift.outputs["elevation"].rate(bench.now) == 0 or lift.outputs["moving"]
        assert "cut_out_closed" in lift.faults or bench.value("rise") < 80 + 1e-3 or lift.outputs["tripped"]

    play(lift, "elevation", story, check)


@given(orders(Wheel, volts=st.sampled_from([48.0, 40.0, 5.0, 0.0]), launched=st.integers(0, 5)))
def test_the_wheel_is_never_faster_than_its_voltage_allows(story):
    """The speed lies between 0 and 240 rad/s, jumps only down and only by balls, and `turning` is true above 0.5."""
    wheel = Wheel("wheel")

    def check(bench, before):
        speed = bench.value("speed")
        assert 0 <= speed <= 240
        assert before * 0.85 - 1e-9 <= speed <= before + 1e-9
        assert bench.value("turning") == (speed > 0.5)

    play(wheel, "speed", story, check)


FLOWS = st.integers(0, 8).map(lambda n: n / 64)


@given(orders(Tank, inflow=FLOWS, outflow=FLOWS))
def test_the_tank_keeps_its_water(story):
    """Between rim and bottom the level is the start level and what flowed; at the rim and the bottom it stays."""
    tank = Tank("sump", {"start_level": 1.0})
    level, flow, last = 1.0, 0.0, 0

    def check(bench, before):
        nonlocal level, flow, last
        level = min(2.0, max(0.0, level + flow * (bench.now - last) / 1e9))
        assert abs(before - level) < 1e-6
        leak = tank.faults.get("leaks", 0.0)
        flow, last = tank.number("inflow") - tank.number("outflow") - leak, bench.now

    play(tank, "level", story, check)


class Watched(Bench):
    """A bench that lets a sensor look at the part after each of its instants."""

    def __init__(self, part, eye):
        self.eye = eye
        super().__init__(part)

    def _move(self):
        super()._move()
        self.eye.to(_text(self.now))
        self.eye.at(_text(self.now), angle=self.part.outputs["angle"])
        angle = self.value("angle")
        assert self.eye.value("seen") or angle < 60
        assert not self.eye.value("seen") or angle > 59.5


@given(st.lists(st.tuples(PAUSES, LEVELS, LEVELS), max_size=20))
def test_a_limit_sensor_agrees_with_the_angle(story):
    """Beyond its edge a sensor without delay sees, short of its hysteresis it does not, at every instant."""
    table = Turntable("table", {"start_angle": 45.0, "jump": 0})
    table.inputs["enable"] = True
    bench = Watched(table, Bench(LimitSensor("limit", {"response": 0})))
    for pause, move, right in story:
        bench.to(_text(bench.now + pause)).at(_text(bench.now), move=move, right=right)
