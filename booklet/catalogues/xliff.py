"""A Catalogue in, XLIFF 1.2 or 2.0 out, and back in; the forms are those of the OASIS standards of these names (2008, 2014)."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from booklet.catalogues.message import Catalogue, CatalogueFault, Entry, clean, unit_id
from booklet.catalogues.protect import PLACEHOLDER
from booklet.catalogues.xml import Element, parse

SPACES = {"1.2": "urn:oasis:names:tc:xliff:document:1.2", "2.0": "urn:oasis:names:tc:xliff:document:2.0"}
DONE = frozenset(("translated", "final", "signed-off", "reviewed"))
NOT_DONE = frozenset(("new", "initial", "needs-translation"))


def write(catalogue: Catalogue, source: str, target: str, original: str, version: str = "1.2") -> bytes:
    """All messages that the pattern has; what is obsolete stays at home."""
    units = [(_unit12 if version == "1.2" else _unit20)(entry) for entry in catalogue.entries if not entry.obsolete]
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    space = quoteattr(SPACES[version])
    if version == "1.2":
        names = f"original={quoteattr(clean(original))} source-language={quoteattr(source)} target-language={quoteattr(target)}"
        rows = [f'<xliff version="1.2" xmlns={space}>', f'<file {names} datatype="plaintext">', "<body>", *units, "</body>"]
    else:
        langs = f"srcLang={quoteattr(source)} trgLang={quoteattr(target)}"
        rows = [f'<xliff version="2.0" xmlns={space} {langs}>', f'<file id="f1" original={quoteattr(clean(original))}>', *units]
    return (head + "\n".join((*rows, "</file>", "</xliff>")) + "\n").encode()


def _unit12(entry: Entry) -> str:
    ids = _ids(entry.source)
    state = "needs-review-translation" if entry.fuzzy else "translated" if entry.target.strip() else "needs-translation"
    rows = [f'<trans-unit id="{unit_id(entry.key)}" resname={quoteattr(entry.context)} xml:space="preserve">']
    rows.append(f"<source>{_inline(entry.source, ids, 'x')}</source>")
    rows.append(f'<target state="{state}">{_inline(entry.target, ids, "x")}</target>')
    rows += [f'<note from="developer">{escape(note)}</note>' for note in entry.notes]
    rows += [f'<note from="translator">{escape(note)}</note>' for note in entry.comments]
    return "\n".join([*rows, "</trans-unit>"])


def _unit20(entry: Entry) -> str:
    ids = _ids(entry.source)
    notes = [("context", entry.context), *(("developer", note) for note in entry.notes), *(("translator", note) for note in entry.comments)]
    state = "translated" if entry.target.strip() else "initial"
    fuzzy = ' subState="booklet:fuzzy"' if entry.fuzzy and entry.target.strip() else ""
    rows = [f'<unit id="{unit_id(entry.key)}" name={quoteattr(entry.context)}>', "<notes>"]
    rows += [f'<note category="{kind}">{escape(note)}</note>' for kind, note in notes]
    rows += ["</notes>", f'<segment state="{state}"{fuzzy}>', f'<source xml:space="preserve">{_inline(entry.source, ids, "ph")}</source>']
    if entry.target.strip():
        rows.append(f'<target xml:space="preserve">{_inline(entry.target, ids, "ph")}</target>')
    return "\n".join([*rows, "</segment>", "</unit>"])


def _ids(source: str) -> dict[str, list[int]]:
    """Placeholder -> the numbers that it has in the source, in order."""
    found: dict[str, list[int]] = {}
    for number, one in enumerate(PLACEHOLDER.finditer(source), 1):
        found.setdefault(one[0], []).append(number)
    return found


def _inline(text: str, ids: dict[str, list[int]], tag: str) -> str:
    """Text with its placeholders as elements; ids agree between source and target and are there once in each."""
    left = {word: list(numbers) for word, numbers in ids.items()}
    after = max((number for numbers in ids.values() for number in numbers), default=0)
    made, at = [], 0
    for one in PLACEHOLDER.finditer(text):
        if left.get(one[0]):
            number = left[one[0]].pop(0)
        else:
            after += 1
            number = after
        made.append(escape(text[at : one.start()]))
        word = quoteattr(one[0])
        told = f'ctype="x-stitch" equiv-text={word}' if tag == "x" else f"equiv={word} disp={word}"
        made.append(f'<{tag} id="{number}" {told}/>')
        at = one.end()
    return "".join((*made, escape(text[at:])))


def read(data: bytes) -> Catalogue:
    """Read either version. Raises CatalogueFault."""
    root = parse(data)
    if root.name != "xliff" or root.space not in SPACES.values():
        raise CatalogueFault("it is XML, but not XLIFF 1.2 or 2.0")
    entries: list[Entry] = []
    language = root.attributes.get("trgLang", "")
    waiting = list(root.children)
    while waiting:
        one = waiting.pop(0)
        if not isinstance(one, Element):
            continue
        if one.name == "file":
            language = one.attributes.get("target-language", "") or language
        if one.name == "trans-unit":
            entries.append(_entry12(one))
        elif one.name == "unit":
            entries.append(_entry20(one))
        else:
            waiting = [*(child for child in one.children if isinstance(child, Element)), *waiting]
    return Catalogue(tuple(entries), (), "", language)


def _entry12(unit: Element) -> Entry:
    source, target = (next(iter(unit.all(name)), None) for name in ("source", "target"))
    names = _names(source)
    words = _words(target, names)
    state = target.attributes.get("state", "") if target is not None else ""
    fuzzy = bool(words.strip()) and (state.startswith("needs-") or state == "new")
    comments = _lines(note for note in unit.all("note") if note.attributes.get("from") == "translator")
    name, id = (unit.attributes.get(key, "") for key in ("resname", "id"))
    return Entry(name, _words(source, names), words, fuzzy, comments=comments, line=unit.line, unit=id)


def _entry20(unit: Element) -> Entry:
    sources, targets, fuzzy = [], [], False
    for segment in [one for one in unit.children if isinstance(one, Element) and one.name in ("segment", "ignorable")]:
        source, target = (next(iter(segment.all(name)), None) for name in ("source", "target"))
        names = _names(source)
        sources.append(_words(source, names))
        targets.append(_words(target, names) if target is not None or segment.name == "segment" else sources[-1])
        fuzzy = fuzzy or "fuzzy" in segment.attributes.get("subState", "") or segment.attributes.get("state", "") == "initial"
    notes = [note for group in unit.all("notes") for note in group.all("note") if note.attributes.get("category") == "translator"]
    words = "".join(targets)
    name, id = (unit.attributes.get(key, "") for key in ("name", "id"))
    return Entry(name, "".join(sources), words, fuzzy and bool(words.strip()), comments=_lines(notes), line=unit.line, unit=id)


def _lines(notes: Iterable[Element]) -> tuple[str, ...]:
    return tuple(line for note in notes for line in clean(note.text()).split("\n") if line.strip())


def _names(source: Element | None) -> dict[str, str]:
    """Inline id -> placeholder."""
    found: dict[str, str] = {}
    for one in source.children if source is not None else ():
        if isinstance(one, Element):
            found[one.attributes.get("id", "")] = one.attributes.get("equiv-text", "") or one.attributes.get("equiv", "")
    return found


def _words(element: Element | None, names: dict[str, str]) -> str:
    if element is None:
        return ""
    made = []
    for one in element.children:
        if isinstance(one, str):
            made.append(one)
        elif one.name in ("x", "ph"):
            told = one.attributes.get("equiv-text", "") or one.attributes.get("equiv", "")
            made.append(names.get(one.attributes.get("id", "")) or told)
        else:
            made.append(_words(one, names))
    return clean("".join(made))
