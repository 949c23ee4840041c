"""Times of a busy machine: processor seconds, and several tries, since a neighbour can only make a piece of work slower."""

from __future__ import annotations

import gc
import resource
import time
from collections.abc import Callable


def cpu(work: Callable[[], object]) -> float:
    """Processor seconds of one run in this process, without the collector: its time grows with what other tests left behind."""
    gc.collect()
    gc.disable()
    try:
        begin = time.process_time()
        work()
        return time.process_time() - begin
    finally:
        gc.enable()


def below(limit: float, work: Callable[[], object], tries: int = 5) -> bool:
    """Does the work stay below so many processor seconds, in the best of several tries?"""
    return any(cpu(work) < limit for _ in range(tries))


def linear(once: Callable[[], object], fourfold: Callable[[], object], floor: float = 0.05, tries: int = 5) -> bool:
    """Four times the work may take four times as long; a quadratic trap takes sixteen, in every try."""
    return any(cpu(fourfold) < max(9 * min(cpu(once), cpu(once)), floor) for _ in range(tries))


def children() -> float:
    """Processor seconds of the processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
