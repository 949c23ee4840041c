"""The library of techniques: shared/techniques in, frozen texts and what calls for them out; what a pattern uses is found in pages."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from booklet.resources import folder
from booklet.tables.lineage import lineage
from booklet.tables.reader import TableFault, rows

KINDS = frozenset(
    ("stitch", "target", "loop", "act", "yarn", "start", "own", "part", "edition", "sentence", "notion", "sewn", "instead")
)
HEAD = ("name", "for", "status")
MISTAKES = 3  # the most usual ones: more are not read


class Step(NamedTuple):
    """One thing to do."""

    text: str  # with {stitch_id} and {150mm} in braces
    loops: int  # on the hook when it is done; 0 where it is not told


class Mistake(NamedTuple):
    """What goes wrong, how it is seen, how it is undone."""

    what: str
    seen: str
    undone: str


@dataclass(frozen=True, slots=True)
class Technique:
    """One technique in one language."""

    id: str
    name: str
    purpose: str
    draft: bool  # nobody who speaks the language and crochets has read it yet
    steps: tuple[Step, ...]
    looks: str
    mistakes: tuple[Mistake, ...]


class Listed(NamedTuple):
    """A row of techniques.tsv."""

    stitch: str  # whose loops its steps tell; "" where they cannot be compared
    source: str


@cache
def techniques() -> dict[str, Listed]:
    """Every technique in teaching order."""
    found: dict[str, Listed] = {}
    for row in rows("techniques/techniques.tsv"):
        if row.cells["id"] in found:
            raise TableFault(row.file, row.line, f"{row.cells['id']} stands twice")
        found[row.cells["id"]] = Listed(row.cells["stitch"], row.cells["source"])
    return found


@cache
def uses() -> dict[tuple[str, str], tuple[str, ...]]:
    """What calls for which techniques: (kind, key) -> ids."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in rows("techniques/uses.tsv"):
        kind, key, names = row.cells["kind"], row.cells["key"], tuple(row.cells["techniques"].split())
        if kind not in KINDS:
            raise TableFault(row.file, row.line, f"no kind {kind!r}; there are {', '.join(sorted(KINDS))}")
        for name in names:
            if name not in techniques():
                raise TableFault(row.file, row.line, f"no technique {name} in techniques.tsv")
        found[(kind, key)] = names
    return found


@cache
def technique(id: str, tag: str) -> Technique | None:
    """One technique in one language; None where it has not been written in it."""
    for one in lineage(tag):
        name = f"techniques/{id}/{one}.md"
        try:
            text = (folder("shared") / name).read_text("utf-8")
        except OSError:
            continue
        return _read(name, id, text)
    return None


@cache
def drawing(id: str) -> tuple[dict[str, Any], ...]:
    """The panels of a technique's drawing as they are written; () where none is drawn."""
    name = f"techniques/{id}/drawing.toml"
    try:
        raw = tomllib.loads((folder("shared") / name).read_text("utf-8"))
    except OSError:
        return ()
    except tomllib.TOMLDecodeError as fault:
        raise TableFault(name, 1, str(fault)) from fault
    panels = raw.get("panel", [])
    if set(raw) - {"panel"} or not isinstance(panels, list):
        raise TableFault(name, 1, "only [[panel]] stands at the top of a drawing")
    return tuple(panels)


def _read(file: str, id: str, text: str) -> Technique:
    head: dict[str, str] = {}
    parts: dict[str, list[str]] = {}
    section = ""
    for number, raw in enumerate(text.split("\n"), 1):
        line = raw.strip()
        if not line:
            continue
        if line.startswith("## "):
            section = line[3:]
            if section not in ("Steps", "Looks", "Mistakes") or section in parts:
                raise TableFault(file, number, f"{section!r} is none of Steps, Looks, Mistakes, or stands twice")
            parts[section] = []
        elif section:
            parts[section].append(line)
        else:
            key, colon, value = line.partition(":")
            if key not in HEAD or not colon:
                raise TableFault(file, number, f"before the first heading stand {', '.join(HEAD)}, each with a colon")
            head[key] = value.strip()
    for key in HEAD:
        if not head.get(key):
            raise TableFault(file, 1, f"{key} is missing")
    steps = tuple(_step(file, line) for line in parts.get("Steps", ()))
    mistakes = tuple(_mistake(file, line) for line in parts.get("Mistakes", ()))
    if not steps or not parts.get("Looks") or len(mistakes) != MISTAKES:
        raise TableFault(file, 1, f"steps, looks and {MISTAKES} mistakes are needed")
    return Technique(id, head["name"], head["for"], head["status"] == "draft", steps, " ".join(parts["Looks"]), mistakes)


def _step(file: str, line: str) -> Step:
    found = re.fullmatch(r"\d+\. (.+?)(?: ?\[(\d+)\])?", line)
    if not found:
        raise TableFault(file, 1, f"a step is `1. What to do. [loops]`, not {line[:40]!r}")
    return Step(found[1], int(found[2] or 0))


def _mistake(file: str, line: str) -> Mistake:
    cells = [cell.strip() for cell in line.removeprefix("- ").split(" | ")]
    if len(cells) != len(Mistake._fields) or not line.startswith("- "):
        raise TableFault(file, 1, f"a mistake is `- what | how it is seen | how it is undone`, not {line[:40]!r}")
    return Mistake(*cells)
