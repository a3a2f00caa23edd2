"""Laws of contacts, points, supplies, the safety chain and the I/O list, for every sequence and every list."""

import contextlib
import csv
import io

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.errors import WiringError
from simplant.tags import Direction, Tag
from simplant.timebase import NEVER, Ns, from_float_seconds, ms, show
from simplant.values import BOOL, INT
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.contact import Contact
from simplant.wiring.io_file import parse_io
from simplant.wiring.io_list import Point
from simplant.wiring.levels import INPUT_TYPES, ContactForm, SignalKind
from simplant.wiring.points import InputPoint
from simplant.wiring.safety_chain import SafetyChain
from simplant.wiring.supply import Supply
from tests.driving import do, fault, milliseconds, put

TIMES = st.integers(0, 400)
SECONDS = st.integers(0, 50).map(lambda n: n / 1000)


@given(st.lists(st.tuples(TIMES, st.booleans(), SECONDS, SECONDS), max_size=8))
@settings(max_examples=100)
def test_a_contact_comes_to_rest_where_it_was_sent(story):
    """Whatever it is told and when: it is due later than now, turns over at each due, and ends at its last target."""
    contact, last = Contact(), False
    for at, target, delay, bounce in sorted(story, key=lambda step: step[0]):
        now = ms(at)
        while contact.next_due() < now:
            before, due = contact.level, contact.next_due()
            contact.advance(due)
            assert contact.level is not before
            assert contact.next_due() > due
        contact.advance(now)
        contact.follow(now, target=target, delay=delay, bounce=bounce)
        contact.follow(now, target=target, delay=delay, bounce=bounce)
        assert contact.next_due() > now
        last = target
    contact.advance(Ns(NEVER - 1))
    assert (contact.level, contact.next_due()) == (last, NEVER)


@given(
    st.sampled_from(ContactForm),
    st.sampled_from(SignalKind),
    st.sampled_from(list(INPUT_TYPES.values())),
    st.booleans(),
    st.floats(0, 30),
    st.sets(st.sampled_from([mode.kind for mode in InputPoint.FAILURES if mode.kind != "swapped"])),
)
@settings(max_examples=100)
def test_no_level_without_volts_nor_through_a_broken_wire(contact, signal, kind, actuated, volts, faults):
    """Level 1 needs a whole conductor and the type's ON voltage, whatever else is broken."""
    tag = Tag("seen", BOOL, Direction.INPUT, "%IX0.0")
    part = InputPoint(Point(tag, "eye", "seen", contact, signal, input_type=kind))
    part.inputs.update(actuated=actuated, volts=volts)
    part.faults.update(dict.fromkeys(faults, 0.01))
    part.begin(Ns(0))
    part.command(Ns(0))
    if part.outputs["level"]:
        assert volts >= kind.on_volts
        assert "open_wire" not in faults
    assert part.outputs["wire"] == part.outputs["level"]


DEMANDS = st.tuples(
    st.integers(1, 200),
    st.sampled_from(
        [("estop", True), ("estop", False), ("door", True), ("door", False), ("reset", True), ("reset", False)]
    ),
)


@given(st.lists(DEMANDS, max_size=12, unique_by=lambda step: step[0]))
@settings(max_examples=100)
def test_power_needs_a_reset_edge_while_clear_and_no_demand_is_lost(story):
    """From any demand until 30 ms after a reset edge while clear and dropped there is no power; then there is."""
    part = SafetyChain("safety", {"response": 0.02, "operate": 0.03})
    steps = [(at, put(**{terminal: value})) for at, (terminal, value) in story]
    power = {
        t: value
        for t, terminal, value in milliseconds(part, [(0, put(reset=False)), *steps], 400)
        if terminal == "power"
    }
    changes, inputs, armed, since, level = {}, {"estop": False, "door": False, "reset": False}, False, 0, False
    for at in range(400):  # the same law said millisecond by millisecond
        due = at - since >= (30 if armed else 20)
        if level is not armed and due:
            level = changes[at] = armed
        for _, (terminal, value) in (step for step in story if step[0] == at):
            edge = terminal == "reset" and value and not inputs["reset"]
            inputs[terminal] = value
            clear = not inputs["estop"] and not inputs["door"]
            was, armed = armed, clear and (armed or (edge and not level))
            since = at if was is not armed else since
    assert power == changes


@given(
    st.lists(
        st.tuples(
            st.integers(1, 2000),
            st.one_of(
                st.floats(0, 20).map(lambda load: put(load=load)),
                st.booleans().map(lambda feed: put(feed=feed)),
                st.integers(1, 300).map(lambda wait: do("dip", wait / 1000)),
                st.sampled_from([do("on"), do("off"), fault("sagging", 30.0), fault("lost")]),
            ),
        ),
        max_size=8,
    )
)
@settings(max_examples=100)
def test_a_supply_stays_between_0_and_nominal_and_healthy_means_enough(story):
    """For every story of load, feed, dips and failures: 0 <= volts <= nominal, healthy = at least 85 %."""
    part = Supply("supply24", {"resistance": 0.3, "rise_delay": 0.05, "limit": 10, "retry": 0.2, "hold_up": 0.01})
    volts = healthy = 0.0
    by_instant: dict[int, dict[str, float]] = {}
    for t, terminal, value in milliseconds(part, story, 3000):
        by_instant.setdefault(t, {})[terminal] = value
    for values in by_instant.values():
        volts, healthy = values.get("volts", volts), values.get("healthy", healthy)
        assert 0.0 <= volts <= 24.0
        assert bool(healthy) is (volts >= 24.0 * 0.85)


WORDS = st.text(st.sampled_from(' abcÄ,;"|\n'), max_size=8).map(str.strip)


SPANS = (
    AnalogSpan(4.0, 20.0, "mA", 0.0, 10_000.0),
    AnalogSpan(-10.0, 10.0, "V", -32_000.0, 32_000.0),
    AnalogSpan(0.5, 120.0, "degC", 10_000.0, 0.0),
)


@st.composite
def points(draw):
    """Draw a list of points; shrinks to few, plain ones."""
    result = []
    for number in range(draw(st.integers(1, 5))):
        is_input, is_word = draw(st.booleans()), draw(st.booleans())
        direction, letter = (Direction.INPUT, "I") if is_input else (Direction.OUTPUT, "Q")
        kind, address = (INT, f"%{letter}W{number}") if is_word else (BOOL, f"%{letter}X{number}.{number}")
        tag = Tag(f"tag_{number}", kind, direction, address, description=draw(WORDS))
        plain = is_input and not is_word
        result.append(
            Point(
                tag, "part", "terminal",
                draw(st.sampled_from(ContactForm)) if plain else ContactForm.NO,
                draw(st.sampled_from(SignalKind)) if not is_word else SignalKind.DRY,
                draw(st.sampled_from(["", "supply5"])),
                draw(st.sampled_from(list(INPUT_TYPES.values()))) if plain else INPUT_TYPES["type_1"],
                ms(draw(st.integers(0, 30))) if plain else Ns(0),
                False if is_input else draw(st.integers(0, 99)) if is_word else draw(st.booleans()),
                draw(WORDS), draw(WORDS), draw(WORDS),
                draw(st.sampled_from(SPANS)) if is_word else None,
            )
        )  # fmt: skip
    return tuple(result)


def written(all_points, separator, end):
    """Write a list as a spreadsheet would."""
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator, lineterminator=end)
    names = "tag type direction address device contact signal supply input filter safe description wire terminal cable"
    names += " range scale"
    writer.writerow(names.split())
    for p in all_points:
        side = [p.contact.value, p.signal.value, p.supply, p.input_type.name, show(p.filter) if p.filter else "", ""]
        if not p.is_input:
            side = ["", p.signal.value, p.supply, "", "", str(int(p.safe))]
        span = ["", ""]
        if p.span is not None:
            side = ["", "", p.supply, "", "", "" if p.is_input else str(p.safe)]
            span = [f"{p.span.low}..{p.span.high} {p.span.unit}", f"{p.span.raw_low:.0f}..{p.span.raw_high:.0f}"]
        row = [p.name, p.tag.type.name, "in" if p.is_input else "out", p.tag.address, p.device, *side]
        writer.writerow([*row, p.tag.description, p.wire, p.strip, p.cable, *span])
    return out.getvalue()


@given(points(), st.sampled_from(",;"), st.sampled_from(["\n", "\r\n"]), st.sampled_from(["", "\ufeff"]))
@settings(max_examples=100)
def test_a_list_written_by_a_spreadsheet_is_read_back_the_same(all_points, separator, end, mark):
    """Read what was written: equal points but for their places, in every dialect."""
    read = parse_io(mark + written(all_points, separator, end))
    assert written(read, ",", "\n") == written(all_points, ",", "\n")


@given(st.text(st.sampled_from('tag,ype;direcodvs"\n\r%IX0.1 _\x00'), max_size=60))
@settings(max_examples=100)
def test_any_text_is_a_list_or_an_error_of_ours(text):
    """No text makes the reader fail in any other way than by telling what is wrong."""
    for whole in (text, "tag,type,direction,address,device\n" + text):
        with contextlib.suppress(WiringError):
            parse_io(whole)


@given(st.integers(0, 1000), st.integers(1, 50))
@settings(max_examples=50)
def test_a_late_contact_is_late_by_exactly_that(at, late):
    """A lasting change arrives its lateness later, to the nanosecond."""
    contact = Contact()
    contact.follow(ms(at), target=True, delay=late / 1000)
    assert contact.next_due() == ms(at) + from_float_seconds(late / 1000)
