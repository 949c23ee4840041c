"""The translator's road: nothing that was written is lost, every form comes back, hostile files are refused."""

from __future__ import annotations

import io
import shutil
import zipfile
from dataclasses import replace
from pathlib import Path

import polib
import pytest
from babel.messages.pofile import read_po
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from booklet import pipeline, translation
from booklet.catalogues import merge, po, sent, sheet, visit, xliff
from booklet.catalogues.message import Catalogue, CatalogueFault, Entry, Message, clean
from booklet.catalogues.protect import protect, restore
from booklet.catalogues.xml import parse
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.tables import language, lineage
from booklet.tables.language import load
from tests.catalogues.called import run

ACORN = Path(__file__).parents[2] / "examples" / "acorn"


# ---- nothing is lost ----

WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Co", "Cn")), min_size=1, max_size=60).map(clean).filter(str.strip)
KINDS = st.sampled_from(["paragraph", "step", "notion", "part"])


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    context = f"{draw(st.sampled_from(['Nut', 'Cap', '(head)']))}: {draw(KINDS)}"
    target = draw(st.one_of(st.just(""), WORDS))
    return Entry(context, draw(WORDS), target, draw(st.booleans()) and bool(target), draw(st.booleans()), comments=tuple(draw(st.lists(WORDS.map(lambda t: " ".join(t.split())).filter(bool), max_size=2))))


def everything(data: bytes) -> str:
    """All words of a PO file as another program reads them."""
    file = polib.pofile("\n" + data.decode() + "\n")
    return " ".join(" ".join((one.msgstr, one.tcomment)) for one in file).split().__str__()


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(entries(), max_size=8), st.lists(st.tuples(st.integers(0, 7), st.sampled_from(["keep", "drop", "change", "move"])), max_size=8), st.lists(entries(), max_size=4))
def test_nothing_translated_is_ever_lost(old: list[Entry], edits: list[tuple[int, str]], incoming: list[Entry]) -> None:
    messages = []
    for at, edit in edits:
        if at < len(old) and edit != "drop":
            one = old[at]
            text = one.source + " and more" if edit == "change" else one.source
            context = "Elsewhere: " + one.kind if edit == "move" else one.context
            messages.append(Message(context, text, one.kind, len(messages) + 1))
    messages = list({message.key: message for message in messages}.values())
    first = merge.merge(messages, Catalogue(tuple(old)))
    second = merge.merge(messages, merge.overlay(first.catalogue, incoming))
    kept = everything(po.write(second.catalogue))
    for entry in (*old, *incoming):
        for line in (*entry.target.split("\n"), *(entry.comments if entry.target.strip() or entry.comments else ())):
            for word in line.split():
                assert str([word])[2:-2] in kept, (word, kept)
    # Every message of the pattern is there, once.
    assert [entry.key for entry in second.catalogue.entries][: len(messages)] == [message.key for message in messages]
    # And a second run changes nothing.
    again = merge.merge(messages, po.read(po.write(second.catalogue)))
    assert po.write(again.catalogue) == po.write(second.catalogue)


@settings(max_examples=60, deadline=None)
@given(st.lists(entries(), min_size=1, max_size=6))
def test_a_po_file_is_read_alike_by_others(made: list[Entry]) -> None:
    catalogue = merge.merge([], Catalogue(tuple(made))).catalogue
    catalogue = merge.merge([Message(one.context, one.source, one.kind, 1) for one in catalogue.entries[:3]], catalogue).catalogue
    catalogue = replace(catalogue, header=po.header(catalogue, "de", "en-US", "Ball", "2026-01-01 00:00+0000"))
    theirs = read_po(io.BytesIO(po.write(catalogue)), locale="de")
    for entry in catalogue.entries:
        if not entry.obsolete:
            assert theirs.get(entry.source, entry.context).string == entry.target
            assert theirs.get(entry.source, entry.context).fuzzy == entry.fuzzy


def test_changed_words_become_fuzzy_with_the_former_ones(acorn: Path) -> None:
    acorn.write_text(acorn.read_text("utf-8").replace("A pocket acorn for a first project.", "A small pocket acorn for a first project."), "utf-8")
    assert run("translate", str(acorn), "--language", "de") == 0
    entry = next(one for one in polib.pofile(str(acorn.parent / "locale/acorn.de.po")) if "small pocket" in one.msgid)
    assert entry.fuzzy and entry.previous_msgid == "A pocket acorn for a first project." and "Hosentasche" in entry.msgstr


def test_a_renamed_pattern_finds_its_catalogue(acorn: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = acorn.rename(acorn.with_name("eichel.md"))
    before = (acorn.parent / "locale/acorn.de.po").read_bytes()
    assert run("translate", str(new), "--language", "de") == 0
    assert "acorn.de.po" in capsys.readouterr().err
    assert (acorn.parent / "locale/acorn.de.po").read_bytes() == before
    assert polib.pofile(str(acorn.parent / "locale/eichel.de.po")).percent_translated() >= 85


@pytest.mark.parametrize("bad", [b"msgid \"a\nmsgstr", b"\xff\x00\x01", "msgid \"\"\nmsgstr \"Content-Type: text/plain; charset=UTF-8\\n\"\n\nmsgid \"ä\"\nmsgstr \"ö\"\n".encode("latin-1")])
def test_what_cannot_be_read_is_never_written_over(acorn: Path, bad: bytes, capsys: pytest.CaptureFixture[str]) -> None:
    file = acorn.parent / "locale/acorn.de.po"
    file.write_bytes(bad)
    assert run("translate", str(acorn), "--language", "de") == 2
    assert file.read_bytes() == bad and "not touched" in capsys.readouterr().err


def test_a_broken_pattern_loses_nothing(acorn: Path) -> None:
    file = acorn.parent / "locale/acorn.de.po"
    said = {one.msgstr for one in polib.pofile(str(file)) if one.msgstr}
    acorn.write_text("---\ntitle: [\n---\n## Nut\nRnd 1: 6 sc in MR (7\n", "utf-8")
    run("translate", str(acorn), "--language", "de")
    assert said <= {one.msgstr for one in polib.pofile(str(file))}
    acorn.write_bytes(b"\x00\x01binary")
    before = file.read_bytes()
    assert run("translate", str(acorn), "--language", "de") == 2 and file.read_bytes() == before


def test_the_same_catalogue_is_the_same_file(acorn: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = acorn.parent / "locale/acorn.de.po"
    assert run("translate", str(acorn), "--language", "de") == 0
    before = file.read_bytes()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    assert run("translate", str(acorn), "--language", "de") == 0 and file.read_bytes() == before
    file.unlink()
    assert run("translate", str(acorn), "--language", "de") == 0
    assert polib.pofile(str(file)).metadata["POT-Creation-Date"] == "1970-01-01 00:00+0000"


# ---- the other forms, and hostile translators ----

MADE = Catalogue(
    (
        Entry("Nut: paragraph", "Work 3 {sc} & 2 {sc} <b>now</b>.", "Arbeite 3 {sc} & 2 {sc} <b>jetzt</b>.", comments=("so?",), notes=("Message 1",)),
        Entry("Nut: step", "Turn\nit.", "=Wende\nsie.", True),
        Entry("Cap: part", "Cap", ""),
    )
)


@pytest.mark.parametrize("form", ["1.2", "2.0", "xlsx", "po"])
def test_every_form_comes_back(form: str) -> None:
    data = sheet.write(MADE, "2026-01-01 00:00+0000") if form == "xlsx" else po.write(MADE) if form == "po" else xliff.write(MADE, "en-US", "de", "a.md", form)
    back = sent.read(data)
    assert [(one.context, one.source, one.target, one.fuzzy) for one in back.entries] == [(one.context, one.source, one.target, one.fuzzy) for one in MADE.entries]


@pytest.mark.parametrize("change", [lambda text: text.encode("utf-16"), lambda text: text.encode("utf-8-sig"), lambda text: text.replace("\n", "\r\n").encode(), lambda text: text.replace("UTF-8", "ISO-8859-1", 1).encode("latin-1")])
@pytest.mark.parametrize("form", ["1.2", "2.0", "po"])
def test_other_encodings_and_line_ends(form: str, change: object) -> None:
    made = replace(MADE, header=(("Content-Type", "text/plain; charset=UTF-8"),))
    data = po.write(made) if form == "po" else xliff.write(made, "en-US", "de", "a.md", form)
    text = data.decode().replace("Wende", "Wände")
    if form != "po" and change(text).startswith((b"\xff\xfe", b"\xfe\xff")):  # type: ignore[operator]
        text = text.replace('encoding="UTF-8"', 'encoding="UTF-16"', 1)
    back = sent.read(change(text))  # type: ignore[operator]
    assert back.entries[1].target == "=Wände\nsie." and back.entries[0].target == MADE.entries[0].target


def test_reordered_and_removed_entries(acorn: Path, tmp_path: Path) -> None:
    old = polib.pofile(str(acorn.parent / "locale/acorn.de.po"))
    part = polib.POFile()
    part.metadata = {"Language": "de", "Content-Type": "text/plain; charset=UTF-8"}
    for one in list(reversed(old))[:4]:
        one.msgstr = one.msgstr + "!" if one.msgstr else ""
        part.append(one)
    part.save(str(tmp_path / "back.po"))
    before = {(one.msgctxt, one.msgid): one.msgstr for one in polib.pofile(str(acorn.parent / "locale/acorn.de.po"))}
    assert run("translate", str(acorn), "--language", "de", "--from", str(tmp_path / "back.po")) == 0
    after = {(one.msgctxt, one.msgid): one.msgstr for one in polib.pofile(str(acorn.parent / "locale/acorn.de.po"))}
    assert list(after) == list(before) and sum(after[key] != before[key] for key in after) == 4
    assert all(after[key].rstrip("!") == before[key] for key in after)


BOMB = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><xliff version="1.2" xmlns="urn:oasis:names:tc:xliff:document:1.2">&b;</xliff>'
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE x SYSTEM "file:///etc/hostname"><xliff/>'


@pytest.mark.parametrize("data", [BOMB, OUTSIDE, b"<a>" * 100, b"<html></html>", b"<?xml version='1.0' encoding='nonsense'?><a/>", b"PK\x03\x04", b""])
def test_hostile_files_are_refused(data: bytes) -> None:
    with pytest.raises(CatalogueFault):
        sent.read(data)


def test_a_table_that_unpacks_to_too_much_is_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b" " * 30_000_000)
    with pytest.raises(CatalogueFault, match="too much"):
        sent.read(out.getvalue())
    out = io.BytesIO(sheet.write(MADE, "2026-01-01 00:00+0000"))
    with zipfile.ZipFile(out, "a") as packed:
        packed.writestr("xl/evil.xml", BOMB)
    with pytest.raises(CatalogueFault, match="document type"):
        sent.read(out.getvalue())


# XLIFF 1.2, OASIS Standard, 1 February 2008: chapter 2 (elements, their attributes and content).
# XLIFF 2.0, OASIS Standard, 5 August 2014: chapter 4. The names below are from memory of these chapters.
ALLOWED = {
    "1.2": {"xliff": {"file"}, "file": {"header", "body"}, "body": {"trans-unit", "group"}, "trans-unit": {"source", "target", "note"}, "source": {"x"}, "target": {"x"}, "note": set(), "x": set()},
    "2.0": {"xliff": {"file"}, "file": {"unit", "group", "notes"}, "unit": {"notes", "segment"}, "notes": {"note"}, "segment": {"source", "target"}, "source": {"ph"}, "target": {"ph"}, "note": set(), "ph": set()},
}
NEEDED = {"file": {"1.2": {"original", "source-language", "datatype"}, "2.0": {"id"}}, "trans-unit": {"1.2": {"id"}}, "unit": {"2.0": {"id"}}, "x": {"1.2": {"id"}}, "ph": {"2.0": {"id"}}}


@pytest.mark.parametrize("version", ["1.2", "2.0"])
def test_xliff_has_the_form_of_the_standard(version: str) -> None:
    root = parse(xliff.write(MADE, "en-US", "de", "a.md", version))
    assert root.name == "xliff" and root.attributes["version"] == version and root.space == f"urn:oasis:names:tc:xliff:document:{version}"
    waiting, ids = [root], []
    while waiting:
        one = waiting.pop()
        below = [child for child in one.children if not isinstance(child, str)]
        assert {child.name for child in below} <= ALLOWED[version][one.name], one.name
        assert NEEDED.get(one.name, {}).get(version, set()) <= one.attributes.keys()
        if one.name in ("unit", "trans-unit"):
            ids.append(one.attributes["id"])
        if one.name in ("source", "target"):
            inline = [child.attributes["id"] for child in below]
            assert len(inline) == len(set(inline))
        waiting += below
    assert len(ids) == len(set(ids)) == 3


# ---- stitch words ----


def test_stitch_words_are_printed_by_identity() -> None:
    us, uk, de = load("en-US"), load("en-GB"), load("de")
    text = protect("Work 3 sc, then a single crochet. Do not ss [here](https://example.org/3-sc).", us)
    assert text == "Work 3 {sc}, then a {single crochet}. Do not ss [here](https://example.org/3-sc)."
    assert restore(text, us, uk).startswith("Work 3 dc, then a double crochet.")
    assert de.names["single_crochet"].abbr in restore(text, us, de) and "{" not in restore(text, us, de)


# ---- what editions print ----


@pytest.fixture
def german(monkeypatch: pytest.MonkeyPatch) -> None:
    """German page words where they are there, English ones for those that are not."""
    read = lineage.pairs

    def pairs(file: str) -> dict[str, str]:
        try:
            return {**read("languages/en-US/page.tsv"), **read(file)}
        except OSError:
            return {**read("languages/en-US/page.tsv"), **read(file.replace("page.tsv", "page.draft.tsv"))}

    language.page_words.cache_clear()
    monkeypatch.setattr(lineage, "pairs", lambda file: pairs(file) if "page" in file else read(file))
    monkeypatch.setattr(translation, "printable", lambda: ("en-US", "de"))
    yield
    language.page_words.cache_clear()


def german_page(acorn: Path, **settings_: object) -> tuple[str, tuple]:
    understood = pipeline.understand(acorn.read_bytes(), str(acorn))
    page, _, problems = pipeline.set_pages(understood, Edition(("de",), "", **settings_), layout("a5"), acorn.parent, pipeline.Shared())
    return page, problems


def test_a_german_edition_has_german_prose(acorn: Path, german: None) -> None:
    page, problems = german_page(acorn)
    for words in ("Eichel", "Eine Eichel für die Hosentasche", "Hütchen", "kastanienbraun", "Füllwatte", "die Sicherheitsaugen"):
        assert words in page, words
    for words in ("A pocket acorn", "the safety eyes", "chestnut", "stuffing", "the Cap"):
        assert words not in page, words
    assert not [found for found in problems if found.code.startswith(("translation", "catalogue"))]


def test_gaps_are_told_and_marked_in_a_proof(acorn: Path, german: None) -> None:
    file = acorn.parent / "locale/acorn.de.po"
    kept = polib.pofile(str(file))
    next(one for one in kept if "pocket" in one.msgid).msgstr = ""
    kept.save()
    page, problems = german_page(acorn)
    gap = next(found for found in problems if found.code == "translation-incomplete")
    assert dict(gap.values)["missing"] == 1 and "A pocket acorn" in page and "nicht übersetzt" not in page
    assert "[nicht übersetzt] A pocket acorn" in german_page(acorn, proof=True)[0]
    assert "<code>17</code>" in german_page(acorn, message_numbers=True)[0]


# ---- checks ----


def codes(acorn: Path, source: str, target: str, old: str = "A pocket acorn for a first project.") -> set[str]:
    acorn.write_text(acorn.read_text("utf-8").replace(old, source), "utf-8")
    run("translate", str(acorn), "--language", "de")
    file = polib.pofile(str(acorn.parent / "locale/acorn.de.po"))
    wanted = next(one for one in file if not one.obsolete and (one.msgctxt or "").startswith("(beginning)"))
    wanted.msgstr, wanted.flags, wanted.previous_msgid = target, [], None
    file.save()
    understood = pipeline.understand(acorn.read_bytes(), str(acorn))
    found = translation.check(understood, "de", acorn.parent)
    assert all(one.file and one.file.endswith("acorn.de.po") and one.span.line > 1 for one in found if one.code.startswith("translation-") and one.code != "translation-incomplete")
    return {one.code for one in found}


@pytest.mark.parametrize(
    ("source", "target", "code"),
    [
        ("Leave 12 loops.", "Lass 13 Schlingen.", "translation-numbers-differ"),
        ("Leave 12 cm.", "Lass 12 mm.", "translation-units-differ"),
        ("See Rnds 3 and 5, then 7 loops.", "Siehe Rd 3 und 7, dann 5 Schlingen.", "translation-rounds-differ"),
        ("Go on with MC, then with B.", "Weiter mit MC, dann mit A.", "translation-yarn-differs"),
        ("Work 3 sc.", "Arbeite 3 {fM}.", "translation-placeholder-differs"),
        ("See [here](https://example.org/a).", "Siehe [hier](https://example.org/b).", "translation-link-differs"),
        ("Make a knot.", "Arbeite 3 sc.", "translation-stitch-word"),
        ("Make a knot.", "<b>Knoten</b>", "translation-html"),
        ("Make a knot.", "", "translation-missing"),
    ],
)
def test_a_wrong_translation_is_found(acorn: Path, source: str, target: str, code: str) -> None:
    assert code in codes(acorn, source, target)


@pytest.mark.parametrize(
    ("source", "target"),
    [
        ("Leave two loops, 2.5 cm wide, in Rnd 3.", "Lass 2 Schlingen, 2,5 cm breit, in der 3. Rd."),
        ("Work 3 sc in B.", "Arbeite 3 {sc} in B."),
        ("Make a knot.", "Knote."),
    ],
)
def test_a_right_translation_has_no_finding(acorn: Path, source: str, target: str) -> None:
    assert not {code for code in codes(acorn, source, target) if code.startswith("translation")}


def test_rounds_are_the_same_in_every_language() -> None:
    """Editors' checklist: the same rounds, numbers and totals in every edition, no abbreviation of another language."""
    from booklet.catalogues.checks import rounds

    understood = pipeline.understand((ACORN / "acorn.md").read_bytes(), "acorn.md")
    for tag in language.printable():
        assert not [found.code for found in rounds(understood.graph.settled, understood.language, load(tag))], tag
    other = replace(load("de"), names={**load("de").names, "increase": load("en-US").names["increase"]}, words={})
    assert "edition-word-foreign" in {found.code for found in rounds(understood.graph.settled, understood.language, other)}


def test_every_word_of_the_designers_is_a_message() -> None:
    understood = pipeline.understand((ACORN / "acorn.md").read_bytes(), "acorn.md")
    found = visit.messages(understood.pattern, understood.language, lambda step: step.text)
    assert {"Acorn", "Nut", "Cap", "chestnut", "stuffing", "A pocket acorn for a first project.", "https://example.org/acorn"} <= {one.text for one in found}
    assert not [one for one in found if "Stuff" in one.text or "Rnd" in one.text]


def test_a_variant_without_a_catalogue_has_its_bases(acorn: Path) -> None:
    """Spain's translation serves Latin America until there is one of its own, and is what that one begins with."""
    run("translate", str(acorn), "--language", "es")
    spain = acorn.parent / "locale/acorn.es.po"
    file = polib.pofile(str(spain))
    title = next(one for one in file if one.msgid == "Acorn")
    title.msgstr = "Bellota"
    file.save()
    before = spain.read_bytes()
    understood = pipeline.understand(acorn.read_bytes(), str(acorn))
    assert "catalogue-missing" not in {one.code for one in translation.check(understood, "es-419", acorn.parent)}
    made = translation.localised(understood, Edition(("es-419",), ""), acorn.parent)
    assert made.understood.pattern.title == "Bellota"
    run("translate", str(acorn), "--language", "es-419")
    own = polib.pofile(str(acorn.parent / "locale/acorn.es-419.po"))
    assert own.metadata["Language"] == "es_419" and next(one for one in own if one.msgid == "Acorn").msgstr == "Bellota"
    assert spain.read_bytes() == before


# ---- finished catalogues of the examples, forms and labels ----

CATALOGUES = sorted((ACORN.parent).glob("*/locale/*.po"))


@pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.stem)
def test_the_examples_catalogues_are_whole(path: Path, tmp_path: Path) -> None:
    stem, tag = path.stem.rsplit(".", 1)
    shutil.copytree(path.parents[1], tmp_path / "copy")
    file = tmp_path / "copy" / f"{stem}.md"
    understood = pipeline.understand(file.read_bytes(), str(file))
    found = translation.check(understood, tag, file.parent)
    assert [one.code for one in found if one.code.startswith(("translation", "catalogue"))] == []
    _, problems = pipeline.book_of(understood, Edition((tag,), ""), layout("a5"), file.parent, pipeline.Shared())
    assert [one.code for one in problems if one.code.startswith(("translation", "catalogue"))] == []
    assert run("translate", str(file), "--language", tag) == 0
    before, after = ([(one.msgctxt, one.msgid, one.msgstr, one.fuzzy) for one in polib.pofile(str(one))] for one in (path, file.parent / "locale" / path.name))
    assert after == before and len(after) > 10


def said(file: Path, tag: str) -> str:
    understood = pipeline.understand(file.read_bytes(), str(file))
    page, _, _ = pipeline.set_pages(understood, Edition((tag,), ""), layout("a5"), file.parent, pipeline.Shared())
    return page.replace("\u00a0", " ")


def test_words_of_a_sentence_contract_with_their_article(acorn: Path) -> None:
    # Source: Diccionario panhispánico de dudas: a + el = al, de + el = del.
    page = said(acorn, "es")
    assert "Coser el sombrerito al fruto, sobre las vueltas 1 a 3" in page and "a el fruto" not in page


@pytest.mark.parametrize(
    ("tag", "text", "told"),
    [
        ("es", "Coser a el Mar", "Coser al Mar"),
        ("es", "Coser a El Mar", "Coser a El Mar"),
        ("fr", "à le dos, de les yeux, à l’œil", "au dos, des yeux, à l’œil"),
        ("it", "a la testa, su gli occhi", "alla testa, sugli occhi"),
        ("pt-BR", "a a cabeça, em o corpo", "à cabeça, no corpo"),
        ("de", "an das Bein", "an das Bein"),
        ("es-419", "de el cuerpo", "del cuerpo"),
    ],
)
def test_contractions(tag: str, text: str, told: str) -> None:
    # Source: grammars of the languages (preposition and article), from memory.
    from booklet.pages.sentences import contracted

    assert contracted(text, load(tag)) == told


def test_without_its_form_a_name_stands_as_a_label(acorn: Path) -> None:
    path = acorn.parent / "locale/acorn.es.po"
    file = polib.pofile(str(path))
    for entry in file:
        if entry.msgid in ("the Cap", "the Nut", "the safety eyes"):
            entry.msgstr = ""
    file.save(str(path))
    page = said(acorn, "es")
    assert "Coser «Sombrerito» a «Fruto», sobre las vueltas 1 a 3" in page
    assert "Colocar «ojos de seguridad» entre" in page


def test_quotes_are_never_doubled(acorn: Path) -> None:
    path = acorn.parent / "locale/acorn.pl.po"
    for words in ("Czapeczka", "„Czapeczka”", ""):
        file = polib.pofile(str(path))
        for entry in file:
            if entry.msgid == "the Cap":
                entry.msgstr = words
        file.save(str(path))
        assert "Przyszyć część „Czapeczka” do części „Owoc”, na okr 1 do 3." in said(acorn, "pl")
