"""Many cases asked of one machine, over all cores, each answer kept as it comes: a killed campaign goes on.

The processes are pool.py, the file store.py; what a case is stands in failures.py and mutation.py. Rule: an answer
depends on its case alone, so it is the same from one process, from many, and from an earlier day.
"""

import json
from collections.abc import Callable, Sequence
from concurrent.futures.process import BrokenProcessPool
from dataclasses import asdict, dataclass, replace
from functools import partial
from typing import Any, Final, Generic, Protocol, TypeVar

from simplant.campaign.cluster import each_on
from simplant.campaign.pool import each, processes_for
from simplant.campaign.store import Store, key_of
from simplant.errors import UsageError
from simplant.rig.machine import Machine

DEATHS: Final = 3
"""So many times running a worker may die before it has answered anything."""


class Case(Protocol):
    """A value that can be asked; as text it is told in one line."""

    @property
    def depends(self) -> str:
        """All that its answer depends on, besides the machine's folder."""
        ...


Asked = TypeVar("Asked", bound=Case)
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Told:
    """How far a campaign is: cases answered, how many of them earlier, and how often a worker died."""

    done: int
    cases: int
    earlier: int
    deaths: int


@dataclass(frozen=True, slots=True)
class Campaign(Generic[Asked, Answer]):
    """A campaign.

    Args:
        machine: of which all is asked.
        ask: a function of a module: gives the answer to a case.
        answer: the class of answers: a dataclass of text, numbers, truths and tuples of these.
        store: where answers are kept.
        processes: how many; by default as many as are worth it.
        tell: told after each answer.
        cluster: address of a Dask cluster that answers instead; empty: none.
    """

    machine: Machine
    ask: Callable[[Machine, Asked], Answer]
    answer: type[Answer]
    store: Store
    processes: int | None = None
    tell: Callable[[Told], None] = lambda _: None
    cluster: str = ""

    def telling(self, tell: Callable[[Told], None]) -> "Campaign[Asked, Answer]":
        """Give the same campaign, telling somebody else."""
        return replace(self, tell=tell)

    def run(self, cases: Sequence[Asked]) -> list[Answer]:
        """Give the answers in the order of the cases.

        Raises:
            UsageError: the results cannot be kept, or workers die again and again; what was answered stays.
        """
        keys = [key_of(self.machine.digest, self.ask.__qualname__, case.depends) for case in cases]
        there = self.store.known()
        left = {key: case for key, case in zip(keys, cases, strict=True) if key not in there}
        different = len(set(keys))
        earlier, deaths, without = different - len(left), 0, 0
        self.tell(Told(earlier, different, earlier, 0))
        while left:
            before = len(left)
            try:
                for key, text in self._answers(left):
                    there[key] = text
                    del left[key]
                    self.tell(Told(different - len(left), different, earlier, deaths))
            except BrokenProcessPool:
                deaths += 1
                without = 0 if len(left) < before else without + 1
                if without == DEATHS:
                    raise _dying(left) from None
        return [_read(self.answer, there[key]) for key in keys]

    def _answers(self, left: dict[str, Asked]) -> Any:
        asked = list(left.items())
        cases = [case for _, case in asked]
        ask = partial(_written, self.ask)
        answers = (
            each_on(self.cluster, ask, self.machine, cases)
            if self.cluster
            else each(ask, self.machine, cases, processes_for(len(cases), self.processes))
        )
        for (key, case), text in zip(asked, answers, strict=True):
            self.store.keep(key, str(case), text)
            yield key, text


def _written(ask: Callable[[Machine, Asked], Any], machine: Machine, case: Asked) -> str:
    """Give an answer as text: written by the worker, for whoever gathers them has all answers to see to."""
    return json.dumps(asdict(ask(machine, case)), separators=(",", ":"))


def _dying(left: dict[str, Any]) -> UsageError:
    return UsageError(
        f"a worker process died {DEATHS} times without an answer, at or near: {next(iter(left.values()))}",
        "it was killed, or ran out of memory",
        "try --processes 1; what was answered is kept",
    )


def _read(kind: type[Answer], text: str) -> Answer:
    return kind(**{name: _tuples(value) for name, value in json.loads(text).items()})


def _tuples(value: Any) -> Any:
    return tuple(_tuples(each) for each in value) if isinstance(value, list) else value
