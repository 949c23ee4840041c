"""Comes in: facts and findings. Goes out: a table for people, or an object for programs; nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from booklet.press.facts import Facts, Finding
from booklet.press.judge import bleed_of, size_words


def as_object(file: str, purpose: str, facts: Facts, findings: tuple[Finding, ...]) -> dict[str, object]:
    """What --json prints for one file. Lengths in mm, to 0.01."""
    whole = {name: value for name, value in asdict(facts).items() if name != "pages"}
    pages = []
    for page in facts.pages:
        one = asdict(page)
        for name in ("media", "bleed", "trim"):
            one[name] = [round(value, 2) for value in one[name]]
        one["images"] = [{**asdict(image), "dpi": round(image.dpi)} for image in page.images]
        pages.append(one)
    return {"file": file, "for": purpose, "findings": [asdict(one) for one in findings], **whole, "pages": pages}


def as_text(file: str, facts: Facts, findings: tuple[Finding, ...]) -> str:
    """A few lines of facts, then the findings with their pages."""
    first = facts.pages[0]
    images = [image for page in facts.pages for image in page.images if image.space != "mask"]
    spaces = sorted({space for page in facts.pages for space in page.spaces})
    thin = [page.thinnest_pt for page in facts.pages if page.thinnest_pt is not None]
    ink = max(page.ink for page in facts.pages)
    rows = [
        ("pages", f"{facts.page_count}, the first {size_words(first.trim)}, bleed {bleed_of(first):.2f} mm"),
        ("fonts", f"{facts.fonts}, {'all embedded' if not facts.fonts_missing else f'{len(facts.fonts_missing)} not embedded'}"),
        ("pictures", f"{len(images)}" + (f", the coarsest at {min(image.dpi for image in images):.0f} dots an inch" if images else "")),
        ("colours", ", ".join(spaces) or "none"),
        ("ink", f"at most {ink:.0f} %" if ink else "none of a press: the colours are not converted yet"),
        ("lines", f"at least {min(thin):.2f} pt" if thin else "none"),
        ("made for", facts.condition or facts.intent or "no way of printing is named"),
        ("reading", ", ".join(_reading(facts)) or "no tags, title or language"),
    ]
    lines = [file, *(f"  {name:<9} {value}" for name, value in rows), ""]
    for one in findings:
        where = f" (page {ranges(one.pages)})" if one.pages else ""
        lines += [f"  {one.severity}[{one.code}]: {one.message}{where}", f"    {one.help}"]
    if not findings:
        lines.append("  nothing to object to")
    return "\n".join(lines) + "\n"


def _reading(facts: Facts) -> Iterable[str]:
    if facts.tagged:
        yield "tags"
    if facts.title:
        yield "title"
    if facts.language:
        yield f"language {facts.language}"
    if facts.outlines:
        yield "bookmarks"
    if facts.links:
        yield f"{facts.links} links"


def ranges(numbers: tuple[int, ...]) -> str:
    """`1-4, 7`: neighbours drawn together."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and number == found[-1][-1] + 1:
            found[-1][1:] = [number]
        else:
            found.append([number])
    return ", ".join("-".join(map(str, run)) for run in found)
