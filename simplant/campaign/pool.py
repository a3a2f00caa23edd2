"""Runs on all cores: processes that each read the machine once, and answers in the order of the questions.

What is asked is sweep.py. Rule: processes are spawned on every system alike, so what crosses over is only values,
and a run knows nothing of the one before it.
"""

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial
from typing import Final, TypeVar

from simplant.errors import UsageError
from simplant.rig.machine import Machine

WORTH: Final = 100
"""Runs for each process below which starting it takes longer than it saves."""

Question = TypeVar("Question")
Answer = TypeVar("Answer")


def processes_for(runs: int, wanted: int | None = None) -> int:
    """Give how many processes to take: as many as wanted, else one for each core if there are runs enough for it."""
    return wanted or max(1, min(os.cpu_count() or 1, runs // WORTH))


def each(
    ask: Callable[[Machine, Question], Answer], machine: Machine, questions: Sequence[Question], processes: int
) -> Iterator[Answer]:
    """Answer questions about a machine, in their order.

    Args:
        ask: a function of a module, pure.
        machine: with more than one process it is read again from its folder, once in each.
        questions: values.
        processes: how many; 1 = here.

    Raises:
        UsageError: the machine's files were changed meanwhile.
    """
    if processes <= 1:
        yield from (ask(machine, question) for question in questions)
        return
    workers = ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn"))
    try:
        chunk = max(1, min(16, len(questions) // (4 * processes)))
        there = partial(_there, ask, str(machine.folder.resolve()), machine.digest)
        yield from workers.map(there, questions, chunksize=chunk)
    finally:
        workers.shutdown(cancel_futures=True)


def _there(ask: Callable[[Machine, Question], Answer], folder: str, digest: str, question: Question) -> Answer:
    return ask(_machine(folder, digest), question)


@cache
def _machine(folder: str, digest: str) -> Machine:
    machine = Machine.load(folder)
    if machine.digest != digest:
        raise UsageError(f"the files of {machine.name} were changed while it was run", mend="start again")
    return machine
