"""A session at the panel, whatever was done in it, saved and replayed, gives the same trace."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simplant import Machine, ms
from simplant.panel.session import TAP, Session
from simplant.rig.outcome import run_scenario
from simplant.rig.panel import PANEL
from simplant.scenario.read import read_scenario
from simplant.tags import Direction
from simplant.timebase import Ns
from simplant.values import BOOL
from tests.panel.fountain import lay_out

ROOT = Path(__file__).parents[2]
STARTS = {
    "fountain": ("play",),
    "comet_toss": ("good_calls", "supply5_lost", "power_dip"),
    "stamp_station": ("good_tokens", "low_air", "power_loss"),
    "sump_pumps": ("storm", "overload", "by_hand"),
}
MACHINES = {name: Machine.load(ROOT / "programs" / name) for name in STARTS if name != "fountain"}


def base(name, which):
    """Give what a session starts from: a scenario of the machine, or nothing."""
    starts = STARTS[name]
    return read_scenario(MACHINES[name].scenario_folder() / f"{starts[which]}.toml") if which < len(starts) else None


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
    if session.machine.file.machine.panel:
        session.write(session.machine.file.machine.panel[0], draw(st.integers(1, 9)))
        return
    memories = [t for t in session.machine.program.declared.values() if t.direction is Direction.MEMORY]
    tag = draw(st.sampled_from([t.name for t in memories if t.type is BOOL and "." not in t.name]))
    session.write(tag, draw(st.booleans()))


def ail(session, draw):
    """Let commands of the operator panel be lost, repeated or held, where there are such."""
    entries = [entry for entry in session.machine.catalogue if entry.target == PANEL]
    if entries:
        entry = draw(st.sampled_from(entries))
        session.fault(entry, on=not session.has_fault(entry))


def save(session, draw):
    session.recorded()


ACTS = (wait, wait, wait, scan, hand, hand, hold, force, fault, fault, power, ail, write, write, save)


@pytest.mark.slow
@pytest.mark.parametrize("name", STARTS)
@settings(max_examples=20)  # each case is three runs and two files
@given(data=st.data())
def test_a_saved_session_replays_to_the_same_trace(tmp_path_factory, name, data):
    """Presses, forces, faults, writes, power cuts, single scans: over a scenario of the machine or over nothing."""
    if name not in MACHINES:
        MACHINES[name] = Machine.load(lay_out(tmp_path_factory.mktemp(name)))
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
