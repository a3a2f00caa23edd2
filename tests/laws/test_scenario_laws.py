"""Laws of scenarios and traces: whatever is written reads back as it was."""

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.faults import Fault
from simplant.scenario.compare import first_difference
from simplant.scenario.model import Expect, Force, Power, Scenario, State, Stimulus, Write
from simplant.scenario.places import find_places
from simplant.scenario.read import parse_scenario
from simplant.scenario.trace import EVENT, Trace
from simplant.scenario.write import scenario_text
from simplant.timebase import NEVER

LENGTH = 10**12

names = st.from_regex(r"[a-z][a-z0-9_]{0,6}", fullmatch=True)
texts = st.text(max_size=8)
numbers = st.floats(allow_nan=False, allow_infinity=False)
values = st.booleans() | st.integers(-(2**63), 2**63 - 1) | numbers | texts
instants = st.integers(0, LENGTH)
spans = st.integers(1, 10**13) | st.just(NEVER)
dotted = st.builds("{}.{}".format, names, names)


def tuples(strategy):
    return st.lists(strategy, max_size=3).map(tuple)


def some(cls, **fields):
    return tuples(st.builds(cls, **fields))


states = st.builds(
    State,
    tags=st.dictionaries(names, values, max_size=3),
    steps=st.dictionaries(names, names, max_size=3),
    truths=st.dictionaries(
        dotted, values | st.tuples(numbers, numbers).map(lambda pair: (min(pair), max(pair))), max_size=3
    ),
)
expectations = st.builds(
    Expect,
    broken=tuples(names),
    not_exercised=tuples(names),
    undecided=tuples(names),
    alarms=st.none() | tuples(names),
    first_out=st.none() | names,
    end=states,
    at=tuples(st.tuples(instants, states)).map(lambda pairs: tuple(sorted(pairs, key=lambda pair: pair[0]))),
)
scenarios = st.builds(
    Scenario,
    machine=names,
    title=texts,
    seed=st.integers(0, 2**63 - 1),
    length=st.just(LENGTH),
    stimuli=some(
        Stimulus, at=instants, on=names, do=st.just("press"), value=st.none() | numbers | texts, duration=spans
    ),
    faults=some(
        Fault,
        target=names,
        kind=names,
        onset=instants,
        duration=spans,
        value=st.none() | numbers,
        other=st.just("") | names,
    ),
    forces=some(Force, at=instants, tag=names, value=values, duration=spans),
    writes=some(Write, at=instants, tag=names, value=values),
    power=some(Power, at=instants, controller=names, duration=spans, restart=st.sampled_from(["warm", "cold"])),
    parameters=st.dictionaries(dotted, numbers, max_size=3),
    retained=st.dictionaries(names, values, max_size=3),
    expect=expectations,
)


@settings(deadline=None)
@given(scenarios)
def test_a_scenario_reads_back_as_written(scenario):
    """read(write(s)) == s, types included, and writing it again gives the same text."""
    text = scenario_text(scenario)
    again = parse_scenario(text)
    assert again == scenario
    assert scenario_text(again) == text


@settings(deadline=None)
@given(scenarios)
def test_every_key_has_a_place(scenario):
    """Each key written is found at the line and column where its text stands."""
    text = scenario_text(scenario)
    lines = text.split("\n")
    places = find_places("f", text)
    assert places.found[("machine",)] == (1, 1)
    for path, (line, column) in places.found.items():
        key = path[-1]
        if isinstance(key, str) and key.isidentifier() and not lines[line - 1].startswith("["):
            assert lines[line - 1][column - 1 :].startswith((f"{key} =", '"'))


rows = st.lists(
    st.tuples(instants, names | dotted, values | st.sampled_from([float("inf"), float("-inf"), "nan", "inf", "a b"]))
    | st.tuples(instants, st.just(EVENT), st.lists(texts.filter(lambda t: t.split() == [t]), min_size=1).map(" ".join)),
    max_size=12,
).map(lambda found: tuple(sorted(found, key=lambda row: row[0])))


@settings(deadline=None)
@given(rows)
def test_a_trace_reads_back_as_written(found):
    """parse(text(t)) == t, and its text is the same again."""
    trace = Trace(found, {"machine": "m", "scenario": "a title: with # and \n"})
    again = Trace.parse(trace.text())
    assert again == trace
    assert again.text().partition("\n")[2].partition("\n")[2] == trace.text().partition("\n")[2].partition("\n")[2]
    assert first_difference(trace, again) is None


@settings(deadline=None)
@given(rows, st.data())
def test_a_changed_row_is_found(found, data):
    """The first difference names the line of the first row that differs, and its name."""
    if not found:
        return
    index = data.draw(st.integers(0, len(found) - 1))
    at, name, _ = found[index]
    other = Trace((*found[:index], (at, name, "quite different"), *found[index + 1 :]))
    difference = first_difference(Trace(found), other)
    assert difference is not None
    assert difference.line == index + 1
    assert [(d.name, d.at) for d in difference.names] == [(name, at)]
