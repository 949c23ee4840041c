"""Comes in: the sections that are no parts. Goes out: what stands before, between and after the parts; words come from flow."""

from __future__ import annotations

from collections.abc import Callable

from booklet.pages.book import Block, Heading, Section
from booklet.pages.wording import Words
from booklet.pattern.model import Pattern
from booklet.pattern.model import Section as Written

KNOWN = ("assembly", "stitches")  # roles whose headings all mean the same


def sections(
    pattern: Pattern, print_steps: Callable[[Written], tuple[Block, ...]], words: Words
) -> tuple[tuple[Section, ...], dict[int, tuple[Block, ...]], tuple[Section, ...]]:
    """Notes, blocks that follow a part (by its index), and finishing.

    A section between two parts belongs to the part before it: there the hands need it.
    """
    last = max((place for place, section in enumerate(pattern.sections) if section.role == "part"), default=-1)
    notes: list[Section] = []
    between: dict[int, tuple[Block, ...]] = {}
    finishing: list[Section] = []
    parts = 0
    for place, section in enumerate(pattern.sections):
        if section.role == "part":
            parts += 1
            continue
        blocks = print_steps(section)
        if not blocks:
            continue
        title, language = _title(section, words)
        made = Section(f"section-{place + 1}", section.role, title, blocks, language)
        if not parts or section.role == "stitches":
            notes.append(made)
        elif place < last and section.role != "assembly":
            between[parts - 1] = (*between.get(parts - 1, ()), Heading(title), *blocks)
        else:
            finishing.append(made)
    return tuple(notes), between, tuple(finishing)


def _title(section: Written, words: Words) -> tuple[str, str]:
    """The heading and its language, "" for the edition's. Usual headings are known in every language; others are the designer's."""
    if not words.source or not section.title:
        return section.title, ""
    usual = f"section.{section.role}" if section.role in KNOWN else ""
    known = next((template.text for template in words.language.sentences if template.id == usual), "")
    return (known, "") if known else (section.title, words.source)
