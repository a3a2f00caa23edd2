"""What a pane is: lines for its width, and what can be done on them.

Drawing is screen/board.py. Rule: a pane knows the session and nothing of keys or terminals, so it is tested as text.
"""

from simplant.panel.lines import Line
from simplant.panel.session import Session


class Pane:
    """One view of a session. `NAME` is its tab; `sought` narrows a long one down."""

    NAME = ""
    LONG = False
    """It may be longer than the screen, and can be narrowed down by a text."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.sought = ""

    def lines(self, width: int) -> list[Line]:
        """Give all lines for a width in columns."""
        raise NotImplementedError

    def use(self, key: str) -> str:
        """Do the main thing with a line (Enter, a click); give what to tell, or ""."""
        return ""

    def hold(self, key: str, *, down: bool) -> bool:
        """Press and hold, or let go; say whether this is a line for that."""
        return False

    def turn(self, key: str, by: int) -> str:
        """Turn to the next or the one before (cursor right, left)."""
        return ""

    def clear(self, key: str) -> str:
        """Take back what was done to a line (Backspace)."""
        return ""

    def asks(self, key: str) -> str:
        """Give what a line asks to be typed in when it is used, or "" if nothing."""
        return ""

    def answer(self, key: str, text: str) -> str:
        """Take what was typed in for a line; give what to tell."""
        return ""

    def found(self, *texts: str) -> bool:
        """Say whether what is sought is in one of some texts."""
        return not self.sought or any(self.sought.lower() in text.lower() for text in texts)
