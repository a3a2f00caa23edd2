"""The panel on a screen, driven by keys and mouse as a person does; and its picture, row by row.

The clock is the test's own, so a picture shows the same always. `UPDATE_PICTURES=1` renews the stored ones.
"""

import asyncio
import html
import os
import re
from pathlib import Path

import pytest

from simplant import Machine, ms
from simplant.panel.keys import KEYS
from simplant.panel.memory import Memory
from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.rig.outcome import run_scenario
from simplant.scenario.memory_file import read_memory
from simplant.scenario.read import read_scenario
from tests.panel.fountain import lay_out

pytest.importorskip("textual", reason="textual comes with the extra `panel`")
PICTURES = Path(__file__).with_name("pictures")
pytestmark = pytest.mark.slow


class Hand:
    """Somebody at the panel, with a clock of their own."""

    def __init__(self, folder, size, memory=None):
        from simplant.panel.screen.app import PanelApp

        self.machine = Machine.load(lay_out(folder))
        self.now = 0.0
        self.view = View(Session(self.machine), folder / "runs")
        self.app = PanelApp(self.view, lambda: self.now, memory=memory)
        self.size = size

    def play(self, story):
        """Run an async story `(hand, pilot)`."""

        async def whole():
            async with self.app.run_test(size=self.size) as pilot:
                await pilot.pause()
                await story(self, pilot)

        asyncio.run(whole())

    async def wait(self, pilot, time):
        """Let time go by, in pictures of a tenth of a second."""
        for _ in range(round(time * 10)):
            self.now += 0.1
            self.app.frame()
        await pilot.pause()

    def rows(self):
        """Give the picture as rows of text, out of the SVG that the terminal library exports."""
        svg = self.app.export_screenshot()
        cells = re.findall(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', svg)
        rows: dict[float, list[tuple[float, str]]] = {}
        for x, y, text in cells:
            rows.setdefault(float(y), []).append((float(x), html.unescape(text).replace("\N{NO-BREAK SPACE}", " ")))
        lines = []
        for y in sorted(rows):
            row = ""
            for x, text in sorted(rows[y]):
                row = row.ljust(round(x / 12.2)) + text
            lines.append(row.rstrip())
        return lines

    def told(self):
        return str(self.app.query_one("#told").content)


def compare(name, rows):
    """Hold a picture against the stored one."""
    path = PICTURES / f"{name}.txt"
    text = "\n".join(rows) + "\n"
    if os.environ.get("UPDATE_PICTURES"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", [(80, 24), (130, 40), (200, 60)])
def test_pictures(tmp_path, size):
    """From the smallest terminal to a wide one: everything in its place, nothing cut off that is needed."""

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        await pilot.press("enter")
        await hand.wait(pilot, 1.5)
        await pilot.press("4", "down", "down", "down", "enter")
        await hand.wait(pilot, 0.2)
        compare(f"fountain_{size[0]}x{size[1]}", hand.rows())

    Hand(tmp_path, size).play(story)


KEYS_AND_TOLD = (
    ("enter", "start pressed for 200 ms"),
    ("down space", "stop held"),
    ("space", "stop let go"),
    ("down right", "season turned to evening"),
    ("4 slash d r y enter", "points: what has 'dry' in it"),
    ("enter", "lamp_dry forced to True"),
    ("backspace", "lamp_dry let go"),
    ("7 slash f u l l full_stop o p e n enter", "faults: what has 'full.open' in it"),
    ("enter", "basin_full.open_wire: on: "),
    ("s", "one scan, to 2.820 s"),
    ("n", "no step changed for a minute; now at 62.820 s"),
    ("plus", "2 times the pace of the clock"),
    ("minus", "1 times the pace of the clock"),
    ("p", "running"),
    ("o", "power of main is cut"),
    ("c", "power of main is back: cold restart"),
    ("a", "1 acknowledged"),
    ("x", "0 points let go, 1 faults ended"),
    ("1 slash", "desk is not a long list"),
)


def test_keys_do_what_the_help_says(tmp_path):
    """Press, hold, turn, force, seek, switch a fault, stand, scan, step, pace, power, acknowledge, free."""

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        for keys, told in KEYS_AND_TOLD:
            await pilot.press(*keys.split())
            await hand.wait(pilot, 0.2)
            assert (keys, hand.told()[: len(told)]) == (keys, told)

    Hand(tmp_path, (80, 24)).play(story)


def test_mouse(tmp_path):
    """A button is pressed as long as the mouse is, a click uses a line, the wheel moves."""

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        await pilot.mouse_down("#desk", offset=(4, 3))
        await hand.wait(pilot, 1.0)
        held = hand.view.session.rig.value("start.pressed")
        await pilot.mouse_up("#desk", offset=(4, 3))
        await hand.wait(pilot, 0.2)
        await pilot.click("#desk", offset=(4, 5))
        await hand.wait(pilot, 0.2)
        values = hand.view.session.rig
        assert (held, values.value("start.pressed"), values.value("season.position")) == (True, False, 1)
        assert values.value("cycle") == "play"

    Hand(tmp_path, (80, 24)).play(story)


def test_saved_by_a_key(tmp_path, monkeypatch):
    """`w` writes a scenario and its trace; played again it is as expected, to the row."""
    monkeypatch.chdir(tmp_path)

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        await pilot.press("enter")
        await hand.wait(pilot, 3.0)
        await pilot.press("w", "enter")
        await pilot.pause()
        path = tmp_path / "runs" / "fountain-by_hand-1.toml"
        assert hand.told() == f"saved: simplant replay {path.as_posix()}"
        run = run_scenario(hand.machine, read_scenario(path))
        assert run.findings == ()
        assert run.trace.text().splitlines()[7:] == path.with_suffix(".trace").read_text("utf-8").splitlines()[7:]
        await pilot.press("r", "y", "enter")
        assert not hand.view.unsaved
        await pilot.press("w", "ctrl+u", *"no/where.toml", "enter")
        await pilot.pause()
        assert "there is no folder" in hand.told().lower()

    Hand(tmp_path, (80, 24)).play(story)


def test_memory_is_kept(tmp_path):
    """Retained memory is in the file a second after it changed, and is what the next session begins with."""
    path = tmp_path / "fountain.memory.toml"

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        await pilot.press("enter")
        await hand.wait(pilot, 1.5)
        assert read_memory(path, "fountain") == {"plays": 1}
        await pilot.press("q")
        assert hand.told().startswith("what was done is not saved")
        await pilot.press("n", "enter")
        assert hand.told() == "stays: w saves it"
        await pilot.press("q", "y", "enter")

    Hand(tmp_path, (80, 24), Memory(path)).play(story)
    assert path.read_text(encoding="utf-8").splitlines() == [
        "# Retained memory, kept by `simplant panel`; `--cold` clears it.", 'machine = "fountain"', "",
        "[retained]", "plays = 1",
    ]  # fmt: skip


def test_what_ends_a_run_is_told_once(tmp_path):
    """A plant that cannot go on is told on a sheet; the session can be saved up to there, or begun anew."""

    async def story(hand, pilot):
        await hand.wait(pilot, 1.0)
        hand.view.session.do("season", "select", 7)
        await hand.wait(pilot, 0.2)
        assert hand.app.screen.text.startswith("the run cannot go on: 'season' has no position 7.")
        await pilot.press("escape")
        assert "│ ended │" in hand.view.state(80)
        await pilot.press("r", "y", "enter")
        await pilot.pause()
        assert (hand.told(), hand.view.session.at) == ("begun anew", ms(1))
        assert "ended" not in hand.view.state(80)

    Hand(tmp_path, (80, 24)).play(story)


def test_every_key_is_bound(tmp_path):
    """Whatever the table of keys names is a binding, and has an action; the help tells each."""
    app = Hand(tmp_path, (80, 24)).app
    for key in KEYS:
        act = {"next": "focus_next", "now": "quit_now"}.get(key.act, key.act)
        assert hasattr(app, f"action_{act}"), key
        for press in key.press.split(","):
            assert press in app._bindings.key_to_bindings, key
