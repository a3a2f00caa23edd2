"""The keys of the panel: what each is called, and what it does; the help screen and the README are made of this.

Rule: a key that is not here does nothing.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Key:
    """One key: as the terminal calls it, as people see it, the act, and what it does."""

    press: str
    shown: str
    act: str
    does: str


KEYS: Final = (
    Key("1,2,3,4,5,6,7,8", "1 to 8", "choose", "show a pane: desk, plan, alarms, points, steps, rules, faults, log"),
    Key("z", "z", "alone", "give the pane the whole screen, or put it back"),
    Key("tab", "Tab", "next", "go to the next pane that is seen (Shift+Tab: back)"),
    Key("up,down,pageup,pagedown,home,end", "↑ ↓ PgUp PgDn Home End", "move", "move in a pane"),
    Key("enter", "Enter", "use", "press for 0.2 s, turn, open; force to the other value; switch a fault; acknowledge"),
    Key("space", "Space", "hold", "press and hold a button; again: let go"),
    Key("left,right", "← →", "turn", "turn a selector; force to 0 or 1"),
    Key("backspace,delete", "Backspace", "clear", "let a forced point go"),
    Key("slash", "/", "seek", "narrow a long pane down to what has a text in it; empty: all again"),
    Key("a", "a", "acknowledge", "acknowledge all alarms"),
    Key("p", "p", "stand", "stand still, or run on"),
    Key("plus,equals_sign", "+", "faster", "run faster, to 100 times the pace of the clock"),
    Key("minus", "-", "slower", "run slower, to a tenth of it"),
    Key("s", "s", "scan", "stand still and go on by one scan"),
    Key("n", "n", "step", "stand still and go on until a step changes, a minute at most"),
    Key("o", "o", "power", "cut the power of the main controller, or give it back: a warm restart"),
    Key("c", "c", "cold", "give the power back, or cut it, with a cold restart: retained memory is cleared"),
    Key("x", "x", "free", "let all forced points go and end all faults"),
    Key("r", "r", "anew", "begin the run anew; what was done so far is dropped unless it was saved"),
    Key("w", "w", "save", "save what was done so far as a scenario, with its trace"),
    Key("question_mark,f1", "?", "help", "these keys"),
    Key("q", "q", "leave", "leave the panel; retained memory is kept, what was done and not saved is asked for"),
    Key("ctrl+q", "Ctrl+Q", "now", "leave at once"),
)  # fmt: skip
