"""Laws of analogue points: scaling, and updates left out without a trace.

Values at given signals are tests/wiring/test_analog_points.py.
"""

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.tags import Direction, Tag
from simplant.timebase import NEVER, Ns, ms, seconds
from simplant.values import DINT, INT, UINT
from simplant.wiring.analog_points import AnalogInputPoint, AnalogOutputPoint
from simplant.wiring.analog_span import BOTTOM, TOP, AnalogSpan
from simplant.wiring.io_list import Point
from tests.laws.test_made_curves import curves, made

RANGES = ((4.0, 20.0, "mA"), (0.0, 10.0, "V"), (-10.0, 10.0, "V"), (-40.0, 120.0, "degC"))
SCALES = ((0.0, 10_000.0), (0.0, 250.0), (32_000.0, 0.0), (400.0, 2000.0))

spans = st.builds(lambda ends, scale: AnalogSpan(*ends, *scale), st.sampled_from(RANGES), st.sampled_from(SCALES))
places = st.floats(-0.4, 1.4)


def analog(made_as, span, kind=INT, **parameters):
    direction = Direction.INPUT if made_as is AnalogInputPoint else Direction.OUTPUT
    return made_as(Point(Tag("level", kind, direction), "tank", "current", span=span), parameters)


def read(part, signal, now=0):
    part.inputs["measured"] = signal
    part.command(now)
    return part.outputs["level"]


@given(spans, st.sampled_from([INT, UINT, DINT]), places, places)
def test_a_reading_is_monotone_and_within_half_a_count(span, kind, first, second):
    """More signal, no smaller number (no greater one, if the scale falls); off by half a count at most."""
    part = analog(AnalogInputPoint, span, kind)
    low, high = sorted((first, second))
    one, other = read(part, span.signal(low)), read(part, span.signal(high))
    assert one <= other if span.raw_low < span.raw_high else one >= other
    for place, number in ((low, one), (high, other)):
        held = min(max(place, BOTTOM), TOP)
        exact = min(max(span.raw_low + (span.raw_high - span.raw_low) * held, kind.least), kind.most)
        assert abs(number - exact) <= 0.5 + 1e-6


@given(spans)
def test_both_ends_are_exact(span):
    """The low end of the range is the first number of the scale, the high end the second one."""
    part = analog(AnalogInputPoint, span)
    assert (read(part, span.low), read(part, span.high)) == (span.raw_low, span.raw_high)


@given(spans, st.floats(0, 1))
def test_what_an_output_drives_an_input_of_the_same_range_reads_back(span, place):
    """Any number of the scale comes back the same over the wire."""
    number = round(span.raw_low + (span.raw_high - span.raw_low) * place)
    output = analog(AnalogOutputPoint, span)
    output.inputs["level"] = number
    output.command(Ns(0))
    assert read(analog(AnalogInputPoint, span), output.outputs["drive"]) == number


def by_dues(part, until):
    """Move the part only when it is due; give what it says in between."""
    part.begin(Ns(0))
    now, told = Ns(0), []
    while now <= until:
        part.command(now)
        told += [(now, name, value) for name, value in part.changed if name != "wire"]
        part.changed.clear()
        now = part.next_due()
    return told


def by_every_update(part, update, until):
    """Move it at each update."""
    part.begin(Ns(0))
    told = []
    for now in map(Ns, range(0, until + 1, update)):
        part.command(now)
        told += [(now, name, value) for name, value in part.changed if name != "wire"]
        part.changed.clear()
    return told


@given(st.one_of(curves, made), st.sampled_from([1.0, 37.0, 2500.0]), st.sampled_from([0.0, -3.7, 5.0]))
@settings(max_examples=100)
def test_updates_left_out_are_not_missed(curve, resolution, offset):
    """Any curve, any resolution, an offset: asked when it says, or at every update, the point tells the same."""
    span = AnalogSpan(-300.0, 300.0, "degC", 0.0, 10_000.0)

    def point():
        part = analog(AnalogInputPoint, span, resolution=resolution)
        part.inputs["measured"] = curve
        part.faults.update({"offset": offset} if offset else {})
        return part

    assert by_dues(point(), seconds(8)) == by_every_update(point(), ms(10), seconds(8))


@given(st.integers(0, 2**64 - 1), st.floats(0.01, 20.0), st.lists(st.integers(0, 200), max_size=20))
def test_noise_stays_in_its_width_and_does_not_care_who_asks(seed, width, extra):
    """No reading is further off than the width and half a count; asking more often changes none."""
    span = AnalogSpan(4.0, 20.0, "mA", 0.0, 10_000.0)

    def reading(instants):
        part = analog(AnalogInputPoint, span, noise=width)
        part.seed = seed
        found = {}
        for now in instants:
            part.inputs["measured"] = 12.0
            part.command(Ns(now))
            found[now] = part.outputs["level"]
        return found

    grid = [ms(10 * k) for k in range(200)]
    plain = reading(grid)
    more = reading(sorted([*grid, *(Ns(ms(10 * k) + 3_000_000) for k in extra), *(ms(10 * k) for k in extra)]))
    assert plain == {now: more[now] for now in grid}
    assert all(abs(number - 5000) <= width * 100 + 0.5 for number in plain.values())


@given(st.one_of(curves, made))
@settings(max_examples=50)
def test_a_point_is_never_due_in_the_past_and_only_on_its_grid(curve):
    """The next update that matters lies on the grid of updates, later than now."""
    part = analog(AnalogInputPoint, AnalogSpan(-300.0, 300.0, "degC", 0.0, 1000.0), update=0.025)
    now = Ns(0)
    for _ in range(50):
        read(part, curve, now)
        due = part.next_due()
        if due == NEVER:
            break
        assert due > now
        assert due % ms(25) == 0
        now = due
