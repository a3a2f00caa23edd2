"""The fault catalogue: every failure mode of every part and point, switched on and off.

Rule: those that are on stand at the top, so none is forgotten.
"""

from simplant.faults import CatalogueEntry
from simplant.panel.lines import Line, fit, line
from simplant.panel.pane import Pane
from simplant.panel.session import Session


class FaultsPane(Pane):
    """The catalogue."""

    NAME = "faults"
    LONG = True

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._entries = {str(entry): entry for entry in session.machine.catalogue}
        self._kept: tuple[object, list[Line]] = (None, [])

    def lines(self, width: int) -> list[Line]:
        """Give those that are on, then all by their target."""
        on = tuple(str(fault) for fault in self.session.faults_on())
        state = (on, width, self.sought)
        if self._kept[0] != state:
            self._kept = (state, self._made(on, width))
        return self._kept[1]

    def _made(self, on: tuple[str, ...], width: int) -> list[Line]:
        lines = [line((fit(f"■ {name}", width).rstrip(), "bad"), key=name) for name in on if name in self._entries]
        lines.append(line((f"{len(on)} on, {len(self._entries)} in the catalogue", "faint")))
        for name, entry in self._entries.items():
            if self.found(name, entry.mode.cause, entry.mode.effect):
                lines.append(self._line(name, entry, width, on=name in on))
        return lines

    def _line(self, name: str, entry: CatalogueEntry, width: int, *, on: bool) -> Line:
        mark = "■" if on else "□"
        told = fit(f"{mark} {fit(name, 34).rstrip()}  {entry.mode.cause}", width).rstrip()
        return line((told, "bad" if on else ""), key=name)

    def use(self, key: str) -> str:
        """Switch it."""
        entry = self._entries[key]
        on = not self.session.has_fault(entry)
        self.session.fault(entry, on=on)
        if entry.other:
            return f"{key}: {'wires swapped' if on else 'wires as drawn'}, and the run begun anew"
        return f"{key}: {'on' if on else 'off'}: {entry.mode.effect}"
