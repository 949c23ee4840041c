"""Comes in: a Book, a layout and prepared pictures. Goes out: one HTML page and the files it shows; no PDF is made here.

The only door to Jinja2 and to Markdown. Whatever a designer typed is text: it is escaped, Markdown is read without raw
HTML, and a link leads to https, mailto or a place in the booklet, or is no link.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from booklet.drawings.drawing import Drawing
from booklet.editions.discover import MM_PER_POINT, Layout
from booklet.outputs.codes import printed_mm, qr
from booklet.outputs.html_titles import balanced, cells
from booklet.outputs.pdf_heights import statement_sizes
from booklet.outputs.pictures import Prepared
from booklet.outputs.rosette import rosette
from booklet.outputs.svg import svg
from booklet.outputs.svg_signs import sign
from booklet.pages.book import Book, Chart, LegendRow, Picture, Ring, Round
from booklet.resources import folder
from booklet.tables.language import from_right

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from markdown import Markdown

# The deepest nesting of quotes and lists that is set. A book has two; the PDF engine recurses at each level.
DEEPEST = 8
# Longer blocks are set as plain text: no paragraph of a booklet is a quarter of a novel, and the patterns of Markdown
# take quadratic time on some texts.
LONGEST = 20_000
# More opening brackets than this in one block are no links any more; looking for their ends takes quadratic time (46 s for
# 15,000 of them, measured).
MOST_BRACKETS = 60
CHART_FONT = "Alegreya Sans"  # of the numbers in charts
COMPACT = "compact.html"  # a layout's page for readers who need no explanations
INCH = re.compile(r'(?<=\d)"')
COUNTED = re.compile(r"(?<=\d) (?=[^\W\d])")
COUNTER = re.compile(r"\d+[\u3041-\u30ff\u4e00-\u9fff]")  # written without a space
ALLOWED_LINK = re.compile(r"(?:https://|mailto:|#)[^\s<>\"']*\Z", re.IGNORECASE)


def html(
    book: Book, layout: Layout, pictures: Mapping[tuple[str, str], Prepared] | None = None
) -> tuple[str, dict[str, bytes]]:
    """Set a book in a layout.

    `pictures` holds what outputs.pictures.gather prepared; a picture that is not among them is left out. The files are
    named as the page's `src` attributes name them. Raises jinja2.UndefinedError if the layout asks for a field or a
    word that does not exist, jinja2.TemplateNotFound if it includes a file outside layouts/.
    """
    files: dict[str, bytes] = {}
    environment = _environment(book, layout, pictures or {}, files)
    pages = [f"{layout.name}/{layout.page}"]
    if book.reader == "none":  # a layout need not have a compact form: a card is one already
        pages.insert(0, f"{layout.name}/{COMPACT}")
    page = environment.select_template(pages)
    text = page.render(book=book, words=book.words, layout=layout)
    if book.direction == "rtl":
        from booklet.outputs.html_isolated import isolated

        text = isolated(text)
    return text, files


def _environment(
    book: Book, layout: Layout, pictures: Mapping[tuple[str, str], Prepared], files: dict[str, bytes]
) -> Any:  # noqa: ANN401 - a SandboxedEnvironment; naming it here would load Jinja2
    from jinja2 import FileSystemLoader, StrictUndefined
    from jinja2.sandbox import ImmutableSandboxedEnvironment
    from markupsafe import Markup

    from booklet.outputs.html_kept import kept

    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(folder("layouts")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=False,
        lstrip_blocks=False,
        keep_trailing_newline=True,
        bytecode_cache=kept(),
    )

    def style(name: str) -> Markup:
        # Style sheets are no templates: braces in them stay braces. The loader refuses names with "..".
        return Markup(environment.loader.get_source(environment, name)[0])

    def digest(name: str) -> str:
        # What a content security policy names a script by (W3C, Content Security Policy Level 3, 2.3.1).
        from base64 import b64encode
        from hashlib import sha256

        return b64encode(sha256(style(name).encode()).digest()).decode("ascii")

    def keep(name: str, made: Callable[[], bytes]) -> str:
        if name not in files:
            files[name] = made()
        return name

    def picture(wanted: Picture, use: str) -> Prepared | None:
        found = pictures.get((wanted.path, use))
        if found is not None:
            files[found.name] = found.data
        return found

    def drawn_width(chart: Chart, kind: str) -> float:
        # A chart that needs more room than the layout wishes to give keeps its size, so that it can be worked from; only
        # what would leave the page is shrunk.
        room = layout.text_mm if kind == "chart" else layout.outline_mm
        shrink = min(1.0, room[0] / chart.width_mm, room[1] / chart.height_mm)
        return round(chart.width_mm * shrink, 2)

    def drawing(chart: Chart) -> str:
        return keep(f"{chart.name}.svg", lambda: _svg(chart.drawing))

    def symbol(row: LegendRow) -> str:
        return keep(f"{row.name}.svg", lambda: _svg(row.drawing))

    def ornament(rings: tuple[Ring, ...]) -> str:
        return keep("rosette.svg", lambda: rosette(rings))

    def mark(name: str) -> str:
        return keep(f"sign-{name}.svg", lambda: sign(name))

    def code(address: str) -> str:
        from zlib import crc32

        return keep(f"code-{crc32(address.encode()):08x}.svg", lambda: qr(address))

    markdown = _markdown(book.quotes)
    environment.globals.update(
        sides=lambda direction=book.direction: Markup(sides(direction)),
        sign=mark,
        code=code,
        code_mm=printed_mm,
        statement_sizes=lambda: statement_sizes(layout.width_mm, layout.height_mm),
        style=style,
        script=style,
        digest=digest,
        photo_of=picture,
        drawing=drawing,
        symbol=symbol,
        rosette=ornament,
    )
    environment.filters.update(
        prose=lambda text, level=3: Markup(prose(text, markdown)),
        line=lambda text: Markup(line(text, markdown)),
        drawn_width=drawn_width,
        balanced=balanced,
        cells=cells,
        short_lines=lambda rows: short_lines(rows, layout),
        held=lambda text: Markup(held(text)),
        counted=lambda text: Markup(counted(text)),
    )
    return environment


def sides(direction: str) -> str:
    """Style rules for words of a language that runs the other way than the booklet's: "" where there are none of them."""
    right = ",".join(f'[lang|="{tag}"]' for tag in from_right())
    if direction == "ltr":
        return f":not(html):is({right}){{direction:rtl}}" if right else ""
    return f"[lang]:not(html):not({right}){{direction:ltr}}"


def _svg(drawing: Drawing) -> bytes:
    # What a reader hears is the alternative text of the <img>.
    return svg(drawing, "", "", font=CHART_FONT).encode()


def prose(text: str, markdown: Markdown | None = None) -> str:
    """Markdown to harmless HTML: paragraphs, lists, quotes, tables, emphasis, links."""
    if len(text) > LONGEST:
        return _plain(text)
    if text.count("[") > MOST_BRACKETS:
        text = text.replace("[", "&#91;")
    if text.count('"') == len(INCH.findall(text)):
        text = INCH.sub("″", text)  # 5" is a measure, unless the block holds other quotes
    markdown = markdown or _markdown()
    markdown.reset()
    try:
        return markdown.convert(text)
    except (RecursionError, _TooDeep):
        return _plain(text)


def line(text: str, markdown: Markdown | None = None) -> str:
    """Markdown of one line, without the paragraph around it."""
    made = prose(" ".join(text.split()), markdown)
    inside = re.fullmatch(r"<p>(.*)</p>", made, re.DOTALL)
    return inside[1] if inside and "<p>" not in inside[1] else _plain(text)[3:-4]


def short_lines(rows: Sequence[Round], layout: Layout) -> bool:
    """Does every round of a card fit on one line of half the width, by an estimate of its letters?"""
    half = (layout.width_mm - layout.margins.inner - layout.margins.outer - 4) / 2
    return len(rows) > 1 and all(
        len(row.boxes) < 3 and not row.choice and 5 + wide(row.label) + 2.5 + wide(row.text) + 10 <= half for row in rows
    )


def wide(text: str) -> float:
    """About how wide a text is among the rounds of a card, in mm; letters of East Asia are as wide as the type is high."""
    from unicodedata import east_asian_width

    return 10 * MM_PER_POINT * sum(1.0 if east_asian_width(sign) in "WF" else 0.52 for sign in text)


def counted(text: str) -> str:
    """A number and what it counts on one line, escaped: `6 stitches`, `6目`."""
    from markupsafe import escape

    return COUNTER.sub(r'<span class="counted">\g<0></span>', str(escape(COUNTED.sub("\u00a0", text))))


def held(text: str) -> str:
    """Plain text, escaped; a short last word is kept with the one before it, so that no line of a round is "st" alone."""
    from markupsafe import escape

    before, _, last = text.rpartition(" ")
    start, _, last_but_one = before.rpartition(" ")
    if not start or len(last) > 3:
        return str(escape(text))
    # A no-break space, not a span that may not break: behind one of those the engine breaks the line at its first space.
    return str(escape(f"{start} {last_but_one}\u00a0{last}"))


def _plain(text: str) -> str:
    from markupsafe import escape

    return f"<p>{escape(text)}</p>"


class _TooDeep(ValueError):
    """Quotes in quotes in quotes."""


def _markdown(quotes: tuple[str, str] = ("“", "”")) -> Markdown:
    from markdown import Markdown
    from markdown.treeprocessors import Treeprocessor

    class Tame(Treeprocessor):
        """Takes away what must not be printed, after everything else has been read."""

        def run(self, root: Element) -> None:
            _measure(root, 0)
            for element in root.iter():
                _tame(element)

    # A typewriter's ' and " become those of a book; the single one is the apostrophe in every language.
    opening, closing = quotes
    signs = {"left-single-quote": "‘", "right-single-quote": "’", "left-double-quote": opening, "right-double-quote": closing}
    smarty = {"smarty": {"smart_dashes": False, "substitutions": {**signs, "ellipsis": "…"}}}
    reader = Markdown(extensions=["tables", "sane_lists", "smarty"], extension_configs=smarty, output_format="xhtml")
    reader.preprocessors.deregister("html_block")
    for name in ("html", "image_link", "image_reference", "short_image_ref"):
        reader.inlinePatterns.deregister(name)
    reader.treeprocessors.register(Tame(reader), "tame", -10)
    return reader


def _measure(element: Element, depth: int) -> None:
    if depth > DEEPEST * 2:
        raise _TooDeep
    for child in element:
        _measure(child, depth + 1)


def _tame(element: Element) -> None:
    if element.tag == "a":
        # `_plain_link` unescapes what Markdown hides, such as the letters of a mail address.
        target = _plain_link(element.get("href", ""))
        element.attrib.clear()
        if ALLOWED_LINK.match(target):
            element.set("href", target)
        else:
            element.tag = "span"
    elif element.tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
        # A heading that hides in prose would break the order of levels.
        element.tag = "p"
        element.set("class", "inline-heading")
    elif element.tag == "th":
        element.set("scope", "col")


def _plain_link(target: str) -> str:
    from html import unescape

    from markdown.util import AMP_SUBSTITUTE

    return unescape(target.replace(AMP_SUBSTITUTE, "&")).strip()
