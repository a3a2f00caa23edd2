"""A session at the panel, whatever was done in it, saved and replayed, gives the same trace."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant import Machine, ms
from simplant.panel.session import TAP, Session
from simplant.rig.outcome import run_scenario
from simplant.scenario.read import read_scenario
from simplant.tags import Direction
from simplant.timebase import Ns
from simplant.values import BOOL

ROOT = Path(__file__).parents[2]
MACHINES = {name: Machine.load(ROOT / "programs" / name) for name in ("comet_toss", "stamp_station", "sump_pumps")}
STARTS = {
    "comet_toss": ("good_calls", "supply5_lost", "power_dip"),
    "stamp_station": ("good_tokens", "low_air", "power_loss"),
    "sump_pumps": ("storm", "overload", "by_hand"),
}


def base(name, which):
    """Give what a session starts from: nothing, or a scenario of the machine."""
    return read_scenario(ROOT / "scenarios" / name / f"{STARTS[name][which]}.toml") if which < 3 else None


def wait(session, draw):
    session.advance(Ns(session.at + ms(draw(st.integers(1, 3000)))))


def scan(session, draw):
    session.scan()


def hand(session, draw):
    plans = session.machine.plans
    part, action = draw(st.sampled_from([(n, a) for n, p in plans.items() for a in p.kind.ACTIONS]))
    value = {"select": 1, "inflow": 0.01, "dip": 0.2}.get(action)
    session.do(part, action, value, **({"lasts": TAP} if action == "press" else {}))


def hold(session, draw):
    part = draw(st.sampled_from([n for n, p in session.machine.plans.items() if "press" in p.kind.ACTIONS]))
    if session.holds(part):
        session.let_go(part, least=ms(draw(st.integers(1, 300))))
    else:
        session.do(part, "press")


def force(session, draw):
    point = draw(st.sampled_from([p for p in session.machine.io if p.tag.type is BOOL]))
    session.force(point.name, draw(st.sampled_from([None, True, False])))


def fault(session, draw):
    entry = draw(st.sampled_from(session.machine.catalogue))
    session.fault(entry, on=not session.has_fault(entry))


def power(session, draw):
    session.power(cold=draw(st.booleans()))


def write(session, draw):
    memories = [t for t in session.machine.program.declared.values() if t.direction is Direction.MEMORY]
    tag = draw(st.sampled_from([t.name for t in memories if t.type is BOOL and "." not in t.name]))
    session.write(tag, draw(st.booleans()))


def save(session, draw):
    session.recorded()


ACTS = (wait, wait, wait, scan, hand, hand, hold, force, fault, fault, power, write, save)


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
@settings(max_examples=20)  # each case is three runs and two files
@given(data=st.data())
def test_a_saved_session_replays_to_the_same_trace(tmp_path_factory, name, data):
    """Presses, forces, faults, writes, power cuts, single scans: over a scenario of the machine or over nothing."""
    session = Session(MACHINES[name], base(name, data.draw(st.integers(0, 3))))
    for _ in range(data.draw(st.integers(1, 14))):
        data.draw(st.sampled_from(ACTS))(session, data.draw)
    path = tmp_path_factory.mktemp("saved") / "by_hand.toml"
    scenario, trace = session.recorded()
    session.save(path)
    again = run_scenario(MACHINES[name], scenario)
    assert again.trace.rows == trace.rows
    assert again.unmet == ()
    read = run_scenario(MACHINES[name], read_scenario(path))
    assert read.trace.rows == trace.read(path.with_suffix(".trace")).rows
