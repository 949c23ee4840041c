"""Booklets of the examples, each made once for all tests of a run, in whatever process: laying out is what costs most here.

tests/conftest.py names the folder in which they are kept for the run; without it each process makes its own. All are dated alike.
"""

from __future__ import annotations

import fcntl
import os
import pickle
from functools import cache
from hashlib import sha256
from pathlib import Path
from unittest.mock import patch

from booklet import pipeline
from booklet.editions.edition import Edition
from booklet.outputs import pdf

EXAMPLES = Path(__file__).parents[1] / "examples"
FOLDER = "BOOKLET_TESTS_BUILT"
DATED = {"SOURCE_DATE_EPOCH": "1767225600"}


@cache
def understood(name: str) -> pipeline.Understood:
    """A pattern of the examples: `acorn/acorn`."""
    file = EXAMPLES / f"{name}.md"
    return pipeline.understand(file.read_bytes(), file.name)


@cache
def built(name: str, edition: Edition) -> pipeline.Built:
    """The finished booklet of an example."""
    folder = os.environ.get(FOLDER, "")
    if not folder:
        return _made(name, edition)
    place = Path(folder) / sha256(f"{name} {edition!r}".encode()).hexdigest()[:24]
    with place.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # another process that wants the same waits for it
        if not place.exists():
            place.write_bytes(pickle.dumps(_made(name, edition)))
        return pickle.loads(place.read_bytes())


def _made(name: str, edition: Edition) -> pipeline.Built:
    pdf.warm()  # or what the engine sets in the environment would be undone with the date
    with patch.dict(os.environ, DATED):
        return pipeline.build(understood(name), edition, (EXAMPLES / name).parent)
