"""A declared level and all lines in, a level below what the work asks for out. It describes the project, never the reader.

Noted:   level: basic      … Rnd 4: (bo, 2 sc) x 6
Good:    level: intermediate
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Act, Work
from booklet.tables.language import fold
from booklet.tables.stitches import stitches

CODES = ("level-low",)

# Project levels of the Craft Yarn Council standards (from memory): basic asks for basic stitches with plain increases and decreases,
# easy may have simple stitch patterns and color work. Editors lift a pattern with special stitches to easy at least.
LEVELS = ("basic", "easy", "intermediate", "complex")
EASY = LEVELS.index("easy")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One warning at the head's level, naming the first line that asks for most."""
    value = subject.pattern.fields.get("level")
    declared = fold(value.text) if value is not None else ""
    if value is None or declared not in LEVELS:
        return
    most, line, what, why = 0, None, "", ""
    for one in subject.lines():
        for level, named, kind in _asks(one, subject):
            if level > most:
                most, line, what, why = level, one, named, kind
    if line is None or most <= LEVELS.index(declared):
        return
    values = {"level": declared, "least": LEVELS[most], "what": what, "where": line.label, "where_part": line.section.title}
    yield diagnostic("level-low", value.span, help=why, **values)


def _asks(line: Line, subject: Subject) -> Iterator[tuple[int, str, str]]:
    """The least level, what asks for it, and which help fits."""
    known = stitches()
    for node, _ in nodes(line.settled.instruction) if line.settled.instruction else ():
        if isinstance(node, Work):
            if node.stitch in known:
                name = subject.language.names.get(node.stitch)
                yield LEVELS.index(known[node.stitch].level), name.abbr if name else node.stitch, ""
            else:
                yield EASY, node.stitch.removeprefix("own:"), "own"
        elif isinstance(node, Act) and node.kind == "yarn":
            yield EASY, node.value, "yarn"
