"""A real terminal: start, a limit's wire pulled, the trip, the reset, saved, and replayed as expected.

Skipped where there is no pseudo-terminal (Windows) or no pexpect.
"""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from simplant import Machine
from simplant.panel.devices import Devices
from simplant.scenario.memory_file import read_memory

ROOT = Path(__file__).parents[2]
pexpect = pytest.importorskip("pexpect", reason="pexpect comes with the extra `dev`")
pytest.importorskip("textual", reason="textual comes with the extra `panel`")
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(pexpect, "spawn"), reason="there is no pseudo-terminal"),
]
UP, DOWN, RIGHT, ENTER = "\x1b[A", "\x1b[B", "\x1b[C", "\r"


class Terminal:
    """The panel in a terminal of 80 by 24."""

    def __init__(self, folder):
        shutil.copytree(ROOT / "programs/comet_toss", folder / "programs/comet_toss")
        call = ["-m", "simplant", "panel", "comet_toss", "--pace", "5"]
        env = {"TERM": "xterm-256color", "PATH": "", "PYTHONPATH": str(ROOT), "LANG": "C.UTF-8"}
        self.child = pexpect.spawn(
            sys.executable, call, cwd=folder, env=env, dimensions=(24, 80), encoding="utf-8", timeout=60
        )
        self.order = Devices(Machine.load(ROOT / "programs/comet_toss")).panel
        self.at = 0

    def see(self, text):
        self.child.expect_exact(text)

    def go(self, part):
        """Go to a device on the desk."""
        by = self.order.index(part) - self.at
        self.at += by
        for _ in range(abs(by)):
            self.child.send(DOWN if by > 0 else UP)

    def send(self, keys):
        self.child.send(keys)

    def press(self, part):
        self.go(part)
        self.child.send(ENTER)


STORY = (
    ("see", "running │ cycle: off"),
    ("press", "reset"),
    ("see", "cycle: ready"),
    ("go", "mode"),
    ("send", RIGHT),
    ("see", "mode turned to"),
    ("press", "start"),
    ("see", "cycle: home_lift"),
    ("send", f"7/table_at_left.open{ENTER}{ENTER}"),
    ("see", "table_at_left.open_wire: on"),
    ("send", "++"),
    ("see", "cycle: tripped"),
    ("see", "1 new alarm"),
    ("send", "ax1"),
    ("see", "1 faults ended"),
    ("press", "reset"),
    ("see", "cycle: off"),
    ("press", "reset"),
    ("see", "cycle: ready"),
    ("send", f"w{ENTER}"),
    ("see", "saved: simplant replay runs/comet_toss-by_hand-1.toml"),
    ("send", "q"),
    ("see", "proves nothing about the safety"),
)


def test_a_session_of_a_technician(tmp_path):
    """What is done in the terminal is done to the machine; what is saved of it replays to the same trace."""
    panel = Terminal(tmp_path)
    for what, text in STORY:
        getattr(panel, what)(text)
    panel.child.expect(pexpect.EOF)
    panel.child.close()
    assert panel.child.exitstatus == 0
    assert read_memory(tmp_path / "programs/comet_toss.memory.toml", "comet_toss")["tosses"] == 0
    done = subprocess.run(
        [sys.executable, "-m", "simplant", "replay", "runs/comet_toss-by_hand-1.toml"],
        cwd=tmp_path, env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert (done.returncode, "same trace" in done.stdout) == (0, True), done.stdout
