"""Comes in: a PDF of anybody's. Goes out: its facts, made in a process of its own that may use so much time and memory and no more."""

from __future__ import annotations

import multiprocessing
from multiprocessing.connection import Connection

from booklet.press.facts import Facts, Unreadable
from booklet.tables.limits import limits


def facts_of(data: bytes, *, seconds: float | None = None) -> Facts:
    """Look into a PDF. Whatever it holds, this ends in time. Raises Unreadable."""
    if len(data) > limits()["press_bytes"]:
        raise Unreadable(f"it is larger than {limits()['press_bytes'] // 1_000_000} MB")
    if b"%PDF-" not in data[:1024]:
        raise Unreadable("it is no PDF")
    context = multiprocessing.get_context("spawn")  # a fresh process: nothing of ours is copied into it, on every system
    ours, theirs = context.Pipe()
    worker = context.Process(target=_work, args=(theirs,), daemon=True)
    worker.start()
    theirs.close()
    try:
        ours.send_bytes(data)
        if not ours.poll(seconds or limits()["press_seconds"]):
            raise Unreadable("looking at it takes too long: it is damaged, or made to harm")
        answer = ours.recv()
    except (EOFError, OSError) as fault:
        raise Unreadable("looking at it needs too much memory, or breaks the reader: it is damaged, or made to harm") from fault
    finally:
        ours.close()
        worker.kill()
        worker.join()
    if isinstance(answer, Unreadable):
        raise answer
    return answer


def _work(pipe: Connection) -> None:
    """In the other process."""
    import os
    import sys

    from booklet.press.gather import gather

    _fence()
    sys.stderr.flush()
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # the libraries' own remarks are for nobody
    try:
        answer: Facts | Unreadable = gather(pipe.recv_bytes())
    except Unreadable as fault:
        answer = Unreadable(str(fault))
    except (MemoryError, RecursionError):
        answer = Unreadable("looking at it needs too much memory: it is damaged, or made to harm")
    pipe.send(answer)


def _fence() -> None:
    """No more memory and time than the limits, where the system can hold a process to it."""
    try:
        import resource
    except ImportError:  # Windows: the time is still held from outside
        return
    memory, seconds = limits()["press_memory_mb"] * 1_000_000, limits()["press_seconds"]
    try:
        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 5))
    except (ValueError, OSError):
        pass
