"""The rules with what became of each so far, and how far it was from breaking at the nearest.

Rule: verdicts are asked for twice a second of machine time at most, for they are made on copies of all monitors.
"""

from typing import Final

from simplant.panel.lines import Line, fit, line
from simplant.panel.pane import Pane
from simplant.panel.session import Session
from simplant.rules import Outcome, Verdict
from simplant.timebase import Ns, ms

EVERY: Final = ms(500)
_ORDER: Final = (Outcome.BROKEN, Outcome.UNDECIDED, Outcome.HELD, Outcome.NOT_EXERCISED)
_MARK: Final = {
    Outcome.BROKEN: ("BROKEN", "bad"),
    Outcome.UNDECIDED: ("open", "warn"),
    Outcome.HELD: ("held", ""),
    Outcome.NOT_EXERCISED: ("idle", "faint"),
}


class RulesPane(Pane):
    """The rules: broken, open, held, not yet put to the test; within each those nearest to breaking first."""

    NAME = "rules"
    LONG = True

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._verdicts: tuple[Verdict, ...] = ()
        self._at: tuple[object, int] = (None, -1)

    def verdicts(self) -> tuple[Verdict, ...]:
        """Give the verdicts so far, those that need to be looked at first."""
        rig = self.session.rig
        if self._at[0] is not rig or not 0 <= rig.now - self._at[1] < EVERY:
            self._at = (rig, rig.now)
            told = rig.judge.so_far(Ns(rig.now))
            self._verdicts = tuple(sorted(told, key=lambda v: (_ORDER.index(v.outcome), _distance(v))))
        return self._verdicts

    def lines(self, width: int) -> list[Line]:
        """Give a line for each."""
        verdicts = self.verdicts()
        broken = sum(v.outcome is Outcome.BROKEN for v in verdicts)
        lines = [line((f"{len(verdicts)} rules, {broken} broken", "bad" if broken else "faint"))]
        return lines + [self._line(v, width) for v in verdicts if self.found(v.rule, v.text)]

    def _line(self, verdict: Verdict, width: int) -> Line:
        word, look = _MARK[verdict.outcome]
        margin = verdict.margin_text[-22:]
        room = max(8, width - 7 - len(margin) - 1)
        return line((f"{word:<6} ", look), fit(verdict.rule, room), (f" {margin}", "strong"), key=verdict.rule)

    def use(self, key: str) -> str:
        """Tell it in full."""
        return next((v.told() for v in self.verdicts() if v.rule == key), "")


def _distance(verdict: Verdict) -> float:
    return verdict.margin if verdict.margin is not None else 1e9
