"""Comes in: finished HTML and the files that it names. Goes out: the bytes of a PDF. What is on the page is not decided here.

The only door to the PDF engine. It is sealed: no font of the machine, no file, no network; whatever the page names has to
be in `files`. A missing sign or file is an exception before anything exists that could be written.
"""

from __future__ import annotations

import atexit
import logging
import os
import re
import shutil
import tempfile
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple
from xml.sax.saxutils import escape

from booklet.dated import told
from booklet.outputs.pdf_fonts import MissingGlyphs, Prepared, face_bytes, faces, faces_for, font_css, known_characters
from booklet.outputs.pdf_sides import drawn, opens_at_right

if TYPE_CHECKING:
    from weasyprint.document import Document

    from booklet.outputs.pdf_looked import Seen

# The address of `files`: <img src="otter.jpg"> is BASE + "otter.jpg". Not a scheme of ours, since relative addresses are
# joined for known schemes only; ".invalid" can never be a host (RFC 2606), and nothing here could ask one anyway.
BASE = "http://pattern.invalid/"
FILLER = "filler"  # the @page of sides without words
LINKS = ("https:", "mailto:")  # what a page may point to outside itself
KINDS = {".css": "text/css", ".svg": "image/svg+xml", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png"}
NOTDEF = re.compile(r"\.notdef glyph rendered .*\(U\+([0-9A-F]+)\)")  # the engine's warning about a missing sign


class OutputFault(Exception):
    """The page cannot be printed as it is: a file it names is missing or broken, a picture has no text alternative, and such.

    `what` holds the engine's sentences. A fault of a layout or of this program, never of a pattern's rounds.
    """

    def __init__(self, what: tuple[str, ...]) -> None:
        self.what = what
        super().__init__("; ".join(what))


class PdfResult(NamedTuple):
    """A finished PDF."""

    data: bytes
    page_count: int
    warnings: tuple[str, ...]  # the engine's remarks on a layout's CSS; none for a layout of ours


class Rendered:
    """Pages that are laid out but not written: ask how many there are, write them once or in several variants."""

    def __init__(self, document: Document, remarks: tuple[str, ...]) -> None:
        self._document = document
        self.warnings = remarks

    @property
    def page_count(self) -> int:
        """How many pages there are."""
        return len(self._document.pages)

    @property
    def names(self) -> tuple[str, ...]:
        """The @page name of every page, "" for one without."""
        return tuple(page._page_box.page_type.name or "" for page in self._document.pages)

    @property
    def spare(self) -> int:
        """How many of them are fillers."""
        return sum(page._page_box.page_type.name == FILLER for page in self._document.pages)

    def held(self, name: str) -> int:
        """On how many of them something stands that has this id."""
        from booklet.outputs.pdf_measured import held

        return held(self._document, name)

    def left_before(self, name: str) -> float:
        """How much of the page before the one on which that begins is empty, in mm."""
        from booklet.outputs.pdf_measured import left_before

        return left_before(self._document, name)

    def measured(self, spare: str = FILLER) -> tuple[float, dict[str, float]]:
        """Sides that are filled, without those of the name `spare`, and the sides that each block takes that a card can do without."""
        from booklet.outputs.pdf_measured import measured

        return measured(self._document, spare)

    def looked(self) -> tuple[Seen, ...]:
        """What a book designer would object to in the lines and tables."""
        from booklet.outputs.pdf_looked import looked

        return looked(self._document)

    def fill_up(self, multiple: int, name: str = FILLER) -> Rendered:
        """The same with as many pages of that @page name as make the count a multiple: the others are taken out, last first.

        One layout is enough so: fillers are set generously and stand before the last page. Where even all of them are too few,
        the count stays as near as it gets.
        """
        pages = list(self._document.pages)
        spare = [i for i, page in enumerate(pages) if page._page_box.page_type.name == name]
        plain = len(pages) - len(spare)
        keep = -plain % multiple if -plain % multiple <= len(spare) else len(spare)
        out = set(spare[keep:])
        return Rendered(self._document.copy([page for i, page in enumerate(pages) if i not in out]), self.warnings)

    def write(self, *, variant: str | None = "pdf/ua-1", show: str = "trim") -> PdfResult:
        """The bytes of the PDF: the same for the same pages, on every run.

        `show` is what a viewer shows and a home printer prints: the "trim"med page or the sheet with its "bleed".
        Raises MissingGlyphs and OutputFault.
        """
        if show not in ("trim", "bleed"):
            raise ValueError(f"show is trim or bleed, not {show!r}")
        metadata = self._document.metadata
        date = _date()
        metadata.created, metadata.modified = metadata.created or date, metadata.modified or metadata.created or date
        with _watched() as remarks:
            data = self._document.write_pdf(pdf_variant=variant, finisher=_show_trim if show == "trim" else opens_at_right)
        return PdfResult(data, self.page_count, tuple(dict.fromkeys(self.warnings + tuple(remarks))))


def write_pdf(
    html: str, files: Mapping[str, bytes], *, variant: str | None = "pdf/ua-1", show: str = "trim"
) -> PdfResult:
    """Lay out and write in one go; see `render` and `Rendered.write`."""
    return render(html, files).write(variant=variant, show=show)


def render(html: str, files: Mapping[str, bytes]) -> Rendered:
    """Lay `html` out. Style sheets and pictures are named in it by their key in `files`, and come from nowhere else.

    Language, title, author and dates are those of the HTML: lang, <title>, <meta name=author>, <meta name=dcterms.created>.
    Raises MissingGlyphs for a character that no font has, OutputFault for anything else that cannot be printed.
    """
    prepared = faces_for(html, files)
    weasyprint = _engine()
    with _watched() as remarks:
        fonts, style = _set_of_faces(prepared) if prepared else _own_faces()
        page = weasyprint.HTML(string=html, base_url=BASE, url_fetcher=_fetcher(drawn(files), prepared))
        document = page.render(font_config=fonts, stylesheets=[style], pdf_variant="pdf/ua-1")
    _check_links(document)
    return Rendered(document, tuple(remarks))


def warm() -> None:
    """Load the engine, the fonts and what they cover, so that forked processes inherit them."""
    _engine()
    known_characters()


@cache
def _engine() -> Any:  # noqa: ANN401  (a module)
    """WeasyPrint, imported with the fonts of the machine out of reach."""
    folder = Path(tempfile.mkdtemp(prefix="pattern-booklet-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    # No <dir>: only the faces of our own style sheet exist. With one, another machine would print other pages.
    sealed = folder / "fonts.conf"
    sealed.write_text(
        '<?xml version="1.0"?>\n<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">\n'
        f"<fontconfig><cachedir>{escape(str(folder / 'cache'))}</cachedir></fontconfig>\n",
        encoding="utf-8",
    )
    os.environ["FONTCONFIG_FILE"] = str(sealed)  # read at import, and again for every set of fonts
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # "No fonts configured": that is the point
        import weasyprint

    from booklet.outputs.pdf_tags import complete_tags

    complete_tags()
    return weasyprint


@cache
def _own_faces() -> Any:  # noqa: ANN401
    """The faces of fonts/, opened once: a card is laid out several times, and each opening costs a tenth of a second."""
    return _set_of_faces(())


def _set_of_faces(prepared: tuple[Prepared, ...]) -> Any:  # noqa: ANN401
    """The engine's own values for a set of faces: where it finds them, and the style sheet that names them."""
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    style = _engine().CSS(string=font_css(prepared), font_config=fonts, url_fetcher=_fetcher({}, prepared), base_url=BASE)
    return fonts, style


def _fetcher(files: Mapping[str, bytes], prepared: tuple[Prepared, ...]) -> Any:  # noqa: ANN401
    """What the engine asks for addresses: an answer from `files` or from our fonts, and a refusal for all others."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    fonts = {face.url: face.file for face in faces() if face.file}
    made = {one.face.url: one.data for one in prepared}

    class OnlyOurs(URLFetcher):
        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
            if url in fonts:
                return URLFetcherResponse(url, face_bytes(fonts[url]), {"Content-Type": "font/ttf"})
            if url in made:
                return URLFetcherResponse(url, made[url], {"Content-Type": "font/ttf"})
            name = _name(url)
            if name not in files:
                raise ValueError("not among the files of this booklet")
            kind = KINDS.get(Path(name).suffix.lower(), "application/octet-stream")
            return URLFetcherResponse(url, files[name], {"Content-Type": kind})

    return OnlyOurs(allowed_protocols=set(), allow_redirects=False)


def _name(url: str) -> str | None:
    """The key in `files` that an address means, or None."""
    from urllib.parse import unquote

    return unquote(url.removeprefix(BASE).split("#")[0].split("?")[0]) if url.startswith(BASE) else None


@contextmanager
def _watched() -> Iterator[list[str]]:
    """Gather what the engine remarks; at the end, raise for missing glyphs and failed resources, keep the rest."""
    remarks: list[str] = []
    failed: list[str] = []
    missing: set[str] = set()

    class Ear(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            sentence = record.getMessage().replace(BASE, "")
            if found := NOTDEF.match(sentence):
                missing.add(chr(int(found[1], 16)))
            elif record.levelno >= logging.ERROR or sentence.startswith("Font-face"):
                failed.append(sentence)
            else:
                remarks.append(sentence)

    logger, ear = logging.getLogger("weasyprint"), Ear(logging.WARNING)
    level, propagate = logger.level, logger.propagate
    logger.addHandler(ear)
    logger.setLevel(logging.WARNING)  # an application that silences its loggers must not silence this
    logger.propagate = False
    try:
        yield remarks
    except RecursionError as deep:
        raise OutputFault(("elements are nested too deeply",)) from deep
    finally:
        logger.removeHandler(ear)
        logger.setLevel(level)
        logger.propagate = propagate
    if missing:
        raise MissingGlyphs(missing)
    if failed:
        raise OutputFault(tuple(dict.fromkeys(failed)))


def _check_links(document: Document) -> None:
    """Only the web over TLS, mail, and places in the booklet itself may be pointed to."""
    targets = (target for page in document.pages for kind, target, *_ in page.links if kind != "internal")
    bad = [f"a link to {target}" for target in targets if not str(target).lower().startswith(LINKS)]
    if bad:
        raise OutputFault(tuple(dict.fromkeys(bad)))


def _show_trim(document: Document, pdf: Any) -> None:  # noqa: ANN401  (the engine's own value)
    """Viewers open on the trimmed page, though the sheet holds the bleed (CropBox, ISO 32000-1, 14.11.2)."""
    opens_at_right(document, pdf)
    for item in pdf.objects:
        if hasattr(item, "get") and item.get("Type") == "/Page" and item["TrimBox"] != item["MediaBox"]:
            item["CropBox"] = item["TrimBox"]


def _date() -> str | None:
    """The moment that SOURCE_DATE_EPOCH names; otherwise none, since the clock would make every file another one."""
    moment = told()
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ") if moment else None
