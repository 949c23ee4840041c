"""The symbol faces: what is printed is a symbol, what is copied, searched and read aloud is the abbreviation."""

from __future__ import annotations

import importlib.util
import io
import sys
from pathlib import Path

import pypdfium2
import pytest
from fontTools.ttLib import TTFont

from booklet.outputs.pdf import write_pdf
from booklet.outputs.pdf_fonts import face_bytes, faces
from booklet.tables.reader import rows
from booklet.tables.stitches import stitches

FONTS = Path(__file__).resolve().parents[2] / "fonts"
OURS = [face for face in faces() if face.source == "make_symbols.py"]


@pytest.fixture(scope="module")
def maker():
    spec = importlib.util.spec_from_file_location("fonts_make_symbols", FONTS / "make_symbols.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def page(words, family, style=""):
    return write_pdf(
        f'<html lang=en><title>Symbols</title><style>@page{{size:80mm 30mm;margin:5mm}}'
        f'p{{font-family:"{family}";font-size:14pt;letter-spacing:0;{style}}}</style><p>{words}</p>',
        {},
    ).data


def pixels(data):
    return bytes(pypdfium2.PdfDocument(data)[0].render(scale=2).buffer)


def test_the_text_of_a_pdf_stays_the_abbreviation():
    text = pypdfium2.PdfDocument(page("ch sc dc", "Booklet Stitches US"))[0].get_textpage().get_text_range()
    assert text.split() == ["ch", "sc", "dc"]


def test_the_symbols_are_really_drawn_and_letters_alone_are_not():
    empty = pixels(page("&nbsp;", "Booklet Stitches US"))
    assert pixels(page("dc", "Booklet Stitches US")) != empty
    assert pixels(page("d", "Booklet Stitches US")) == empty
    assert pixels(page("dc", "Booklet Stitches US")) != pixels(page("tr", "Booklet Stitches US"))


def test_the_same_letters_are_another_stitch_in_uk_terms():
    """Published conversion lists: UK dc = US sc, UK tr = US dc."""
    assert pixels(page("dc", "Booklet Stitches UK")) == pixels(page("sc", "Booklet Stitches US"))
    assert pixels(page("tr", "Booklet Stitches UK")) == pixels(page("dc", "Booklet Stitches US"))


def test_the_feature_ss01_shows_the_other_symbol_set():
    plain, other = (page("bo", "Booklet Stitches US", style) for style in ("", 'font-feature-settings:"ss01"'))
    assert pixels(plain) != pixels(other)
    same = [page("dc", "Booklet Stitches US", style) for style in ("", 'font-feature-settings:"ss01"')]
    assert pixels(same[0]) == pixels(same[1])


@pytest.mark.parametrize("face", OURS, ids=lambda face: face.family)
def test_every_printed_abbreviation_is_one_ligature(face, maker):
    font = TTFont(io.BytesIO(face_bytes(face.file)))
    cmap, made = font.getBestCmap(), set()
    for table in font["GSUB"].table.LookupList.Lookup if "GSUB" in font else ():
        for sub in table.SubTable:
            for first, ligatures in getattr(sub, "ligatures", {}).items():
                made |= {(first, *one.Component) for one in ligatures}
    system = face.family.rpartition(" ")[2]
    for row in rows(maker.systems()[system]):
        stitch, abbr = stitches()[row.cells["id"]], row.cells["abbr"]
        # Words in kana and kanji are not shortened: they need no ligature.
        if stitch.family != "skip" and len(abbr) > 1 and maker.LETTERS.fullmatch(abbr):
            assert tuple(cmap[ord(c)] for c in abbr) in made, abbr


@pytest.mark.parametrize("face", OURS, ids=lambda face: face.family)
def test_a_symbol_face_is_made_again_byte_for_byte(face, maker):
    """After a change of a symbol, a stitch or an abbreviation: `make fonts`."""
    assert maker.face(face.family.rpartition(" ")[2]) == face_bytes(face.file)


def test_there_is_a_face_for_every_system_of_abbreviations(maker):
    assert {face.family.rpartition(" ")[2] for face in OURS} == set(maker.systems())


def test_letters_take_no_room(maker):
    font = TTFont(io.BytesIO(face_bytes(OURS[0].file)))
    cmap = font.getBestCmap()
    assert {font["hmtx"][name][0] for code, name in cmap.items() if code != 0x20} == {0}
