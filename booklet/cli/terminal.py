"""Streams and the environment in, how to write on them out; what is written is decided elsewhere."""

from __future__ import annotations

import os
import sys
import threading
from typing import IO, Any

import click


def colour(stream: IO[Any]) -> bool:
    """Colour only on a terminal, and not where NO_COLOR is set (https://no-color.org) or the terminal is dumb."""
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return stream.isatty()


def on_stderr(text: str) -> None:
    """Write text for people. A character that the terminal's encoding lacks never stops the work."""
    _write(sys.stderr, text)


def on_stdout(text: str) -> None:
    """Write results."""
    _write(sys.stdout, text)


def json_on_stdout(value: object) -> None:
    """Write a value for programs. Escaped to ASCII: it cannot steer a terminal and suits every encoding."""
    import json

    _write(sys.stdout, json.dumps(value, indent=2) + "\n")


def _write(stream: IO[str], text: str) -> None:
    encoding = getattr(stream, "encoding", None) or "utf-8"
    click.echo(text.encode(encoding, "replace").decode(encoding), file=stream, nl=False, color=True)


class Progress:
    """Says on stderr which stage is at work, but only when the whole takes longer than a second."""

    def __init__(self, after_s: float = 1.0) -> None:
        self._stage, self._late, self._lock = "", False, threading.Lock()
        self._timer = threading.Timer(after_s, self._be_late)
        self._timer.daemon = True

    def __enter__(self) -> Progress:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()
        with self._lock:
            self._late = False

    def __call__(self, stage: str) -> None:
        """A stage begins."""
        with self._lock:
            self._stage = stage
            if self._late:
                on_stderr(f"  {stage} …\n")

    def _be_late(self) -> None:
        with self._lock:
            self._late = True
            if self._stage:
                on_stderr(f"  {self._stage} …\n")
