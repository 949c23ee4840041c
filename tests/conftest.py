"""For all tests: a folder in which the processes of one run keep the booklets that several of them look at (tests/built.py)."""

from __future__ import annotations

import os
import shutil
import tempfile

import pytest

FOLDER = "BOOKLET_TESTS_BUILT"
_own = pytest.StashKey[str]()


def pytest_configure(config: pytest.Config) -> None:
    """The first process makes the folder; its workers inherit the name."""
    if FOLDER not in os.environ:
        os.environ[FOLDER] = config.stash[_own] = tempfile.mkdtemp(prefix="pattern-booklet-tests-")


def pytest_unconfigure(config: pytest.Config) -> None:
    """Who made it takes it away."""
    if folder := config.stash.get(_own, ""):
        shutil.rmtree(folder, ignore_errors=True)
        del os.environ[FOLDER]
