"""One suite over any block, ours and the user's: does it keep the contract of `BlockType`?

What a particular block should do is its own test's affair. Rule: the stimuli are the same in
every run; no dice.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Final

from simplant.blocks.block import BlockType, State
from simplant.errors import ProgramError
from simplant.timebase import NEVER, Ns, ms
from simplant.values import TIME, ElementaryType, Kind, Value

_CALLS: Final = 500
_SETTLING: Final = 3
_PAUSES: Final = (ms(0), Ns(1), ms(1), ms(10), ms(49), ms(50), ms(100), ms(5000))
_SAMPLES: Final[Mapping[Kind, tuple[Value, ...]]] = {
    Kind.BOOL: (False, True),
    Kind.TIME: (0, -1, 1, ms(50), ms(100), int(TIME.most)),
    Kind.STRING: ("", "a", "ab"),
}


def check_block(block: BlockType) -> None:
    """Drive a block with 500 calls and hold each against the contract.

    Checked: names and initial values; the state is hashable, of its own class and within its types; the step is pure
    and keeps the inputs; the same call again at the same instant settles within three calls; `due` is honest: a call
    before it changes neither state nor outputs, ET excepted, and without a due nothing changes for good.

    Args:
        block: the block type; its inputs are elementary.

    Raises:
        ProgramError: the first breach, with the state and inputs that show it.
    """
    _check_layout(block)
    state = block.initial
    for now, inputs in _stimuli(block):
        after = _check_step(block, state, inputs, now)
        state = _settle(block, after, inputs, now)
        _check_due(block, state, inputs, now)


def _demand(block: BlockType, holds: bool, what: str, *shown: object) -> None:
    if not holds:
        raise ProgramError(f"block {block.name}: {what}", f"seen with {', '.join(repr(each) for each in shown)}")


def _check_layout(block: BlockType) -> None:
    names = [field.name for field in block.stored]
    _demand(block, len(set(names)) == len(names), "two stored fields share a name", names)
    _demand(
        block,
        block.stored[: len(block.inputs)] == block.inputs,
        "the stored fields do not start with the inputs",
        names,
    )
    _demand(
        block,
        list(getattr(block.state, "_fields", ())) == names,
        "`state` is no NamedTuple of the stored fields",
        names,
    )
    computed = [field.name for field in block.outputs if field not in block.stored]
    _demand(block, computed == (["ET"] if block.elapsed else []), "an output is neither stored nor ET", computed)
    for field in block.stored:
        _demand(block, _fits(field.initial, field.type), f"{field.name} starts outside its type", field.initial)


def _check_step(block: BlockType, state: State, inputs: tuple[Value, ...], now: Ns) -> State:
    after = block.call(state, inputs, now)
    again = block.call(state, inputs, now)
    pure = again == after and hash(again) == hash(after)
    _demand(block, pure, "the step is not pure", state, inputs, now)
    _demand(block, type(after) is type(block.initial), "the state changes its class", after)
    _demand(block, after[: len(inputs)] == inputs, "the step changes its inputs", inputs, after)
    for field, value in zip(block.stored, after, strict=True):
        _demand(block, _fits(value, field.type), f"{field.name} leaves its type", inputs, value)
    return after


def _settle(block: BlockType, state: State, inputs: tuple[Value, ...], now: Ns) -> State:
    calls = [state]
    for _ in range(_SETTLING):
        calls.append(block.call(calls[-1], inputs, now))
    _demand(block, calls[-1] == calls[-2], "the same call at the same instant never settles", *calls)
    return calls[-1]


def _check_due(block: BlockType, state: State, inputs: tuple[Value, ...], now: Ns) -> None:
    due = block.due(state, now)
    _demand(block, due > now, "`due` is not later than the call", state, now, due)
    last = Ns(due - 1)
    for later in (Ns((now + last) // 2), last):
        again = block.call(state, inputs, later)
        _demand(block, again == state, "a call before `due` changes the state", state, later, due)
    if block.elapsed is not None:
        spans = [block.elapsed(state, at) for at in (now, Ns((now + last) // 2), last)]
        steady = due < NEVER or len(set(spans)) == 1
        _demand(block, steady, "ET runs although nothing is due", state, spans)
        forwards = spans[0] >= 0 and all(early <= late for early, late in pairwise(spans))
        _demand(block, forwards, "ET runs backwards", state, spans)


def _stimuli(block: BlockType) -> Iterator[tuple[Ns, tuple[Value, ...]]]:
    now, levels = Ns(0), [0] * len(block.inputs)
    draw = 1
    for _ in range(_CALLS):
        draw = draw * 6364136223846793005 + 1442695040888963407 & (1 << 64) - 1
        which = (draw >> 33) % len(levels)
        levels[which] = draw >> 41
        yield now, tuple(_value(field.type, level) for field, level in zip(block.inputs, levels, strict=True))
        now = Ns(now + _PAUSES[(draw >> 37) % len(_PAUSES)])


def _value(type_: ElementaryType, level: int) -> Value:
    numbers = (0, 1, 2, -1, type_.least, type_.most)
    samples = _SAMPLES.get(type_.kind) or tuple(type_.wrap(number) for number in numbers)
    return samples[level % len(samples)]


def _fits(value: Value, type_: ElementaryType) -> bool:
    try:
        held = type_.check(value)
    except ProgramError:
        return False
    return type(held) is type(value) and held == value
