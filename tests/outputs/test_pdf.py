"""The door to the PDF engine: sealed, deterministic, complete; read back with other libraries than the one that wrote."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys

import pikepdf
import pypdfium2
import pytest

from booklet.dated import told
from booklet.outputs import pdf, pdf_fonts
from booklet.outputs.pdf import OutputFault, render, write_pdf
from booklet.outputs.pdf_boxes import page_boxes
from booklet.outputs.pdf_fonts import MissingGlyphs

A5 = (148.0, 210.0)  # mm, ISO 216
BLEED = 3.0

CSS = b"""
@page { size: A5; bleed: 3mm; margin: 15mm }
h1 { font: 600 24pt "Literata Display" }
th { font: 500 9pt "Alegreya Sans" }
"""
SQUARE = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="9mm" height="9mm"><path d="M0 0H9V9H0Z"/></svg>'


def page(body: str, language: str = "en-US") -> str:
    return (
        f'<!doctype html><html lang="{language}"><head><title>A title</title><meta name="author" content="Example Studio">'
        f'<link rel="stylesheet" href="css/a5.css"></head><body><h1>A title</h1>{body}</body></html>'
    )


FILES = {"css/a5.css": CSS, "a square.svg": SQUARE}


def opened(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(data))


def text_of(data: bytes) -> str:
    document = pypdfium2.PdfDocument(data)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def test_a_title_is_printed_on_an_a5_page_with_bleed() -> None:
    made = write_pdf(page("<p>Six stitches in a ring.</p>"), FILES)
    assert made.page_count == 1
    assert made.warnings == ()
    (boxes,) = page_boxes(made.data)
    width, height = A5
    assert boxes.trim == pytest.approx((0, 0, width, height), abs=0.01)
    assert boxes.crop == boxes.trim
    assert boxes.bleed == pytest.approx((-BLEED, -BLEED, width + BLEED, height + BLEED), abs=0.01)
    assert boxes.media == boxes.bleed
    assert "A title" in text_of(made.data)
    assert "Six stitches in a ring." in text_of(made.data)


def test_a_press_sheet_shows_the_bleed() -> None:
    (boxes,) = page_boxes(write_pdf(page(""), FILES, show="bleed").data)
    assert boxes.crop == boxes.media


def test_fonts_are_embedded_as_subsets_of_ours() -> None:
    data = write_pdf(page("<p>Text <em>and</em> <b>more</b></p><table><tr><th scope=row>x<td>y</table>"), FILES).data
    allowed = {face.family.replace(" ", "-") for face in pdf_fonts.faces()}
    document = opened(data)
    fonts = [o for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor"]
    assert len(fonts) == 5
    for font in fonts:
        assert "/FontFile2" in font  # TrueType, ISO 32000-1 table 126
        prefix, _, name = str(font.FontName)[1:].partition("+")
        assert len(prefix) == 6  # a subset, ISO 32000-1, 9.6.4
        assert any(name.startswith(family) for family in allowed), name
        assert len(font.FontFile2.read_bytes()) < 20_000


def test_it_is_a_tagged_file_with_title_language_and_author() -> None:
    data = write_pdf(page("<h2>A part</h2><p>Text</p>"), FILES).data
    document = opened(data)
    assert document.docinfo["/Title"] == "A title"
    assert document.docinfo["/Author"] == "Example Studio"
    assert document.Root.Lang == "en-US"
    assert document.Root.ViewerPreferences.DisplayDocTitle
    assert document.Root.MarkInfo.Marked
    assert b"pdfuaid" in document.Root.Metadata.read_bytes()
    with document.open_outline() as outline:
        assert [item.title for item in outline.root] == ["A title"]
        assert [item.title for item in outline.root[0].children] == ["A part"]


def test_tags_say_language_direction_and_label() -> None:
    body = (
        '<p>Use a <span lang="de">H&auml;kelnadel</span>.</p>'
        '<table><tr><th>Round<th scope="col">Total<tr><th scope="row">1<td>6</table>'
        '<svg xmlns="http://www.w3.org/2000/svg" aria-label="a square" width="9" height="9"><path d="M0 0H9V9H0Z"/></svg>'
    )
    document = opened(write_pdf(page(body), FILES).data)
    elements = [o for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/StructElem"]
    assert [str(e.Lang) for e in elements if "/Lang" in e] == ["de"]
    scopes = sorted(str(e.A.Scope) for e in elements if e.S == "/TH" and "/A" in e)
    assert scopes == ["/Column", "/Column", "/Row"]
    assert [str(e.Alt) for e in elements if e.S == "/Figure"] == ["a square"]


def test_the_private_function_behind_the_tags_has_not_moved() -> None:
    """Fails with a new version of the engine that has another shape: look at pdf_tags.py, then raise the pin."""
    import inspect

    import weasyprint
    from weasyprint.pdf import tags

    render(page(""), FILES)
    assert weasyprint.__version__ == "70.0"
    assert tags._build_box_tree._pattern_booklet_adds_tags
    names = list(inspect.signature(inspect.unwrap(tags._build_box_tree)).parameters)
    assert names == ["box", "parent", "pdf", "page_number", "nums", "annotations", "tags"]


PROGRAM = """
import hashlib, json, sys
from booklet.outputs.pdf import write_pdf
html, files = json.load(sys.stdin)
made = write_pdf(html, {name: text.encode() for name, text in files.items()})
print(hashlib.sha256(made.data).hexdigest())
"""


def digest_in_a_new_process(seed: str, **environment: str) -> str:
    body = '<p>Text <em lang="de">und</em> mehr → ½</p><img src="a%20square.svg" alt="a square"><h2>B</h2><a href="#x">x</a>'
    given = json.dumps([page(body + '<p id="x">y'), {name: data.decode() for name, data in FILES.items()}])
    clean = {name: value for name, value in os.environ.items() if name not in ("SOURCE_DATE_EPOCH", "FONTCONFIG_FILE")}
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        input=given,
        capture_output=True,
        text=True,
        check=True,
        env={**clean, "PYTHONHASHSEED": seed, **environment},
    )
    return done.stdout.strip()


def test_the_same_page_gives_the_same_bytes_in_every_process() -> None:
    assert digest_in_a_new_process("1") == digest_in_a_new_process("2", TZ="Pacific/Auckland", LC_ALL="C")


def test_source_date_epoch_is_the_date_of_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    without = write_pdf(page(""), FILES).data
    file = opened(without)
    assert "/CreationDate" not in file.docinfo
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1735689600")
    dated = write_pdf(page(""), FILES).data
    file = opened(dated)
    assert file.docinfo["/CreationDate"] == "D:20250101000000Z"  # 1735689600 s after 1970, in UTC
    assert hashlib.sha256(dated).digest() != hashlib.sha256(without).digest()


@pytest.mark.parametrize("words", ["", "soon", "-1", "1e9", "²", "١٢", "9" * 40, "253402300800", " 1", "1.5"])
def test_a_source_date_epoch_that_is_no_moment_is_none(words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Digits alone, at most the year 9999 (reproducible-builds.org, SOURCE_DATE_EPOCH specification)."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", words)
    assert told() is None
    assert "/CreationDate" not in opened(write_pdf(page(""), FILES).data).docinfo


def test_a_sign_that_no_font_has_is_named_before_layout() -> None:
    with pytest.raises(MissingGlyphs) as caught:
        render(page("<p>Knit \N{DESERET CAPITAL LETTER LONG I} and \N{MUSICAL SYMBOL G CLEF}</p>"), FILES)
    assert caught.value.characters == ("\N{DESERET CAPITAL LETTER LONG I}", "\N{MUSICAL SYMBOL G CLEF}")
    assert caught.value.extra == ""
    assert "U+1D11E musical symbol g clef" in str(caught.value)


def test_a_sign_that_only_css_makes_is_caught_when_writing() -> None:
    style = CSS + "p::before { content: '\N{MUSICAL SYMBOL G CLEF}' }".encode()
    laid_out = render(page("<p>x"), {**FILES, "css/a5.css": style})
    with pytest.raises(MissingGlyphs) as caught:
        laid_out.write()
    assert caught.value.characters == ("\N{MUSICAL SYMBOL G CLEF}",)


def test_signs_that_need_no_glyph_are_no_fault() -> None:
    body = "<p>soft\u00adhyphen, no\u00a0break, non\u2011breaking, e\u0301, zero\u200bwidth, thin\u2009space\ufe0f</p>"
    assert write_pdf(page(body), FILES).warnings == ()


def test_text_that_is_never_printed_is_not_looked_at() -> None:
    clef = "\N{MUSICAL SYMBOL G CLEF}"
    body = f'<p title="{clef}">x</p><!-- {clef} --><style>/* {clef} */</style>'
    assert render(page(body), FILES).page_count == 1


@pytest.mark.parametrize(
    "body",
    [
        '<img src="not there.png" alt="x">',
        '<img src="file:///etc/hostname" alt="x">',
        '<img src="/etc/hostname" alt="x">',
        '<img src="../../../etc/hostname" alt="x">',
        '<img src="http://127.0.0.1:9/x.png" alt="x">',
        '<img src="data:image/png;base64,AAAA" alt="x">',
        '<link rel="stylesheet" href="file:///etc/passwd">',
        '<style>@import url("https://example.org/x.css");</style>',
        '<style>@font-face { font-family: Z; src: url("file:///usr/share/fonts/z.ttf") } p { font-family: Z }</style><p>x',
        '<base href="file:///etc/"><img src="hostname" alt="x">',
    ],
)
def test_nothing_outside_the_given_files_is_read(body: str) -> None:
    with pytest.raises(OutputFault):
        render(page(body), FILES)


def test_an_attachment_from_the_disk_is_not_taken_along() -> None:
    with pytest.raises(OutputFault):
        write_pdf(page('<p><a rel="attachment" href="file:///etc/hostname">x</a>'), FILES)


@pytest.mark.parametrize("target", ["javascript:alert(1)", "file:///etc/hostname", "http://example.org/", "notes.txt"])
def test_links_lead_to_the_web_over_tls_to_mail_or_into_the_booklet(target: str) -> None:
    with pytest.raises(OutputFault, match="a link to"):
        render(page(f'<p><a href="{target}">x</a>'), FILES)
    assert render(page('<p id="a"><a href="https://example.org/">x</a><a href="mailto:a@example.org">y</a><a href="#a">z</a>'), FILES)


def test_a_broken_picture_is_a_fault() -> None:
    with pytest.raises(OutputFault, match=r"x\.png"):
        render(page('<img src="x.png" alt="x">'), {**FILES, "x.png": b"no picture"})


def test_a_picture_without_a_text_alternative_is_a_fault() -> None:
    laid_out = render(page('<img src="a%20square.svg" alt="">'), FILES)
    with pytest.raises(OutputFault, match="alt"):
        laid_out.write()


def test_elements_nested_without_end_are_a_fault_and_no_crash() -> None:
    with pytest.raises(OutputFault, match="nested"):
        render(page("<div>" * 3000), FILES)


def test_an_application_that_silences_its_logs_does_not_silence_the_faults() -> None:
    import logging

    pdf.warm()  # the engine brings a handler of its own
    logger = logging.getLogger("weasyprint")
    before = logger.level, list(logger.handlers)
    logger.setLevel(logging.CRITICAL)
    try:
        with pytest.raises(OutputFault):
            render(page('<img src="not there.png" alt="x">'), FILES)
    finally:
        logger.setLevel(before[0])
    assert logger.handlers == before[1]


def test_remarks_about_a_layouts_css_are_handed_back() -> None:
    (remark,) = write_pdf(page("<style>p { colour: red }</style><p>x"), FILES).warnings
    assert "colour" in remark


def test_pages_are_counted_before_they_are_written() -> None:
    laid_out = render(page('<p style="break-before: page">x' * 3), FILES)
    assert laid_out.page_count == 4
    assert len(page_boxes(laid_out.write().data)) == 4


def test_the_fonts_of_the_machine_are_out_of_reach() -> None:
    data = write_pdf(page('<p style="font-family: DejaVu Sans, Arial, sans-serif">Text in a font that is not ours'), FILES).data
    document = opened(data)
    names = {str(o.FontName) for o in document.objects if isinstance(o, pikepdf.Dictionary) and "/FontFile2" in o}
    assert names
    assert not any("DejaVu" in name or "Arial" in name for name in names)
    assert "pattern-booklet-" in os.environ["FONTCONFIG_FILE"]
    assert pdf._engine() is pdf._engine()
