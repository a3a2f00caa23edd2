"""A line that is typed in: what is asked, what was typed so far, and who takes it.

Rule: each key is taken the moment it comes, so that a line typed ahead of the screen ends where it was meant to.
"""

from collections.abc import Callable
from dataclasses import dataclass

from textual import events


@dataclass(slots=True)
class Asking:
    """One question. `then` takes the answer and gives what to tell."""

    prompt: str
    text: str
    then: Callable[[str], str]

    def type(self, event: events.Key) -> str | None:
        """Take a key; give what to tell if that was the last one, else None."""
        match event.key:
            case "enter":
                return self.then(self.text)
            case "escape":
                return "left as it was"
            case "backspace":
                self.text = self.text[:-1]
            case "ctrl+u":
                self.text = ""
            case _ if event.character is not None and event.is_printable:
                self.text += event.character
        return None

    def shown(self) -> str:
        """Give the line as it is shown."""
        return f"{self.prompt}: {self.text}▏ (Enter, or Esc to leave it)"
