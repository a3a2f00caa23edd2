"""The kinds of rule that a table may ask for, and the keys each takes: derived from the builders themselves.

Reading the table is rule_table.py, what the rules mean is rules/. Rule: a key is called what the builder's
argument is called, and takes what the builder takes; nothing is listed twice.
"""

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Unpack

from simplant import rules
from simplant.errors import RuleError
from simplant.expr import Expr, StepActive
from simplant.rules import Claim, Label
from simplant.rules.claim import boolean
from simplant.timebase import Ns

LABELS: Final = tuple(Label.__annotations__)
"""Keys that every kind takes."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of rule: what builds it, and its keys with the type and the default of each."""

    build: Callable[..., Claim | tuple[Claim, ...]]
    keys: Mapping[str, inspect.Parameter]

    @property
    def needed(self) -> tuple[str, ...]:
        """The keys that must be given."""
        return tuple(key for key, p in self.keys.items() if p.default is p.empty)


def _always(claim: Expr, *, when: Expr | None = None, **label: Unpack[Label]) -> Claim:
    """Demand that something always holds, or always while `when` is true."""
    return rules.always(claim if when is None else boolean("when", when).implies(boolean("claim", claim)), **label)


def _exclusive(members: Sequence[Expr], **label: Unpack[Label]) -> Claim:
    return rules.exclusive(*members, **label)


def _one_hot(members: Sequence[Expr], **label: Unpack[Label]) -> Claim:
    return rules.one_hot(*members, **label)


def _step_at_most(step: Expr, most: Ns, **label: Unpack[Label]) -> Claim:
    if not isinstance(step, StepActive):
        raise RuleError(f"{step} is not a step", mend='write step = "chart.step"')
    return rules.step_at_most(step.chart, step.steps[0], most, **label)


_NOT_RULES: Final = ("accepted", "atoms", "moving", "one_active", "read_hazards", "settles", "start_of_run")
_ADAPTED: Final[Mapping[str, Callable[..., Any]]] = {
    "always": _always, "exclusive": _exclusive, "one_hot": _one_hot, "step_at_most": _step_at_most,
}  # fmt: skip


def _kind(build: Callable[..., Any]) -> Kind:
    parameters = inspect.signature(build).parameters
    return Kind(build, {k.rstrip("_"): p for k, p in parameters.items() if p.kind is not p.VAR_KEYWORD})


KINDS: Final[Mapping[str, Kind]] = {
    name: _kind(_ADAPTED.get(name, getattr(rules, name)))
    for name in rules.__all__
    if name not in _NOT_RULES and inspect.isfunction(getattr(rules, name))
}
"""Every kind by the name of its builder."""
