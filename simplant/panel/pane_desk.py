"""The machine's own operator panel: lamps, messages, buttons, selectors, doors, displays, and what else people do.

What is on it is devices.py. Rule: everything done here is an act of somebody at the machine, as a scenario writes it.
"""

from math import isfinite
from typing import Final

from simplant.errors import SimplantError
from simplant.logic.sequence import Sequence_
from simplant.panel.devices import Devices
from simplant.panel.lines import Line, Span, fit, line, wrapped
from simplant.panel.pane import Pane
from simplant.panel.session import TAP, Session
from simplant.timebase import Ns, show
from simplant.values import BOOL, TIME, Value

_LIT: Final = {"sound": "strong", "black": "strong", "grey": "strong"}


class DeskPane(Pane):
    """The operator panel."""

    NAME = "desk"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.devices = Devices(session.machine)
        self._most = 1
        self._declared = session.machine.program.declared

    def lines(self, width: int) -> list[Line]:
        """Give all devices."""
        lines = [*self._lamps(width), *self._messages(width)]
        lines += [self._device(part, width) for part in self.devices.panel]
        lines += [self._shown(caption, name, width) for caption, name in self.devices.shows.items()]
        lines += [self._set(tag, width) for tag in self.session.machine.file.machine.panel]
        return lines + [self._other(part, action, width) for part, action in self.devices.others]

    # What it shows

    def _lamps(self, width: int) -> list[Line]:
        spans: list[Span] = []
        for lamp, colour in self.devices.lamps.items():
            lit = self.session.rig.value(f"{lamp}.lit")
            text = lamp if colour in ("sound", *lamp.split("_")) else f"{lamp}\N{NO-BREAK SPACE}{colour}"
            mark = ("♪" if lit else "-") if colour == "sound" else "■" if lit else "□"
            spans += [(f"{mark}\N{NO-BREAK SPACE}{text}", _LIT.get(colour, colour) if lit else "dark"), ("  ", "")]
        return [line(*told) for told in wrapped(spans, width, 0)]

    def _messages(self, width: int) -> list[Line]:
        rig, charts = self.session.rig, self.session.machine.program.charts
        texts = [text for text, name in self.devices.messages.items() if self._value(name) is True]
        if not self.devices.messages:
            texts = [self._step(str(rig.value(name)), chart) for name, chart in charts.items()]
        told = [line(*row) for text in texts for row in wrapped([(f"» {text}", "strong")], width, 2)]
        self._most = max(self._most, len(told))  # what stands below does not move whenever a message goes
        return [*told, *([line(" ")] * (self._most - len(told)))]

    @staticmethod
    def _step(active: str, sequence: Sequence_) -> str:
        """Give what a step is for; its name where that is not said."""
        chart = sequence.chart
        return (chart.step(active).description if chart is not None else "") or active

    def _shown(self, caption: str, name: str, width: int) -> Line:
        value = self._value(name)
        kind = self._declared[name].type if name in self._declared else None
        told = (
            show(Ns(value))
            if kind is TIME and isinstance(value, int)
            else f"{value:.4g}"
            if isinstance(value, float)
            else str(value)
        )
        return line(fit(f"  {caption}", width - 13), (f"{told:>12}", "strong"))

    def _value(self, name: str) -> object:
        """Give a value; of a tag that the program never uses, and so does not store, say that."""
        stored = self.session.rig.loop.blueprint.names.index
        return self.session.rig.value(name) if name in stored else "unused"

    def _set(self, tag: str, width: int) -> Line:
        told = str(self._value(tag))
        return line(fit(f"= {tag}", width - 13), (f"{told:>12}", "strong"), key=f"= {tag}")

    # What is acted on

    def _device(self, part: str, width: int) -> Line:
        colour, caption = self.devices.colours.get(part, ""), self.devices.caption(part)
        if self.devices.kinds[part] == "selector":
            position = self.session.rig.value(f"{part}.position")
            return line(
                fit(f"◊ {caption}", 16),
                (f"◄ {self.devices.positions_of(part)[position]} ►", "strong"),
                key=part,
            )
        if opposed := self.devices.opposed(part):
            truth, there, _ = opposed
            state = bool(self.session.rig.value(f"{part}.{truth}"))
            mark = ("○●" if self.devices.kinds[part] == "emergency_stop" else "□■")[state]
            told = truth.upper() if state else {"press": "released", "open": "closed"}.get(there, "free")
            return line(fit(f"{mark} {caption}", 16), (told, "bad" if state else ""), key=part)
        pressed = self.session.rig.value(f"{part}.pressed")
        state_text = "HELD" if self.session.holds(part) else "PRESSED" if pressed else ""
        cap: Span = (f" ({colour})" if colour else "", "faint")
        return line(f"{'●' if pressed else '○'} ", fit(caption, 14), (state_text, "strong"), cap, key=part)

    def _other(self, part: str, action: str, width: int) -> Line:
        return line((fit(f"· {part}: {action}", width).rstrip(), ""), key=f"{part} {action}")

    def use(self, key: str) -> str:
        """Press shortly, turn on by one, open or close, or do what the line says."""
        part, _, action = key.partition(" ")
        if action:
            return self._do(part, action)
        if self.devices.kinds[part] == "push_button":
            self.session.do(part, "press", lasts=TAP)
            return f"{part} pressed for {show(TAP)}"
        if opposed := self.devices.opposed(part):
            truth, there, back = opposed
            return self._do(part, back if self.session.rig.value(f"{part}.{truth}") else there)
        return self.turn(part, 1)

    def _do(self, part: str, action: str, value: float | None = None) -> str:
        if refusal := self.devices.refusal(part, action, value):  # before it ends the run
            raise refusal
        self.session.do(part, action, value)
        return f"{part}: {action}" if value is None else f"{part}: {action} {value:g}"

    def hold(self, key: str, *, down: bool) -> bool:
        """Press a button and hold it, or let it go."""
        if self.devices.kinds.get(key) != "push_button":
            return False
        if down:
            self.session.do(key, "press")
        else:
            self.session.let_go(key, least=TAP)
        return True

    def turn(self, key: str, by: int) -> str:
        """Turn a selector."""
        if self.devices.kinds.get(key) != "selector":
            return ""
        names = self.devices.positions_of(key)
        wanted = min(len(names) - 1, max(0, self.session.rig.value(f"{key}.position") + by))
        self.session.do(key, "select", wanted)
        return f"{key} turned to {names[wanted]}"

    def asks(self, key: str) -> str:
        """A set point is typed in, and what an action takes."""
        part, _, action = key.partition(" ")
        if part == "=":
            return f"{action} ({self._declared[action].type.name})"
        meaning = self.devices.meaning(part, action) if action else ""
        return f"{part} {action}: {meaning}" if "(value:" in meaning or "m3/s" in meaning else ""

    def answer(self, key: str, text: str) -> str:
        """Take it."""
        part, _, action = key.partition(" ")
        try:
            if part == "=":
                self.session.write(action, self._typed(action, text))
                return f"{action} set to {text}"
            number = float(text or "nan")
            return self._do(part, action, number if isfinite(number) else None)
        except ValueError:
            wanted = self._declared[action].type.name if part == "=" else "number"
            return f"{text!r} cannot be taken: it is no {wanted}"
        except SimplantError as error:
            return f"{text!r} cannot be taken: {error}"

    def _typed(self, tag: str, text: str) -> Value:
        kind = self._declared[tag].type
        if kind is BOOL:
            return kind.check({"0": False, "1": True}[text.strip()] if text.strip() in ("0", "1") else text)
        return kind.check(float(text) if isinstance(kind.default, float) else int(text))
