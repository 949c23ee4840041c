"""Jobs in, their outcomes out, in the order of the jobs; on all cores where that is possible. No file is written here."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from booklet.production import Job, Product, Ready


class Outcome(NamedTuple):
    """What became of a job."""

    job: Job
    product: Product | None  # None where it could not be made
    fault: str  # why not
    seconds: float  # that it took


# What the workers inherit when they are forked: nothing of it has to travel.
_patterns: tuple[Ready, ...] = ()
# A booklet that is being laid out takes so much memory (the demo in a5: 190 MB, measured); more at a time than fit are slower.
_SPREAD = 2  # jobs; fewer are not worth a process


def run(jobs: tuple[Job, ...], patterns: tuple[Ready, ...], most: int | None) -> Iterator[Outcome]:
    """Make every job. One that fails leaves the others alone; a worker that dies takes only its own job with it."""
    from booklet.cli.terminal import Progress

    workers = min(most or cores(), len(jobs))
    if workers < 2 or len(jobs) < _SPREAD or not can_fork():
        with Progress() as progress:
            for number, job in enumerate(jobs, 1):
                place = f"{number} of {len(jobs)}: " if len(jobs) > 1 else ""
                yield _made(job, patterns, lambda stage, place=place: progress(place + stage))
        return
    from booklet.production import prepare

    with Progress() as progress:
        progress(f"getting ready for {len(jobs)} booklets")
        prepare(jobs)
    yield from _spread(jobs, patterns, workers)


def cores() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def can_fork() -> bool:
    """Linux only: elsewhere a forked process may not use the system's libraries (macOS), or there is no fork (Windows)."""
    return sys.platform == "linux"


def _spread(jobs: tuple[Job, ...], patterns: tuple[Ready, ...], workers: int) -> Iterator[Outcome]:
    """Share the jobs out to forked processes. They inherit what is understood and prepared; only results travel back."""
    import gc
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    global _patterns  # what is forked is inherited by name
    _patterns = patterns
    gc.freeze()  # the collector of a worker does not walk through, and so copy, what it inherits
    pool = ProcessPoolExecutor(workers, multiprocessing.get_context("fork"), initializer=_begin)
    try:
        waiting = [pool.submit(_work, job) for job in jobs]
        tell = _Teller(len(jobs))
        for future in waiting:
            future.add_done_callback(tell)
        for job, future in zip(jobs, waiting, strict=True):
            yield _result(job, future.result)
    except BaseException:
        for worker in multiprocessing.active_children():
            worker.terminate()  # they write no file: nothing is left half
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
        gc.unfreeze()
        _patterns = ()


def _result(job: Job, result: Callable[[], Outcome]) -> Outcome:
    """The outcome of a worker; where the workers died, the job once more in a process of its own, to see whether it is the cause."""
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    try:
        return result()
    except BrokenProcessPool:
        pass
    import multiprocessing

    with ProcessPoolExecutor(1, multiprocessing.get_context("fork"), initializer=_begin) as alone:
        try:
            return alone.submit(_work, job).result()
        except BrokenProcessPool:
            return Outcome(job, None, "the process that made it was ended from outside; is there enough memory?", 0.0)


class _Teller:
    """Says how many are done, once the whole takes longer than a second."""

    def __init__(self, all_: int) -> None:
        self._all, self._done, self._began = all_, 0, time.monotonic()

    def __call__(self, _: object) -> None:
        from booklet.cli.terminal import on_stderr

        self._done += 1
        if time.monotonic() - self._began > 1 and self._done < self._all:
            on_stderr(f"  {self._done} of {self._all} done …\n")


def _begin() -> None:
    """A worker begins: an interrupt is its parent's to answer."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _work(job: Job) -> Outcome:
    return _made(job, _patterns, lambda _: None)


def _made(job: Job, patterns: tuple[Ready, ...], say: Callable[[str], None]) -> Outcome:
    from booklet.cli.fault import sentence
    from booklet.cli.files import Refused, free_for_writing
    from booklet.production import produce

    start = time.perf_counter()
    try:
        free_for_writing(job.path)  # asked before the work, not after it
        product = produce(job, patterns[job.pattern], say)
    except Refused as refused:
        return Outcome(job, None, f"Error: {refused.message}", 0.0)
    except Exception as fault:  # told by the parent; the other jobs go on
        return Outcome(job, None, sentence(fault), 0.0)
    return Outcome(job, product, "", time.perf_counter() - start)
