"""A pane on the screen: its lines, a cursor, and what keys and mouse do on them.

Rule: only rows that changed are drawn again.
"""

from collections.abc import Callable

from rich.segment import Segment
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from simplant.panel.arrange import DESK
from simplant.panel.lines import Line
from simplant.panel.pane import Pane
from simplant.panel.screen.looks import CURSOR, STYLES, TITLE, TITLE_AT


class Board(Widget, can_focus=True):
    """One pane with its title; the first row is the title, the others show lines from `top` on."""

    class Told(Message):
        """Something was done here; `text` says what."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class Asked(Message):
        """A line wants something typed in."""

        def __init__(self, board: "Board", key: str, prompt: str) -> None:
            super().__init__()
            self.board, self.key, self.prompt = board, key, prompt

    def __init__(self, pane: Pane, number: int, *, follow: bool = False) -> None:
        super().__init__(id=pane.NAME)
        self.pane = pane
        self.number = number
        self.rows: list[Line] = []
        self.top = self.at = 0
        self.follow = follow
        """Stay at the end as lines come."""
        self.fresh = True
        """Go to the first line that one can act on, as soon as there are lines."""
        self._shown: list[object] = []
        self._pressed = ""

    # Drawing

    def update(self) -> None:
        """Take the lines as they now are, and have drawn again what changed."""
        width, height = self.size.width, self.size.height
        before, self.rows = self.key, self.pane.lines(width - 1 if width > 1 else DESK)
        self._stay(before)
        if self.follow:
            self.at = max(0, len(self.rows) - 1)
        elif self.fresh and self.rows:
            self.fresh, self.at = False, next((n for n, row in enumerate(self.rows) if row.key), 0)
        self.at = min(self.at, max(0, len(self.rows) - 1))
        if height < 2:
            return  # not laid out yet, but what was typed ahead finds its lines
        self._scroll(height - 1)
        now = [self._row(y) for y in range(height)]
        if len(now) != len(self._shown):
            self.refresh()
        else:
            changed = [Region(0, y, width, 1) for y in range(height) if now[y] != self._shown[y]]
            if changed:
                self.refresh(*changed)
        self._shown = now

    def _stay(self, key: str) -> None:
        """Stay on what the cursor was on, and under the mouse, though lines came or went above it."""
        places = [n for n, row in enumerate(self.rows) if row.key == key] if key else []
        if places:
            place = min(places, key=lambda n: abs(n - self.at))
            self.top += place - self.at if self.top else 0
            self.at = place

    def _scroll(self, height: int) -> None:
        """Keep the cursor in sight."""
        self.top = max(0, min(self.top, self.at, max(0, len(self.rows) - height)))
        if self.at >= self.top + height:
            self.top = self.at - height + 1

    def _row(self, y: int) -> object:
        """Give all that decides how a row looks."""
        if y == 0:
            return self._title(), self.has_focus
        n = self.top + y - 1
        return (self.rows[n], n == self.at, self.has_focus) if n < len(self.rows) else None

    def _title(self) -> str:
        height = self.size.height - 1
        seen = ""
        if len(self.rows) > height > 0:
            seen = f"{self.top + 1}-{min(len(self.rows), self.top + height)} of {len(self.rows)}"
        sought = f" /{self.pane.sought}" if self.pane.sought else ""
        left = f" {self.number} {self.pane.NAME}{sought}"
        return left + seen.rjust(max(0, self.size.width - len(left) - 1)) + " "

    def render_line(self, y: int) -> Strip:
        """Draw one row."""
        width = self.size.width
        row = self._row(y)
        if y == 0:
            strip = Strip([Segment(self._title(), TITLE_AT if self.has_focus else TITLE)])
            return strip.adjust_cell_length(width, TITLE_AT if self.has_focus else TITLE).apply_style(self.rich_style)
        if not isinstance(row, tuple):
            return Strip.blank(width, self.rich_style)
        shown, at, focus = row
        strip = Strip([Segment("►" if at and focus else " "), *(Segment(t, STYLES[look]) for t, look in shown.spans)])
        strip = strip.adjust_cell_length(width)
        if at and focus and shown.key:
            strip = strip.apply_style(CURSOR)
        return strip.apply_style(self.rich_style)

    # Keys

    @property
    def key(self) -> str:
        """What the line at the cursor stands for."""
        return self.rows[self.at].key if self.at < len(self.rows) else ""

    def move(self, by: int) -> None:
        """Move the cursor by so many lines, on to the next that one can act on if there are such."""
        self.at = max(0, min(len(self.rows) - 1, self.at + by))
        if abs(by) == 1 and any(row.key for row in self.rows):
            while not self.key and 0 < self.at < len(self.rows) - 1:
                self.at += by
        self.follow = self.pane.NAME == "log" and self.at >= len(self.rows) - 1
        self.update()

    def page(self) -> int:
        """Give how many lines are seen."""
        return max(1, self.size.height - 1)

    def use(self) -> "Board.Asked | None":
        """Do the main thing with the line at the cursor; give what it asks, if it wants something typed in."""
        if self.key and (prompt := self.pane.asks(self.key)):
            return self.Asked(self, self.key, prompt)
        self._tell(lambda: self.pane.use(self.key) if self.key else "")
        return None

    def hold(self) -> None:
        """Press and hold a button, or let it go."""
        if self.key:
            down = not self.pane.session.holds(self.key)
            if self.pane.hold(self.key, down=down):
                self.post_message(self.Told(f"{self.key} {'held' if down else 'let go'}"))

    def turn(self, by: int) -> None:
        """Turn by one."""
        self._tell(lambda: self.pane.turn(self.key, by) if self.key else "")

    def clear_line(self) -> None:
        """Take back what was done to the line."""
        self._tell(lambda: self.pane.clear(self.key) if self.key else "")

    def _tell(self, act: Callable[[], str]) -> None:
        if text := act():
            self.post_message(self.Told(text))
        self.update()

    # Mouse

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Go to the line; a button is pressed as long as the mouse is."""
        n = self.top + event.y - 1
        self.focus()
        if not 0 <= n < len(self.rows) or event.y == 0:
            return
        self.at, self.follow = n, False
        if self.key and self.pane.hold(self.key, down=True):
            self._pressed = self.key
            self.capture_mouse()
        elif asked := self.use():
            self.post_message(asked)
        self.update()

    def on_mouse_up(self, _event: events.MouseUp) -> None:
        """Let a button go."""
        if self._pressed:
            self.pane.hold(self._pressed, down=False)
            self.post_message(self.Told(f"{self._pressed} pressed"))
            self._pressed = ""
            self.release_mouse()

    def on_mouse_scroll_up(self, _event: events.MouseScrollUp) -> None:
        """Move up."""
        self.move(-3)

    def on_mouse_scroll_down(self, _event: events.MouseScrollDown) -> None:
        """Move down."""
        self.move(3)

    def on_resize(self) -> None:
        """Draw anew."""
        self._shown = []
        self.update()
