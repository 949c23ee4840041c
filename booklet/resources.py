"""Comes in: "layouts", "fonts" or "shared". Goes out: where that folder is. Reading what is in it is not done here.

The only module that knows that the three folders stand beside the package in a checkout, and inside it in a wheel.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

NAMES = ("layouts", "fonts", "shared")


class FolderMissing(FileNotFoundError):
    """The program was installed without one of its folders: a fault of the installation, not of a pattern."""


@cache
def folder(name: str) -> Path:
    """The folder `name`: of the wheel if it is there, else of the checkout.

    A checkout is known by its pyproject.toml; without it a folder of that name beside the package is somebody else's.
    Raises FolderMissing naming both places, ValueError for a name that is none of NAMES.
    """
    if name not in NAMES:
        raise ValueError(f"no folder of ours: {name!r}; there are {', '.join(NAMES)}")
    # Not importlib.resources: its import alone costs `check` 8 ms (tempfile, zipfile), and pip always unpacks a wheel.
    package = Path(__file__).resolve().parent
    inside = package / "_data" / name
    if inside.is_dir():
        return inside
    beside = package.parent / name
    if (package.parent / "pyproject.toml").is_file() and beside.is_dir():
        return beside
    raise FolderMissing(f"the folder {name!r} is neither at {inside} nor, in a checkout, at {beside}")
