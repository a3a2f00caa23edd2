"""The keys of the panel as the terminal library binds them.

What there is stands in panel/keys.py. Rule: all of them belong to the application, which takes them one by one.
"""

from textual.binding import Binding, BindingType

from simplant.panel.keys import KEYS

_CALLED = {"next": "focus_next", "now": "quit_now"}
"""Acts whose action has another name."""


def bindings() -> list[BindingType]:
    """Make the bindings; acts of several keys are told which one it was."""
    found: list[BindingType] = []
    for key in KEYS:
        for press in key.press.split(","):
            argument = f"('{press}')" if key.act in ("choose", "move", "turn") else ""
            found.append(
                Binding(press, f"{_CALLED.get(key.act, key.act)}{argument}", key.does, show=False, priority=True)
            )
    return found
