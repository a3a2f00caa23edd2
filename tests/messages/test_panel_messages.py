"""What is said when a panel cannot be opened, or what machine.toml says of it is wrong: smallest mistake, whole text.

The session itself is tests/panel/. Rule: exit code 2, one message on standard error.
"""

import socket
import sys

import pytest

from simplant.cli import main
from tests.panel.fountain import lay_out

TABLE = {
    "unknown key": (
        'positions = { season = ["day", "evening"] }', 'positons = { season = ["day"] }',
        "programs/fountain/machine.toml:LINE: there is no key 'panel.positons'. Close in spelling: positions.",
    ),
    "part to be coloured": (
        'colours = { start = "white", stop = "black" }', 'colours = { strat = "white" }',
        "programs/fountain/machine.toml:LINE: there is no part 'strat' to be coloured. Close in spelling: start.",
    ),
    "colour": (
        'colours = { start = "white", stop = "black" }', 'colours = { start = "pink" }',
        "programs/fountain/machine.toml:LINE: 'pink' is no colour of a lamp or button. "
        "One of: red, yellow, green, blue, white, black, grey.",
    ),
    "selector": (
        'positions = { season = ["day", "evening"] }', 'positions = { start = ["day"] }',
        "programs/fountain/machine.toml:LINE: there is no selector 'start'. Known: season.",
    ),
    "display": (
        '"level m" = "basin.level"', '"level m" = "basin.levle"',
        "programs/fountain/machine.toml:LINE: panel.shows names 'basin.levle', which is not there. "
        "Close in spelling: basin.level, basin_full.level, basin_full.",
    ),
    "message": (
        '"the fountain plays" = "pump_cmd"', '"the fountain plays" = "pump"',
        "programs/fountain/machine.toml:LINE: panel.messages names 'pump', which is not there. "
        "Close in spelling: pump_cmd, pump.dry, pump.flow.",
    ),
}  # fmt: skip


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lay_out(tmp_path)


def said(capsys, *words):
    """Give what a panel says instead of opening."""
    assert main(["panel", "fountain", *words]) == 2
    return capsys.readouterr().err.removeprefix("simplant: ").removesuffix("\n")


@pytest.mark.parametrize("case", TABLE)
def test_the_table_of_the_panel(case, folder, capsys):
    """Each name and colour of `[panel]` is one that there is."""
    before, after, message = TABLE[case]
    path = folder / "machine.toml"
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after), encoding="utf-8")
    line = text.partition(before)[0].count("\n") + 1
    assert said(capsys) == message.replace("LINE", str(line))


FILE = "programs/fountain.memory.toml"
AWAY, CLEAR = "Start with --cold, or take the file away.", "Start with --cold, which clears it."
MEMORY = {
    "no TOML": (
        "plays", f"{FILE} is no file of retained memory. "
        f"Expected '=' after a key in a key/value pair (at end of document). {AWAY}",
    ),
    "other keys": ("tosses = 3", f"{FILE} is no file of retained memory. It has other keys. {AWAY}"),
    "other machine": ('machine = "pond"\n[retained]', f"{FILE} is of 'pond', not of 'fountain'. {AWAY}"),
    "unknown tag": (
        'machine = "fountain"\n[retained]\nplay = 3',
        f"{FILE}: there is no retained tag 'play'. {CLEAR}",
    ),
    "wrong type": (
        'machine = "fountain"\n[retained]\nplays = true',
        f"{FILE}: INT cannot hold True. It is a BOOL, not a integer. {CLEAR}",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MEMORY)
def test_a_spoilt_file_of_memory(case, folder, capsys):
    """It is told what is wrong with it, and how to begin without it; and that does help."""
    text, message = MEMORY[case]
    (folder.parent / "fountain.memory.toml").write_text(text, encoding="utf-8")
    assert said(capsys) == message
    assert said(capsys, "--cold") == NO_TERMINAL


NO_TERMINAL = "the panel needs a terminal. Run it in one, or give --browser."


def test_no_terminal(folder, capsys):
    """Without a terminal there is nothing to draw on."""
    assert said(capsys) == NO_TERMINAL


@pytest.mark.parametrize("pace", ["0.01", "200", "nan"])
def test_pace(pace, folder, capsys):
    """A pace is one that there is."""
    assert said(capsys, "--pace", pace) == f"the pace cannot be {float(pace):g}. Choose 0.1 to 100."


def test_port(folder, capsys):
    """A port that is taken is told, with a way out."""
    pytest.importorskip("textual_serve", reason="textual-serve comes with the extra `panel`")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
        told = said(capsys, "--browser", "--port", str(port))
    assert told == f"port {port} is taken. Address already in use. Give another with --port, or 0."


def test_library_that_is_not_there(folder, capsys, monkeypatch):
    """The extra is named, where its library is missing."""
    monkeypatch.setitem(sys.modules, "textual_serve.server", None)
    told = said(capsys, "--browser")
    assert told.startswith("the panel needs a library that is not there. ")
    assert told.endswith('Pip install "simplant[panel]".')
