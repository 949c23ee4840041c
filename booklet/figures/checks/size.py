"""The stated finished size in, a size that the rounds cannot give out.

Bad, where the rounds give 4 cm:   finished size: 12 cm tall
Good:                              finished size: 4 cm tall
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.figures import Size
from booklet.figures.steps import bare
from booklet.tables.sizes import dimension_words
from booklet.units import measures

CODES = ("size-differs",)

# Seen on nine published toys with a stated size: predicted by stated has a spread of 1.20 (one standard deviation) without
# a stated gauge; with one, width is within 8 % and height within 12 %.
ALLOWED = {"gauge": 0.25, "hook": 0.4, "default": 0.5}


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the stated size. Only its first length is compared, and nothing where the pattern has several sizes."""
    text = subject.pattern.field("finished size")
    lengths = [found for found in measures(text) if found.dimension == "length" and found.amount > 0]
    size = subject.figures.size
    height, basis = _without(size, text)
    known = {"height": height, "width": size.width_mm, "length": size.length_mm}
    computed = {key: value for key, value in known.items() if value}
    if not lengths or not computed or subject.pattern.sizes:
        return
    stated = lengths[0].amount
    words = dimension_words(subject.pattern.language)
    way = next((words[word] for word in _words(text[lengths[0].end :]) if word in words), "")
    if way == "length" and way not in computed:
        way = "height"  # a toy that lies is as long as it is tall
    if way == "height" and len(size.basis) == 1 and subject.figures.parts and "length" in computed:
        way = ""  # a flat piece may be hung up: any of its sizes may be meant
    found = computed.get(way) or min(computed.values(), key=lambda value: abs(value - stated))
    if abs(found - stated) > ALLOWED[subject.figures.gauge.basis] * stated:
        yield diagnostic(
            "size-differs",
            subject.field_span("finished size"),
            stated=round(stated / 10, 1),
            computed=round(found / 10, 1),
            parts=" + ".join(basis),
        )


def _without(size: Size, text: str) -> tuple[float | None, tuple[str, ...]]:
    """The height without the parts that the stated size names: "12 cm tall, without ears". Only what stands out is ever named."""
    named = {bare(word) for word in text[text.find(",") + 1 :].split()} if "," in text or "(" in text else set()
    left = [one for one in size.placed if not named & {bare(word) for word in one[0].split()}]
    if size.height_mm is None or len(left) == len(size.placed) or not left:
        return size.height_mm, size.basis
    names = {name for name, _, _ in left}
    basis = tuple(name for name in size.basis if name in names)
    return max(high for _, _, high in left) - min(low for _, low, _ in left), basis


def _words(text: str) -> list[str]:
    return text.casefold().replace(",", " ").replace(".", " ").split()
