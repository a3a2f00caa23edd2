"""The panes of every demo machine, at many widths, while its scenario runs: nothing is wider than its pane."""

from pathlib import Path

import pytest

from simplant import Machine, seconds
from simplant.panel.arrange import NAMES
from simplant.panel.lines import LOOKS
from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns

ROOT = Path(__file__).parents[2]
FOLDERS = sorted(path.parent for path in (ROOT / "programs").glob("*/machine.toml"))
FREE = {"steps"}
"""Drawings and texts are as wide as they are; the pane can be given the whole screen."""


@pytest.mark.slow
@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_pane_fits(folder):
    """At each moment each pane has something to tell, in known looks, and is no wider than it may be."""
    machine = Machine.load(folder)
    file = machine.scenario_folder() / f"{machine.file.machine.scenario}.toml"
    session = Session(machine, read_scenario(file) if file.is_file() else None)
    view = View(session)
    session.fault(machine.catalogue[0], on=True)
    session.force(machine.io.inputs[0].name, machine.io.inputs[0].tag.type.default)
    for _ in range(6):
        session.advance(Ns(session.at + seconds(5)))
        view.follow()
        for width in (35, 41, 60, 120):
            assert len(view.state(width)) <= width
            lines = {pane.NAME: pane.lines(width) for pane in view.panes}
            assert [name for name, rows in lines.items() if not rows] == []
            assert {look for rows in lines.values() for row in rows for _, look in row.spans} <= set(LOOKS)
            texts = [(name, row.text.rstrip()) for name, rows in lines.items() if name not in FREE for row in rows]
            assert [(name, text) for name, text in texts if len(text) > width] == []


def test_the_panes_are_those_of_the_keys():
    """The number keys name the panes in the order in which they are made."""
    session = Session(Machine.load(ROOT / "programs" / "sump_pumps"))
    assert [pane.NAME for pane in View(session).panes] == list(NAMES)
