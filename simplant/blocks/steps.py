"""The step of a sequential function chart: its flag X, and its time T since it became active.

No program can declare one: a chart does (logic/sfc). Rule: only the start is stored; T is computed when it is read, and
is held once the step is left.
"""

from typing import Final, NamedTuple

from simplant.blocks.block import BlockType, Field, fields
from simplant.timebase import NEVER, Ns
from simplant.values import BOOL, LTIME, TIME


class StepState(NamedTuple):
    """State of a step: `start` is the instant of its activation, -1 while it is not active; `held` is T then."""

    X: bool = False
    start: int = -1
    held: int = 0


def step(state: StepState, now: Ns) -> StepState:
    r"""Go with X: its rise starts T from 0, its fall holds T.

    ```
    X  ___/~~~~~~~~~\________/~~~~
    T  0  rises      held    0 rises
    ```

    Source: IEC 61131-3:2003 2.6.2 (T keeps its value when the step is left, and begins anew when it is activated),
    from memory (tests/external/test_sfc_evolution).
    """
    X, start, held = state
    if X:
        return StepState(True, now if start < 0 else start, held)
    return StepState(False, -1, now - start if start >= 0 else held)


def _elapsed(state: StepState, now: Ns) -> Ns:
    return Ns(state.held if state.start < 0 else now - state.start)


def _due(state: StepState, _now: Ns) -> Ns:
    return Ns(NEVER - 1) if state.start >= 0 else NEVER  # T runs, and nothing ever comes of it by itself


STEP: Final = BlockType(
    "STEP",
    inputs=fields(X=BOOL),
    outputs=fields(ET=TIME),
    stored=(*fields(X=BOOL), Field("start", LTIME, -1), Field("held", LTIME, 0)),
    state=StepState,
    step=step,
    due=_due,
    elapsed=_elapsed,
    memory=("start", "held"),
)
