"""The blocks of a body in, its sections with their roles, brackets and steps out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import START, Span
from booklet.pattern import choices, prose
from booklet.pattern.lines import is_header, is_instruction
from booklet.pattern.match import Names, alike
from booklet.pattern.model import Notion, Section, Step, Yarn
from booklet.pattern.names import names
from booklet.pattern.own import own_stitches
from booklet.pattern.steps import Reading, steps
from booklet.pattern.templates import TOKEN, book, fold, key
from booklet.source.tree import Block, Piece, Source
from booklet.tables.language import Language
from booklet.tables.nearest import nearest

_BRACKET = re.compile(r"(?P<title>.*?)\s*[(\[](?P<bracket>[^()\[\]]*)[)\]]\s*$")
_BARE_MAKE = re.compile(r"(?P<title>.+?)\s*(?:[-–—,:]\s*(?P<make>\S+ \d+)|\s[x×]\s*(?P<times>\d+))$")
_MAKE = re.compile(r"(?P<word>[^\W\d_]+)?\s*[x×]?\s*(?P<number>\d{1,6})\s*(?:[x×]|times)?\s*(?:[:,;]\s*(?P<rest>.*))?$")
_LONGEST_MAKE = 60  # characters of a line that tells how many pieces
_MOST = 999  # pieces of one part; a guess, far above a garland of flags
ROLES = ("assembly", "stitches", "notes")


class Cut(NamedTuple):
    """The blocks below one heading."""

    heading: Block | None
    blocks: tuple[tuple[int, Block], ...]  # with their index in the source


class Read(NamedTuple):
    """The body, read."""

    title: str  # of a level-1 heading at the top, "" without one
    sections: tuple[Section, ...]
    own: tuple[tuple[str, str, str, Span], ...]
    problems: list[Diagnostic]


def read(
    source: Source, language: Language, title: str, notions: tuple[Notion, ...], yarns: tuple[Yarn, ...], most: int
) -> Read:
    """Read a whole body. `most` = combinations of choices that a part may have."""
    heading, cuts = _cut(source.blocks, title)
    title = title or heading
    roles = [_role(cut, language) for cut in cuts]
    heads = [_heading(cut.heading, language) for cut in cuts]
    titles = [head[0] for head, role in zip(heads, roles, strict=True) if role == "part"]
    titles += [
        block.pieces[0].text
        for cut, role in zip(cuts, roles, strict=True)
        for _, block in cut.blocks
        if role == "part" and block.kind == "heading"
    ]
    called = names(titles, notions, yarns)
    problems: list[Diagnostic] = []
    own: list[tuple[str, str, str, Span]] = []
    sections = []
    for cut, role, (name, bracket, make, differs) in zip(cuts, roles, heads, strict=True):
        name = name or (title if role == "part" else "")
        if role == "part" and make == 1 and not bracket:
            make = _told_below(cut, language)
        sections.append(_section(cut, role, name, bracket, make, differs, language, called, problems))
        if role == "stitches":
            own += own_stitches(cut.blocks)
    whole = tuple(sections)
    problems += _part_problems(whole)
    problems += choices.too_many(whole, most)
    problems += _unknown_names(whole, called, language)
    return Read(title, whole, tuple(own), problems)


def _cut(blocks: tuple[Block, ...], title: str) -> tuple[str, list[Cut]]:
    """Split at the headings of the sections: level 2 and above, or the highest level that there is."""
    first = next((block for block in blocks if block.kind not in ("comment", "rule")), None)
    heading = ""
    if first is not None and first.kind == "heading" and first.level == 1:
        others = sum(block.kind == "heading" and block.level == 1 for block in blocks)
        if others == 1 and (not title or key(title) == key(first.pieces[0].text)):
            heading = first.pieces[0].text
    levels = [block.level for block in blocks if block.kind == "heading" and not (heading and block is first)]
    level = max(2, min(levels, default=2))
    cuts = [Cut(None, ())]
    waiting: list[tuple[int, Block]] = []
    for at, block in enumerate(blocks):
        if heading and block is first:
            continue
        if block.kind == "heading" and block.level <= level:
            cuts[-1] = cuts[-1]._replace(blocks=tuple(waiting))
            waiting = []
            cuts.append(Cut(block, ()))
        else:
            waiting.append((at, block))
    cuts[-1] = cuts[-1]._replace(blocks=tuple(waiting))
    return heading, cuts if cuts[0].blocks else cuts[1:]


def _role(cut: Cut, language: Language) -> str:
    title = key(cut.heading.pieces[0].text) if cut.heading else ()
    told = next((role for role in ROLES if _is_called(title, book(language).phrases(f"section.{role}"))), "")
    if told == "stitches":
        return told
    strong = weak = 0
    for _, block in cut.blocks:
        if block.kind not in ("paragraph", "item"):
            continue
        for n, piece in enumerate(block.pieces):
            text = piece.text
            opened = choices.opening(piece, language)
            text = opened[1].text if opened else text
            marker = block.marker if n == 0 and block.marker[:1].isdigit() else ""
            if is_header(text, language) or (marker and is_header(f"{marker} {text}", language)):
                strong += 1
            elif not told and is_instruction(text, block.marker if n == 0 else "", language):
                weak += 1
        if strong:
            return "part"
    if weak and not told and (weak > 1 or cut.heading is not None):
        return "part"
    return told or ("other" if cut.heading else "intro")


def _is_called(title: tuple[str, ...], wordings: tuple[tuple[str, ...], ...]) -> bool:
    return bool(title) and any(title[: len(words)] == words for words in wordings)


def _heading(block: Block | None, language: Language) -> tuple[str, str, int, tuple[str, ...]]:
    """Title, bracket, number of pieces, and in what they differ."""
    if block is None:
        return "", "", 1, ()
    text = block.pieces[0].text.strip("*_ ")
    found = _BRACKET.match(text[:400])
    if found and found["title"]:
        made = _made(found["bracket"], language)
        if made:
            return found["title"], found["bracket"], *made
    bare = _BARE_MAKE.match(text[:400])
    if bare:
        made = _made(bare["make"] or bare["times"], language)
        if made and (bare["times"] or not bare["make"][:1].isdigit()):
            return bare["title"], "", *made
    return text, "", 1, ()


def _told_below(cut: Cut, language: Language) -> int:
    """`(make 2)` in the line under a heading: the number of pieces; 1 where nothing is said."""
    first = next((block for _, block in cut.blocks if block.kind == "paragraph"), None)
    if cut.heading is None or first is None or first is not cut.blocks[0][1]:
        return 1
    text = first.pieces[0].text.strip("*_()[] .:")[:_LONGEST_MAKE]
    made = _made(text, language) if any(letter.isalpha() for letter in text) else None
    return made[0] if made else 1


def _made(bracket: str, language: Language) -> tuple[int, tuple[str, ...]] | None:
    words = key(bracket)
    if len(words) == 2:  # "make two"
        role, value = language.words.get(words[1], ("", ""))
        bracket = f"{words[0]} {value}" if role == "number" else bracket
    found = _MAKE.match(bracket.strip())
    if found is None:
        return None
    known = book(language).small_words("bracket.make")
    if found["word"] and key(found["word"])[0] not in (*known, "x"):
        return None
    differs = tuple(part.strip() for part in re.split("[,;]", found["rest"] or "") if part.strip())
    return int(found["number"]), differs


def _section(
    cut: Cut,
    role: str,
    title: str,
    bracket: str,
    make: int,
    differs: tuple[str, ...],
    language: Language,
    called: Names,
    problems: list[Diagnostic],
) -> Section:
    part = title if role == "part" else None
    reading = Reading(language, called, part)
    span = cut.heading.span if cut.heading else (cut.blocks[0][1].span if cut.blocks else START)
    if not 1 <= make <= _MOST:
        problems.append(diagnostic("make-out-of-range", span, part=part, number=make, limit=_MOST))
        make = max(1, min(make, _MOST))
    found: list[Step] = []
    for at, block in cut.blocks:
        found += steps(at, block, reading)
        lines = {piece.line for step in found if step.block == at and step.kind == "line" for piece in step.pieces}
        if len(lines) < len(block.pieces):
            kept = tuple(piece for piece in block.pieces if piece.line not in lines)
            problems += prose.check(Block(block.kind, kept, block.span, block.level, block.marker))
    problems += reading.problems
    problems += choices.check(reading.openings, title)
    return Section(role, title, span, tuple(found), make, bracket, differs)


def _part_problems(sections: tuple[Section, ...]) -> list[Diagnostic]:
    problems = []
    seen: dict[tuple[str, ...], Section] = {}
    for section in sections:
        name = key(section.title)
        if section.role == "part":
            if name in seen:
                values = {"title": section.title, "line": seen[name].span.line}
                problems.append(diagnostic("part-name-twice", section.span, part=section.title, **values))
            seen.setdefault(name, section)
        elif section.bracket:
            problems.append(diagnostic("part-without-rounds", section.span, title=section.title))
    if not seen:
        problems.append(diagnostic("no-parts"))
    return problems


def _unknown_names(sections: tuple[Section, ...], called: Names, language: Language) -> list[Diagnostic]:
    """Sewing sentences that stayed prose because they name a part that there is not."""
    verbs = book(language).small_words("verb.sew")
    titles = {" ".join(words): title for words, title in called.parts.items()}
    problems = []
    for section in sections:
        for step in section.steps:
            if step.kind != "prose" or not step.pieces or section.role not in ("assembly", "part"):
                continue
            for piece in step.pieces:
                words = list(TOKEN.finditer(piece.text[:2000]))
                if not words or fold(words[0][0]) not in verbs:
                    continue
                problems += _misspelt(piece, words[1:], titles, section, called)
    return problems


def _misspelt(
    piece: Piece, words: Iterable[re.Match[str]], titles: dict[str, str], section: Section, called: Names
) -> list[Diagnostic]:
    found = []
    for word in list(words)[:12]:
        name = word[0]
        if not name[0].isupper() or any(alike(known, key(name)) for known in called.parts):
            continue
        close = nearest(name.casefold(), titles)
        if close:
            span = Span(piece.line, piece.column + word.start(), piece.line, piece.column + word.end())
            title = titles[close]
            edits = (Edit(span, title),)
            part = section.title if section.role == "part" else None
            found.append(diagnostic("part-unknown", span, part=part, edits=edits, name=name, title=title))
    return found
