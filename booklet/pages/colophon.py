"""Comes in: the head of a pattern. Goes out: the colophon; it says what was computed and judges nothing."""

from __future__ import annotations

from booklet.pages.book import Colophon, Fact
from booklet.pages.wording import Words
from booklet.pattern.model import Pattern
from booklet.tables.language import is_draft

# Head keys in the order in which they are printed; the label is the page word of the same name.
KEYS = ("designer", "tested by", "edited by", "translated by", "photos by", "version", "date", "contact", "video")


def colophon(pattern: Pattern, words: Words) -> Colophon:
    """Who made it, which edition this is, what may be done with it."""
    facts = [
        Fact(words.text("colophon." + key.replace(" ", "_")), words.date(told) if key == "date" else told)
        for key in KEYS
        if (told := pattern.field(key))
    ]
    terms = words.language.terms
    edition = words.language.name
    if terms:
        edition = words.join("comma", (edition, words.text(f"terms_name.{terms}")))
    draft = words.text("draft") if is_draft(words.language.tag) else ""
    facts.append(Fact(words.text("colophon.edition"), edition, draft))
    rights = pattern.field("copyright")
    if rights:
        facts.append(Fact(words.text("colophon.copyright"), rights if rights[:1] == "©" else f"© {rights}"))
    version = pattern.field("version")
    statement = words.text("recomputed_version", version=version) if version else words.text("recomputed")
    return Colophon(tuple(facts), statement, pattern.field("licence"))
