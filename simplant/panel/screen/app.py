"""The panel as an application: the session paced by the clock it is given, its panes, and the keys for all of it.

A pane is board.py; where they stand is arrange.py. Rule: this is the edge where machine time meets the wall clock; what
happens in the session depends on neither pace nor drawing.
"""

from collections.abc import Callable
from pathlib import Path
from typing import ClassVar, Final

from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.widgets import Static

from simplant.errors import SimplantError
from simplant.panel.arrange import NAMES, alone, arrange
from simplant.panel.memory import Memory
from simplant.panel.screen.asking import Asking
from simplant.panel.screen.bindings import bindings
from simplant.panel.screen.board import Board
from simplant.panel.screen.sheet import Sheet, help_text
from simplant.panel.view import View

FRAME: Final = 0.1
"""Seconds from one picture to the next."""


class PanelApp(App[str]):
    """The panel.

    Args:
        view: the session with its panes.
        clock: gives seconds of the wall clock.
        pace: machine seconds per second.
        memory: where retained memory is kept, or None.
    """

    TITLE = "simplant panel"
    BINDINGS: ClassVar[list[BindingType]] = bindings()
    ENABLE_COMMAND_PALETTE = False
    CSS = """
    Screen { layout: vertical; }
    #state, #told, #hints { height: 1; width: 100%; }
    #hints { text-style: dim; }
    #state { text-style: bold; }
    #panes { height: 1fr; width: 100%; }
    Board { position: absolute; display: none; }
    Board.seen { display: block; }
    """

    def __init__(
        self, view: View, clock: Callable[[], float], *, pace: float = 1.0, memory: Memory | None = None
    ) -> None:
        super().__init__()
        self.view = view
        self.memory = memory
        self.boards = {
            pane.NAME: Board(pane, n, follow=pane.NAME == "log") for n, pane in enumerate(view.panes, start=1)
        }
        self._state, self._told, self._hints = (Static(id=name, markup=False) for name in ("state", "told", "hints"))
        self.chosen = "points"
        self.alone = False
        self._clock = clock
        self._last = clock()
        self._asking: Asking | None = None
        view.pace.set(pace)

    def compose(self) -> ComposeResult:
        """Make the widgets."""
        yield self._state
        with Container(id="panes"):
            yield from self.boards.values()
        yield self._told
        yield self._hints

    def on_mount(self) -> None:
        """Begin."""
        self._last = self._clock()
        self.boards["desk"].focus()
        self.set_interval(FRAME, self.frame)

    def on_resize(self, event: events.Resize) -> None:
        """Place the panes anew."""
        self._place(event.size.width, event.size.height)

    def _place(self, width: int, height: int) -> None:
        place_of = alone if self.alone else arrange
        places = place_of(width, max(4, height - 3), self.chosen)
        for name, board in self.boards.items():
            board.set_class(name in places, "seen")
            if name in places:
                place = places[name]
                board.styles.offset = (place.x, place.y)
                board.styles.width, board.styles.height = place.width, place.height
        self._hints.update(self.view.hints(width))
        self.call_after_refresh(self.draw)

    # Time

    def frame(self) -> None:
        """Bring the session on by what the clock says, and draw what changed."""
        if not self._state.is_attached:
            return  # the screen is being taken down
        now = self._clock()
        self.view.pace.run(self.view.session, now - self._last, self._clock)
        self._last = now
        self.draw()
        if self.memory is not None:
            self.memory.keep(self.view.session, now)

    def draw(self) -> None:
        """Draw what changed."""
        self.view.follow()
        text = self.view.state(self.size.width)
        if self._state.content != text:
            self._state.update(text)
        for board in self.boards.values():
            if board.has_class("seen"):
                board.update()
        if broken := self.view.news():
            self.push_screen(Sheet(broken))

    def tell(self, text: str) -> None:
        """Show what was done; a long text on a sheet."""
        if "\n" in text:
            self.push_screen(Sheet(text))
        elif text:
            self._told.update(text)

    def on_board_told(self, message: Board.Told) -> None:
        """Show what was done on a pane."""
        self.tell(message.text)

    # Asking

    def on_board_asked(self, message: Board.Asked) -> None:
        """Let something be typed in for a line."""
        self._ask(message.prompt, "", lambda text: message.board.pane.answer(message.key, text))

    def _ask(self, prompt: str, given: str, then: Callable[[str], str]) -> None:
        self._asking = Asking(prompt, given, then)
        self._told.update(self._asking.shown())

    async def on_event(self, event: events.Event) -> None:
        """Take what is typed in as long as something is asked; all else goes its way."""
        if self._asking is None or not isinstance(event, events.Key | events.Paste):
            await super().on_event(event)
        elif isinstance(event, events.Paste):
            self._asking.text += " ".join(event.text.split())
            self._told.update(self._asking.shown())
        else:
            self._type(self._asking, event)

    def _type(self, asking: Asking, event: events.Key) -> None:
        told = asking.type(event)
        if told is None:
            self._told.update(asking.shown())
        else:
            self._asking = None
            self.tell(told)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Keys act on the panel only while no sheet lies on it."""
        return not isinstance(self.screen, Sheet)

    # Keys

    @property
    def board(self) -> Board:
        """The pane that has the keys."""
        return self.focused if isinstance(self.focused, Board) else self.boards["desk"]

    def action_choose(self, key: str) -> None:
        """Show a pane and go there."""
        self.chosen = NAMES[int(key) - 1]
        self._place(self.size.width, self.size.height)
        self.screen.set_focus(self.boards[self.chosen])

    def action_alone(self) -> None:
        """Give the pane the whole screen, or put it back."""
        self.alone, self.chosen = not self.alone, self.board.pane.NAME
        self._place(self.size.width, self.size.height)

    def action_move(self, key: str) -> None:
        """Move in the pane."""
        page, all_ = self.board.page(), len(self.board.rows)
        self.board.move({"up": -1, "down": 1, "pageup": -page, "pagedown": page, "home": -all_, "end": all_}[key])

    def action_use(self) -> None:
        """Do the main thing."""
        if asked := self.board.use():
            self.on_board_asked(asked)

    def action_hold(self) -> None:
        """Press and hold, or let go."""
        self.board.hold()

    def action_turn(self, key: str) -> None:
        """Turn."""
        self.board.turn(1 if key == "right" else -1)

    def action_clear(self) -> None:
        """Take back."""
        self.board.clear_line()

    def action_seek(self) -> None:
        """Narrow a pane down."""
        board = self.board
        if not board.pane.LONG:
            self.tell(f"{board.pane.NAME} is not a long list")
            return

        def seek(text: str) -> str:
            board.pane.sought, board.fresh, board.top = text.strip(), True, 0
            board.update()
            return f"{board.pane.NAME}: what has {text.strip()!r} in it" if text.strip() else f"{board.pane.NAME}: all"

        self._ask(f"in {board.pane.NAME}, look for", board.pane.sought, seek)

    def action_acknowledge(self) -> None:
        """Acknowledge all alarms."""
        self.tell(self.view.acknowledge())

    def action_stand(self) -> None:
        """Stand still or run on."""
        self.tell(self.view.pace.stand())

    def action_faster(self) -> None:
        """Run faster."""
        self.tell(self.view.pace.change(1))

    def action_slower(self) -> None:
        """Run slower."""
        self.tell(self.view.pace.change(-1))

    def action_scan(self) -> None:
        """Go on by one scan."""
        self.tell(self.view.scan())

    def action_step(self) -> None:
        """Go on to the next step."""
        self.tell(self.view.step())

    def action_power(self) -> None:
        """Cut the power or give it back, warm."""
        self.tell(self.view.power(cold=False))

    def action_cold(self) -> None:
        """Cut the power or give it back, cold."""
        self.tell(self.view.power(cold=True))

    def action_free(self) -> None:
        """Let all points go, end all faults."""
        self.tell(self.view.free())

    def action_anew(self) -> None:
        """Begin anew."""
        self._ask("begin anew and drop what was done? y or n", "", lambda text: self.view.anew(sure=text == "y"))

    def action_save(self) -> None:
        """Save the session."""

        def save(text: str) -> str:
            try:
                return self.view.save(Path(text.strip()))
            except SimplantError as error:
                return str(error)

        self._ask("save as", str(self.view.next_file()), save)

    def action_help(self) -> None:
        """Show the keys."""
        self.push_screen(Sheet(help_text()))

    def action_leave(self) -> None:
        """Leave; what is not saved is asked for first."""
        if self.view.unsaved:
            self._ask("what was done is not saved: leave all the same? y or n", "", self._left)
        else:
            self.action_quit_now()

    def _left(self, text: str) -> str:
        if text == "y":
            self.action_quit_now()
        return "stays: w saves it"

    def action_quit_now(self) -> None:
        """Leave at once."""
        if self.memory is not None:
            self.memory.keep(self.view.session, float("inf"))
        self.exit()
