"""A pattern's folder in, the bytes of its catalogue out, also under another name; what is in it is not changed here."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from booklet.catalogues.merge import overlap
from booklet.catalogues.message import Catalogue, CatalogueFault, Message
from booklet.catalogues.po import read
from booklet.tables.limits import limits
from booklet.tables.lineage import lineage

FOLDER = "locale"
ENOUGH = 0.5  # share of a catalogue's messages that must be in the pattern for it to be taken as that pattern's. A guess.
MOST_FILES = 200  # catalogues of one folder that are looked into


class Found(NamedTuple):
    """A catalogue and where it is."""

    path: Path
    catalogue: Catalogue
    renamed: bool = False  # found by its messages, under another pattern's name
    of_base: bool = False  # into the language that the wanted one is a variant of


def place(folder: Path, stem: str, tag: str) -> Path:
    """Where a pattern's catalogue belongs."""
    return folder / FOLDER / f"{stem}.{tag}.po"


def load(path: Path) -> Catalogue:
    """Read one. Raises CatalogueFault, also for a file that is too large or cannot be opened."""
    most = limits()["file_bytes"]
    try:
        with path.open("rb") as stream:
            data = stream.read(most + 1)
    except OSError as fault:
        raise CatalogueFault(f"it cannot be read: {fault.strerror}") from fault
    if len(data) > most:
        raise CatalogueFault("it is too large")
    return read(data)


def find(folder: Path, stem: str, tag: str, messages: Sequence[Message]) -> Found | None:
    """The pattern's own catalogue, else the one beside it that holds most of its messages; a variant without one has its base's.

    Raises CatalogueFault for the pattern's own.
    """
    for one in lineage(tag):
        found = _find(folder, stem, one, messages)
        if found is not None:
            return found._replace(of_base=one != tag)
    return None


def _find(folder: Path, stem: str, tag: str, messages: Sequence[Message]) -> Found | None:
    own = place(folder, stem, tag)
    if own.is_file():
        return Found(own, load(own))
    best, most = None, ENOUGH
    for path in sorted((folder / FOLDER).glob(f"*.{tag}.po"))[:MOST_FILES]:
        try:
            catalogue = load(path)
        except CatalogueFault:
            continue
        share = overlap(messages, catalogue)
        if share >= most and (best is None or share > most):
            best, most = Found(path, catalogue, True), share
    return best
