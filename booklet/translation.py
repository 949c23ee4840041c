"""An understood pattern and a language in, its messages, catalogue and translated values out; the pipeline and the commands call it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from booklet.catalogues import apply, find, merge, po, reword, visit
from booklet.catalogues.message import Catalogue, CatalogueFault, Entry, Message
from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.tables import materials
from booklet.tables.language import Language, load, page_words, printable

if TYPE_CHECKING:
    from booklet.editions.edition import Edition
    from booklet.pattern.model import Pattern, Step


class Updated(NamedTuple):
    """A catalogue brought up to its pattern."""

    path: Path
    data: bytes
    merged: merge.Merged
    messages: tuple[Message, ...]
    renamed: Path | None  # where it was found, if under another name


def _say(pattern: Pattern, tag: str, terms: str = "") -> Callable[[Step], str]:
    """Standard sentences in the language of the translation; in the pattern's own words where that cannot be printed yet."""
    from booklet.editions.edition import Edition
    from booklet.pages.sentences import say
    from booklet.pages.wording import words

    if tag not in printable():
        return lambda step: step.text
    language = load(tag, terms)
    edition = Edition((tag,), language.terms, language.settings.get("units", "metric"))
    speech = words(edition, language, page_words(tag), pattern.language)
    return lambda step: say(step, speech)


def messages(pattern: Pattern, source: Language, tag: str) -> tuple[Message, ...]:
    """What has to be translated."""
    return visit.messages(pattern, source, _say(pattern, tag))


def update(understood: Any, tag: str, folder: Path, stem: str, moment: str, incoming: tuple[Entry, ...] = ()) -> Updated:  # noqa: ANN401 - pipeline.Understood, which stands above
    """The new bytes of a catalogue; those of the old one where nothing has changed. Raises CatalogueFault."""
    pattern = understood.pattern
    wanted = messages(pattern, understood.language, tag)
    found = find.find(folder, stem, tag, wanted)
    old = found.catalogue if found else Catalogue()
    path = find.place(folder, stem, tag)
    glossary = glossary_of(pattern, tag)

    usual = _usual(understood.language.tag, tag)

    def notes(message: Message) -> tuple[str, ...]:
        return (*_notes(message, glossary, usual(message.kind, message.text)), *_differing(message, understood.language, load(tag)))

    merged = merge.merge(wanted, old, notes)
    if incoming:
        merged = merge.merge(wanted, merge.overlay(merged.catalogue, incoming), notes)
    spare = {message.key for message in wanted if message.kind not in apply.OPTIONAL and usual(message.kind, message.text)}
    untold = sum(entry.key in spare and not entry.target.strip() for entry in merged.catalogue.entries)
    merged = merged._replace(missing=merged.missing - untold)
    if _same(understood.language, tag):
        merged = _prefilled(merged, understood.language, load(tag))
    same = found is not None and not (found.renamed or found.of_base) and po.same_words(old.entries, merged.catalogue.entries)
    header = old.header if same else po.header(_dated(old, moment), tag, understood.language.tag, pattern.title, moment)
    catalogue = replace(merged.catalogue, header=header, language=tag)
    renamed = found.path if found is not None and (found.renamed and not found.of_base) else None
    return Updated(path, po.write(catalogue), merged._replace(catalogue=catalogue), wanted, renamed)


def _differing(message: Message, source: Language, target: Language) -> tuple[str, ...]:
    """What a translator into another form of the same language has to know of a message."""
    if not _same(source, target.tag) or message.kind in apply.OPTIONAL:
        return ()
    pairs = {message.text[start:end]: told for start, end, told in reword.found_words(message.text, source, target)}
    if not pairs:
        return ("May stay empty: then it is printed as it is.",)
    told = ", ".join(f"{word} = {other}" for word, other in pairs.items())
    return (f"Filled in from the table of wording ({told}): look at it, then take the mark `fuzzy` away.",)


def _same(source: Language, tag: str) -> bool:
    """Is this another form of the pattern's own language? Then what is not translated is right as it stands."""
    return source.tag.split("-")[0] == tag.split("-")[0]


def _prefilled(merged: merge.Merged, source: Language, target: Language) -> merge.Merged:
    """Words that the other English spells or says otherwise, put in by the table, to be looked at."""
    made = []
    for entry in merged.catalogue.entries:
        told = entry.source
        if not entry.obsolete and not entry.target.strip() and entry.kind not in apply.OPTIONAL:
            told = reword.reworded(entry.source, source, target)
        made.append(entry if told == entry.source else replace(entry, target=told, fuzzy=True))
    filled = sum(new is not old for new, old in zip(made, merged.catalogue.entries, strict=True))
    return merged._replace(catalogue=replace(merged.catalogue, entries=tuple(made)), fuzzy=merged.fuzzy + filled, missing=0)


def _dated(old: Catalogue, moment: str) -> Catalogue:
    """The date of the messages is that of their last change."""
    fields = [(name, value) for name, value in old.header if name != "POT-Creation-Date"]
    return replace(old, header=(*fields, ("POT-Creation-Date", moment)))


def moment() -> str:
    """Now, as PO headers write it; SOURCE_DATE_EPOCH where it is set."""
    from datetime import UTC, datetime

    from booklet.dated import told

    now = told() or datetime.now(UTC)
    return now.strftime("%Y-%m-%d %H:%M+0000")


def _notes(message: Message, glossary: dict[str, str], usual: str = "") -> tuple[str, ...]:
    found = [f"Message {message.number}"]
    if message.kind in apply.OPTIONAL:
        found.append("May stay empty.")
    if usual:
        found.append(f"May stay empty: then it is printed as {usual}")
    if message.before and message.kind.startswith("words in a sentence"):
        found.append(f"In the sentence: {message.before}")
    elif message.before:
        found.append(f"Before it: {message.before}")
    if message.after:
        found.append(f"After it: {message.after}")
    text = message.text.casefold()
    found += [f"Glossary: {word} = {told}" for word, told in glossary.items() if word.casefold() in text]
    return tuple(" ".join(note.split()) for note in found)


def glossary_of(pattern: Pattern, tag: str) -> dict[str, str]:
    """The house file's choices of words for a language: `words: {de: {stuffing: Füllwatte}}`."""
    chosen = pattern.fields.get("words")
    for key, value in chosen.pairs if chosen is not None else ():
        if key.text == tag and value.kind == "map":
            return {word.text: told.text for word, told in value.pairs if told.kind == "text" and word.text and told.text}
    return {}


def _usual(source: str, tag: str) -> Callable[[str, str], str]:
    """The usual names of fibres, notions and colours: what the tables know needs no translator."""
    if tag not in printable():
        return apply.nothing_known
    return lambda kind, text: materials.known(kind, text, source, tag)


class Localised(NamedTuple):
    """An understood pattern in the words of an edition."""

    understood: Any
    words: dict[str, str]  # page words that only this pattern has: how its choices are printed
    problems: tuple[Diagnostic, ...]


def localised(understood: Any, edition: Edition, folder: Path | None) -> Localised:  # noqa: ANN401 - pipeline.Understood
    """The pattern in the language and terms of an edition; as it is where they are its own."""
    source = understood.language
    language = load(edition.languages[0], edition.terms)
    numbers = edition.message_numbers
    if (language.tag, language.terms) == (source.tag, source.terms) and not numbers:
        return Localised(understood, {}, ())
    say = _say(understood.pattern, language.tag, edition.terms)
    catalogue, problems = Catalogue(), []
    needed = language.tag.split("-")[0] != source.tag.split("-")[0]
    file = ""
    if folder is not None and language.tag != source.tag:
        stem = Path(understood.pattern.file).stem
        try:
            found = find.find(folder, stem, language.tag, visit.messages(understood.pattern, source, say))
        except CatalogueFault as fault:
            found = None
            file = str(find.place(folder, stem, language.tag))
            problems.append(diagnostic("catalogue-unreadable", file=file, reason=fault.reason))
        if found is not None:
            catalogue, file = found.catalogue, str(found.path)
            if found.renamed:
                problems.append(diagnostic("catalogue-renamed", file=file, pattern=stem))
    words = page_words(language.tag) if edition.proof else {}
    mark = words["untranslated"] if words else ""
    made = apply.apply(understood.pattern, catalogue, source, language, say, apply.Marks(mark, numbers), _usual(source.tag, language.tag))
    if not needed:
        written = "\n".join(entry.source for entry in catalogue.entries if entry.done)
        problems += reword.notes(understood.pattern, source, language, written)
    if needed and (made.missing or made.fuzzy):
        problems.append(gaps(made.total, made.missing, made.fuzzy, language.tag, file))
    # A part without translation is called by its name, as its heading is: a round's own word for it is of the other language.
    names = {**({part.title: part.title for part in understood.pattern.sections} if needed else {}), **made.names}
    turned = replace(
        understood,
        pattern=made.pattern,
        graph=apply.renamed(understood.graph, names),
        figures=apply.renamed(understood.figures, names),
        variants=tuple(apply.renamed(one, names) for one in understood.variants),
        variant_figures=tuple(apply.renamed(one, names) for one in understood.variant_figures),
    )
    return Localised(turned, {f"choice.word.{word}": told for word, told in made.names.items()}, tuple(problems))


def gaps(total: int, missing: int, fuzzy: int, tag: str, file: str) -> Diagnostic:
    """What is not translated, counted; a warning, so that a strict build stops."""
    share = round(100 * (total - missing - fuzzy) / total) if total else 100
    values = {"language": tag, "done": total - missing - fuzzy, "total": total, "percent": share, "missing": missing, "fuzzy": fuzzy}
    return diagnostic("translation-incomplete", file=file or None, **values)


def check(understood: Any, tag: str, folder: Path) -> tuple[Diagnostic, ...]:  # noqa: ANN401 - pipeline.Understood
    """What is wrong with the translation of a pattern into a language."""
    from booklet.catalogues import checks

    pattern, source, target = understood.pattern, understood.language, load(tag)
    wanted = messages(pattern, source, tag)
    stem = Path(pattern.file).stem
    found = list(checks.rounds(understood.graph.settled, source, target))
    try:
        catalogue = find.find(folder, stem, tag, wanted)
    except CatalogueFault as fault:
        from booklet.diagnostics.span import Span

        place = Span(fault.line, 1, fault.line, 1)
        return (*found, diagnostic("catalogue-unreadable", place, file=str(find.place(folder, stem, tag)), reason=fault.reason))
    if catalogue is None:
        return (*found, diagnostic("catalogue-missing", language=tag, file=str(find.place(folder, stem, tag))))
    file = str(catalogue.path)
    if catalogue.renamed:
        found.append(diagnostic("catalogue-renamed", file=file, pattern=stem))
    merged = merge.merge(wanted, catalogue.catalogue)
    entries = {entry.key: entry for entry in catalogue.catalogue.entries if not entry.obsolete}
    usual = _usual(source.tag, tag)
    same = _same(source, tag)
    spare = {message.key for message in wanted if same or message.kind in apply.OPTIONAL or usual(message.kind, message.text)}
    needed = [entries.get(message.key, Entry("", "")) for message in wanted if message.key not in spare]
    missing = sum(not entry.target.strip() for entry in needed)
    fuzzy = sum(bool(entry.target.strip()) and entry.fuzzy for entry in needed)
    if missing or fuzzy:
        found.append(gaps(len(needed), missing, fuzzy, tag, file))
    if merged.moved or merged.fuzzy > fuzzy:
        found.append(diagnostic("catalogue-behind", file=file))
    told = {key for key, entry in entries.items() if entry.target.strip()}
    keys = [message.key for message in wanted if message.key not in spare or message.key in told]
    codes = [yarn.code for yarn in pattern.yarns]
    found += checks.check(catalogue.catalogue, keys, source, target, codes, glossary_of(pattern, tag), file)
    return tuple(found)
