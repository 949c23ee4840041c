"""A hostile translator, in every form of the file: reordered, cut, other line ends and encodings, HTML and formulas in the words."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import polib
import pytest

from booklet import pipeline, translation
from booklet.catalogues import sent
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from tests.catalogues.called import run

SUFFIX = {"po": ".po", "xliff": ".xlf", "xliff2": ".xliff", "xlsx": ".xlsx"}
FORMS = pytest.mark.parametrize("form", SUFFIX)


def written(acorn: Path, form: str) -> Path:
    """The file that goes to the translator, outside the pattern's folder."""
    assert run("translate", str(acorn), "--language", "de", "--as", form) == 0
    made = acorn.parent / "locale" / f"acorn.de{SUFFIX[form]}"
    other = acorn.parent.parent / f"back{SUFFIX[form]}"
    shutil.copy(made, other)
    if form != "po":
        made.unlink()
    return other


def kept(acorn: Path) -> dict[tuple[str, str], str]:
    return {(one.msgctxt, one.msgid): one.msgstr for one in polib.pofile(str(acorn.parent / "locale/acorn.de.po"))}


def mangled(file: Path, form: str, change, *, every: int = 1, crlf: bool = False) -> None:
    """Reverse the units, keep every nth, put other words into their targets."""
    if form == "xlsx":
        from openpyxl import load_workbook

        book = load_workbook(file)
        page = book.worksheets[0]
        head, *rows = [[cell.value for cell in row] for row in page.iter_rows()]
        at = _target_column(head)
        page.delete_rows(2, len(rows))
        for row in list(reversed(rows))[::every]:
            row[at] = change(row[at] or "")
            page.append(row)
        book.save(file)
        return
    if form == "po":
        entries = polib.pofile(str(file))
        made = polib.POFile()
        made.metadata = entries.metadata
        for one in list(reversed(entries))[::every]:
            one.msgstr = change(one.msgstr)
            made.append(one)
        text = str(made)
    else:
        text = file.read_text("utf-8")
        name = "trans-unit" if form == "xliff" else "unit"
        units = re.findall(rf"<{name} .*?</{name}>", text, re.DOTALL)
        begin, end = text.index(units[0]), text.index(units[-1]) + len(units[-1])
        turned = [re.sub(r"(<target[^>]*>)(.*?)(</target>)", lambda found: found[1] + change(found[2]) + found[3], one, flags=re.DOTALL) for one in list(reversed(units))[::every]]
        text = text[:begin] + "\n".join(turned) + text[end:]
    file.write_bytes(text.replace("\n", "\r\n" if crlf else "\n").encode())


def _target_column(head: list[object]) -> int:
    """The column that a translator fills: the last of the two texts."""
    names = [str(one or "").casefold() for one in head]
    return next(at for at, name in enumerate(names) if "transl" in name)


@FORMS
@pytest.mark.parametrize("crlf", [False, True])
def test_reordered_and_cut_files_take_nothing_away(form: str, crlf: bool, acorn: Path) -> None:
    before = kept(acorn)
    file = written(acorn, form)
    mangled(file, form, lambda text: text + "!" if text.strip() else text, every=2, crlf=crlf)
    assert run("translate", str(acorn), "--language", "de", "--from", str(file)) == 0
    after = kept(acorn)
    assert list(after) == list(before)
    changed = [key for key in after if after[key] != before[key]]
    assert 5 < len(changed) < len(before)
    assert all(after[key] == before[key] + "!" for key in changed)


@FORMS
def test_an_emptied_file_takes_nothing_away(form: str, acorn: Path) -> None:
    before = kept(acorn)
    file = written(acorn, form)
    mangled(file, form, lambda _: "")
    assert run("translate", str(acorn), "--language", "de", "--from", str(file)) == 0
    assert kept(acorn) == before


HTML = "<script>alert(1)</script><b>fett</b> & <img src=x onerror=y>"


@FORMS
def test_html_is_told_and_never_becomes_markup(form: str, acorn: Path) -> None:
    file = written(acorn, form)
    escaped = HTML.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;") if form.startswith("xliff") else HTML
    mangled(file, form, lambda text: escaped if text.strip() else text)
    assert run("translate", str(acorn), "--language", "de", "--from", str(file)) == 0
    assert HTML in kept(acorn).values()
    understood = pipeline.understand(acorn.read_bytes(), str(acorn))
    codes = {found.code for found in translation.check(understood, "de", acorn.parent)}
    assert "translation-html" in codes
    page, _, _ = pipeline.set_pages(understood, Edition(("de",), ""), layout("a5"), acorn.parent, pipeline.Shared())
    body = page[page.index("<body") :]
    assert "alert(1)" in body  # the words are printed as words
    assert "<script>alert" not in body and "<img src=x" not in body


@pytest.mark.parametrize("words", ["=1+1", '=HYPERLINK("https://example.org")', "+49", "@x", "-1"])
def test_a_cell_that_begins_like_a_formula_is_words(words: str, acorn: Path) -> None:
    """OWASP, CSV injection: cells that begin with = + - @ are read as formulas by spreadsheets."""
    from openpyxl import load_workbook

    po = acorn.parent / "locale/acorn.de.po"
    entries = polib.pofile(str(po))
    next(one for one in entries if one.msgid == "Cap").msgstr = words
    entries.save(str(po))
    file = written(acorn, "xlsx")
    cells = [cell for row in load_workbook(file).worksheets[0].iter_rows() for cell in row if cell.value == words]
    assert cells and all(cell.data_type != "f" for cell in cells)
    assert words in [one.target for one in sent.read(file.read_bytes()).entries]


@pytest.mark.parametrize("form", ["po", "xliff", "xliff2"])
@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig", "cp1252"])
def test_other_encodings_come_back_or_are_refused_and_change_nothing(form: str, encoding: str, acorn: Path) -> None:
    before = kept(acorn)
    file = written(acorn, form)
    text = file.read_text("utf-8")
    file.write_bytes(text.encode(encoding, "xmlcharrefreplace" if form != "po" else "replace"))  # the header still says UTF-8
    left = run("translate", str(acorn), "--language", "de", "--from", str(file))
    assert left in (0, 2)
    assert kept(acorn) == before
    assert left == 0 or encoding != "utf-8-sig"


def test_numbers_of_messages_stand_beside_the_words(acorn: Path) -> None:
    understood = pipeline.understand(acorn.read_bytes(), str(acorn))
    edition = Edition(("de",), "", message_numbers=True)
    page, _, _ = pipeline.set_pages(understood, edition, layout("a5"), acorn.parent, pipeline.Shared())
    numbers = {one.text: one.number for one in translation.messages(understood.pattern, understood.language, "de")}
    assert f"[{numbers['Acorn']}] Eichel" in page
    assert f"<code>{numbers['A pocket acorn for a first project.']}</code> Eine Eichel" in page
    assert f"[{numbers['Assembly']}] " in page
