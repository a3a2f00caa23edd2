"""A sheet over the panel: the keys, a rule told in full, what went wrong.

Rule: any key takes it away.
"""

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from simplant.panel.keys import KEYS


class Sheet(ModalScreen[None]):
    """Some text, until a key is pressed."""

    DEFAULT_CSS = """
    Sheet { align: center middle; }
    Sheet VerticalScroll { width: 76; max-width: 100%; height: auto; max-height: 100%; }
    Sheet VerticalScroll { border: round white; padding: 0 1; }
    Sheet Static { width: 100%; }
    """

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text

    def compose(self) -> ComposeResult:
        """Show the text."""
        with VerticalScroll():
            yield Static(self.text, markup=False)

    def on_key(self, event: events.Key) -> None:
        """Go away; the cursor keys move in a long text."""
        if event.key not in ("up", "down", "pageup", "pagedown", "home", "end"):
            event.stop()
            self.dismiss()

    def on_click(self) -> None:
        """Go away."""
        self.dismiss()


def help_text() -> str:
    """Give the keys as lines of two columns."""
    lines = [
        f"{key.shown:<11} {key.does}" if len(key.shown) < 12 else f"{key.shown}\n{'':<11} {key.does}" for key in KEYS
    ]
    return "\n".join([*lines, "", "What is seen here proves nothing about the safety of the real machine."])
