"""For the tests of translations: a copy of the acorn, and the command line run within the test."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

ACORN = Path(__file__).parents[2] / "examples" / "acorn"


@pytest.fixture
def acorn(tmp_path: Path) -> Path:
    shutil.copytree(ACORN, tmp_path / "acorn")
    return tmp_path / "acorn" / "acorn.md"
