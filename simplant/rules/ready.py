"""Ready-made rules, named as the trade names them; each is a plain function of other claims.

The claims they are made of are in always, until, holds, order, groups, amounts and direction.
Rule: nothing here watches anything itself.
"""

from typing import Unpack

from simplant.expr import Expr, StepActive, abs_
from simplant.rules.always import at
from simplant.rules.claim import TRUE, Claim, Label, boolean, described, fail, span
from simplant.rules.order import Latched
from simplant.rules.until import at_most_for
from simplant.timebase import Ns, show


def permissive(start: Expr, needs: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that something holds whenever something starts; it is not looked at afterwards.

    Args:
        start: what starts; each rising edge is judged.
        needs: what must hold at that instant.
        label: `name`, `text`, `faults`, `scale`, `unit`.
    """
    label.setdefault("text", f"{start} starts only with {needs}")
    return at(start, needs, **label)


def interlock(
    running: Expr, needs: Expr, *, stop_within: Ns, start: Expr | None = None, **label: Unpack[Label]
) -> tuple[Claim, ...]:
    """Demand that something holds to start and to keep running, and that its clearing restarts nothing.

    Args:
        running: what is interlocked.
        needs: the interlock, true = clear.
        stop_within: by then after its loss `running` is off; at that instant is in time.
        start: rising edge that alone starts again once the interlock is clear; None: `running` may come back by
            itself (then only starting and keeping are judged).
        label: `name`, `text`, `faults`.

    Returns:
        Two claims, named `NAME, to start` and `NAME, to keep`.
    """
    runs, clear, stop = boolean("running", running), boolean("needs", needs), span("stop_within", stop_within)
    name = label.pop("name", f"interlock of {runs}")
    to_start = permissive(runs, clear, name=f"{name}, to start", faults=label.get("faults", "none"))
    label["name"] = f"{name}, to keep"
    text = f"without {clear} NOT {runs} within {show(stop)}"
    if start is None:
        lost = runs & ~clear
        label.setdefault("text", text)
        return to_start, at_most_for(lost, stop, **label)
    edge = boolean("start", start)
    words = described(f"{text}, and not again without {edge}", label)
    return to_start, Latched(~clear, runs, (edge,), stop, gone=True, **words)


def output_at_most(output: Expr, most: Ns, **label: Unpack[Label]) -> Claim:
    """Demand that an output is never on for longer than `most` at a stretch."""
    label.setdefault("text", f"{output} on for at most {show(span('most', most))}")
    return at_most_for(output, most, **label)


def step_at_most(chart: str, step: str, most: Ns, **label: Unpack[Label]) -> Claim:
    """Demand that a step of a chart is never active for longer than `most`."""
    label.setdefault("text", f"step {chart}.{step} for at most {show(span('most', most))}")
    return at_most_for(StepActive(chart, (step,)), most, **label)


def aim_within(aimed: Expr, aim: Expr | float, tolerance: float, *, at_: Expr, **label: Unpack[Label]) -> Claim:
    """Demand that a truth is at its aim, within a tolerance either way, at each rise of `at_`.

    Args:
        aimed: the truth, a number.
        aim: where it should be: a number or an expression of the same type.
        tolerance: in the same unit, above 0; it is also the scale of the margin.
        at_: the instant that counts (the release).
        label: `name`, `text`, `faults`, `unit`.
    """
    if not isinstance(tolerance, int | float) or not tolerance > 0:
        raise fail(f"aim_within has the tolerance {tolerance!r}", mend="give a number above 0")
    label.setdefault(
        "text", f"at each {at_}: {aimed} within {tolerance:g} {label.get('unit', '')}".rstrip() + f" of {aim}"
    )
    label.setdefault("scale", float(tolerance))
    return at(at_, abs_(aimed - aim) <= tolerance, **label)


def start_of_run() -> Expr:
    """Give the trigger that rises once, at the start of the run (for power-up claims: `holds(..., after=...)`)."""
    return TRUE
