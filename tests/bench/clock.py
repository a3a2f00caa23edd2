"""Timing two things against each other on a machine that is never quiet.

What is timed stands in measures.py. Rule: both sides take turns, and the best turn of each counts, so that whatever
else runs meanwhile hits both alike.
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter, process_time

Job = Callable[[], object]


def seconds_of(job: Job) -> float:
    """Time one call, in s."""
    began = perf_counter()
    job()
    return perf_counter() - began


def in_turn(turns: int, *jobs: Job) -> list[float]:
    """Give the best time of each job in s, over so many turns in which each is called once."""
    best = [float("inf")] * len(jobs)
    for _ in range(turns):
        best = [min(least, seconds_of(job)) for least, job in zip(best, jobs, strict=True)]
    return best


def side_by_side(turns: int, job: Job, other: Job) -> float:
    """Give how much more the other job costs: the median over turns of processor time, each right after the other."""
    return median(_cost_of(other) / _cost_of(job) for _ in range(turns))


def _cost_of(job: Job) -> float:
    """Give the processor time of one call, in s."""
    began = process_time()
    job()
    return process_time() - began
