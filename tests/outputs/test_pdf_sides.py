"""Scripts from right to left: the order of letters in pictures, the side of the spine, and that Hebrew and Korean are printed whole."""

from __future__ import annotations

import io

import pikepdf
import pypdfium2
import pytest

from booklet.outputs.html import sides
from booklet.outputs.pdf import write_pdf
from booklet.outputs.pdf_sides import drawn, from_right, visual


@pytest.mark.parametrize(
    ("typed", "seen"),
    [
        ("חזית", "תיזח"),
        ("סיבוב 12", "12 בוביס"),
        ("רוחב 2.5 ס״מ", "מ״ס 2.5 בחור"),
        ("(שמאל)", "(לאמש)"),
        ("חוט MC 2 ועוד", "דועו MC 2 טוח"),
    ],
)
def test_letters_stand_as_on_paper(typed: str, seen: str) -> None:
    """Source: Unicode Standard Annex 9, the rules for numbers, Latin words and mirrored brackets within text from right to left."""
    assert visual(typed) == seen


def test_only_pictures_with_such_letters_are_touched() -> None:
    files = {"a.svg": b"<svg><text x='1'>Rnd 3</text></svg>", "b.svg": "<svg><text x='1'>צד</text></svg>".encode(), "c.jpg": "צד".encode()}
    made = drawn(files)
    assert made["a.svg"] is files["a.svg"] and made["c.jpg"] is files["c.jpg"]
    assert made["b.svg"].decode() == "<svg><text x='1'>דצ</text></svg>"
    assert from_right("צד") and not from_right("Häkeln 編み")


def test_a_hebrew_page_opens_at_the_right_and_can_be_copied_out() -> None:
    text = "סיבוב אחד"
    made = write_pdf(f'<html lang="he" dir="rtl"><head><title>T</title></head><body><p>{text}</p></body></html>', {})
    with pikepdf.open(io.BytesIO(made.data)) as pdf:
        assert pdf.Root.ViewerPreferences.Direction == "/R2L"
    assert text in pypdfium2.PdfDocument(made.data)[0].get_textpage().get_text_range()
    plain = write_pdf('<html lang="de"><head><title>T</title></head><body><p>Runde</p></body></html>', {})
    with pikepdf.open(io.BytesIO(plain.data)) as pdf:
        assert "/Direction" not in pdf.Root.ViewerPreferences


def test_korean_and_hebrew_in_one_text_take_a_family_each() -> None:
    made = write_pdf('<html lang="ko"><head><title>T</title></head><body><p>짧은뜨기 6코 סיבוב 細編み</p></body></html>', {})
    text = pypdfium2.PdfDocument(made.data)[0].get_textpage().get_text_range()
    assert "짧은뜨기 6코" in text and "סיבוב" in text


def test_words_of_the_other_direction_are_told_by_the_tables() -> None:
    assert '[lang|="he"]' in sides("ltr") and "rtl" in sides("ltr")
    assert "ltr" in sides("rtl")
