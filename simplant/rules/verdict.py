"""What a run says about a rule: outcome, first breach, margin, and the signals involved.

Verdicts are made by the monitors; how a report lays them out is report/. Rule: a verdict is a
plain value, and a rule that was never put to the test is never called held.
"""

from dataclasses import dataclass
from enum import Enum

from simplant.timebase import Ns, show
from simplant.values import Value


class Outcome(Enum):
    """How a rule came out of a run."""

    HELD = "held"
    BROKEN = "broken"
    UNDECIDED = "not decided by the end"
    NOT_EXERCISED = "not exercised"


Evidence = tuple[tuple[str, Value, Ns], ...]
"""Signals of a rule at its first breach: name, value, and since when it had that value."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one rule in one run.

    Args:
        rule: the rule's name.
        outcome: held, broken, not decided by the end, or not exercised.
        time: instant of the first breach; None unless broken.
        margin: how far from breaking at the nearest, as a fraction (of the deadline, of the level): 0 is on the
            edge, negative broken, 1 a whole deadline or level away; None where nothing measures it.
        margin_text: the same for people: `310 ms of 2.000 s`, `1.2 deg`.
        tags: the signals involved at the first breach, with since-when.
        times_exercised: how often the rule was put to the test.
        text: what was demanded.
        breaches: how often it was broken.
    """

    rule: str
    outcome: Outcome
    time: Ns | None
    margin: float | None
    margin_text: str
    tags: Evidence
    times_exercised: int
    text: str
    breaches: int = 0

    def told(self) -> str:
        """Tell the verdict in lines: what, and for a breach when, and each signal since when."""
        named = self.rule if self.rule == self.text else f"{self.rule}: {self.text}"
        if self.time is None:
            return f"{self.outcome.value}: {named}" + (f" (margin {self.margin_text})" if self.margin_text else "")
        again = f", {self.breaches} times in all" if self.breaches > 1 else ""
        rows = [(name, _written(value), since) for name, value, since in self.tags]
        wide = max((len(name) for name, _, _ in rows), default=0)
        deep = max((len(value) for _, value, _ in rows), default=0)
        lines = [f"t={show(self.time)}: rule broken{again}: {named}"]
        lines += [f"  {name:<{wide}}  {value:<{deep}}  since {show(since)}" for name, value, since in rows]
        return "\n".join(lines)


def _written(value: Value) -> str:
    match value:
        case bool():
            return "TRUE" if value else "FALSE"
        case float():
            return f"{value:.6g}"
        case _:
            return str(value)
