"""The command line called within a test, its exit code out."""

from __future__ import annotations

import pytest

from booklet.cli import main


def run(*args: str) -> int:
    """Exit code of `booklet ARGS`."""
    with pytest.raises(SystemExit) as left:
        main(list(args))
    return int(left.value.code or 0)
