"""The standard timers: on-delay TON, off-delay TOF, pulse TP.

They share one state, in which the start instant is stored and ET is not: ET is computed when it
is read. Counting calls is counters.py. Rule: Q changes only in a call; ET is that of the scan's
`now`, also where a scan reads it without calling (the standard would show the last call's).
"""

from collections.abc import Callable
from typing import Final, NamedTuple

from simplant.blocks.block import BlockType, Field, fields
from simplant.timebase import NEVER, Ns
from simplant.values import BOOL, LTIME, TIME


class Timer(NamedTuple):
    """State of a timer: `start` is the instant from which ET counts, -1 if there is none.

    Choices the standard leaves open, the same for all three: PT is looked at in every call while the timer runs, and
    counts from the start (PT := T#0s ends it); once the time has run out, a new PT starts nothing again and shows only
    in the ET that is held. A negative PT counts as T#0s. An instance first called with IN TRUE takes that as the rise.

    Source: IEC 61131-3:2003 Tables 37 and 38, from memory (tests/external/test_iec_timers).
    """

    IN: bool = False
    PT: int = 0
    Q: bool = False
    start: int = -1


def ton(state: Timer, now: Ns) -> Timer:
    r"""Switch on late: Q once IN has been TRUE for PT; off with IN, at once.

    ```
    IN  ___/~~~~~~~~~~~~~\______/~~~~\____
    Q   _________/~~~~~~~\________________
    ET  0  rises PT       0      rises 0
    ```
    With PT = T#0s, Q follows IN in the same call.
    """
    IN, PT, Q, start = state
    if not IN:
        return Timer(IN, PT, False, -1)
    start = now if start < 0 else start
    return Timer(IN, PT, Q or now - start >= PT, start)


def tof(state: Timer, now: Ns) -> Timer:
    r"""Switch off late: Q with IN, at once; off once IN has been FALSE for PT.

    ```
    IN  ___/~~~~~~\___________/~~\___/~~~~
    Q   ___/~~~~~~~~~~~~\_____/~~~~~~~~~~~
    ET  0          rises PT   0  rises 0
    ```
    ET is held at PT until IN rises; it is 0 before IN was ever TRUE.
    """
    IN, PT, Q, start = state
    if IN:
        return Timer(IN, PT, True, -1)
    start = now if Q and start < 0 else start
    return Timer(IN, PT, Q and now - start < PT, start)


def tp(state: Timer, now: Ns) -> Timer:
    r"""Make a pulse of PT from a rise of IN; IN is ignored while it lasts.

    ```
    IN  ___/~~\__/~~\______/~~~~~~~~~~~~\___
    Q   ___/~~~~~~~~~\_____/~~~~~~~~~\______
    ET  0  rises     0     rises     PT  0
    ```
    Choice: a rise first seen in the call that ends the pulse belongs to the pulse, so between two pulses Q is FALSE
    for at least one call.
    """
    IN, PT, Q, start = state
    if start < 0:
        return Timer(IN, PT, PT > 0, now) if IN else Timer(IN, PT)
    Q = Q and now - start < PT
    return Timer(IN, PT, Q, start if Q or IN else -1)


def _timer(name: str, step: Callable[[Timer, Ns], Timer], *, q_while_running: bool) -> BlockType:
    def runs(state: Timer) -> bool:
        return state.start >= 0 and state.Q is q_while_running

    def due(state: Timer, _now: Ns) -> Ns:
        return Ns(min(state.start + state.PT, NEVER - 1)) if runs(state) else NEVER

    def elapsed(state: Timer, now: Ns) -> Ns:
        if state.start < 0:
            return Ns(0)
        preset = max(state.PT, 0)
        return Ns(min(now - state.start, preset) if runs(state) else preset)

    return BlockType(
        name,
        inputs=fields(IN=BOOL, PT=TIME),
        outputs=fields(Q=BOOL, ET=TIME),
        stored=(*fields(IN=BOOL, PT=TIME, Q=BOOL), Field("start", LTIME, -1)),
        state=Timer,
        step=step,
        due=due,
        elapsed=elapsed,
        memory=("Q", "start"),
    )


TON: Final = _timer("TON", ton, q_while_running=False)
TOF: Final = _timer("TOF", tof, q_while_running=True)
TP: Final = _timer("TP", tp, q_while_running=True)
