"""Comes in: the facts of a PDF and what it is for. Goes out: what would be objected to; the words are in shared/press."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from booklet.press.facts import Box, Facts, Finding, Page
from booklet.press.rules import paper_name, rules

CENTS = 0.01  # mm: boxes are compared to a hundredth of a millimetre
BLEED_MM = 3.0  # usual in Europe; 1/8 inch = 3.175 mm in North America: common practice, no source
SAFE_MM = 3.0  # words stay this far from the knife: common practice, no source
LEAST_DPI, SHARP_DPI = 150, 200  # common practice, no source
MOST_INK = 300.0  # %, sheet-fed offset on coated paper; uncoated paper takes less: common practice, no source
HAIRLINE_PT = 0.25  # common practice, no source
FOLD = 4  # a sheet folded once has four pages
GRAVITY = {"error": 0, "warning": 1, "note": 2}
DEVICE_SPACES = {"DeviceCMYK", "DeviceGray", "ICCBased/4", "ICCBased/1", "CalGray", "Pattern", "Indexed of DeviceCMYK", "inline",
                 "Indexed of DeviceGray", "Indexed of ICCBased/4", "Indexed of ICCBased/1", "none", "unknown",
                 "Separation/All"}  # All is every plate at once: crop marks
SPOT = {"Separation", "DeviceN"}


class _Hit(NamedTuple):
    code: str
    pages: tuple[int, ...] = ()
    values: tuple[tuple[str, object], ...] = ()


def judge(facts: Facts, purpose: str = "press", most_ink: float = MOST_INK) -> tuple[Finding, ...]:
    """Every objection, the gravest first."""
    known = rules()
    found = []
    for hit in (*_whole(facts), *_boxes(facts.pages), *_on_pages(facts.pages, most_ink)):
        rule = known[hit.code]
        severity = rule.severity[purpose]
        if severity == "-":
            continue
        values = {name: str(value) for name, value in hit.values}
        found.append(Finding(hit.code, severity, rule.message.format(**values), rule.help.format(**values), hit.pages))
    return tuple(sorted(found, key=lambda one: GRAVITY[one.severity]))


def _whole(facts: Facts) -> Iterator[_Hit]:
    """What concerns the file."""
    count = facts.page_count
    if facts.encrypted:
        yield _Hit("encrypted")
    if facts.scripts:
        yield _Hit("script")
    if facts.attachments:
        yield _Hit("attachment")
    if facts.fonts_missing:
        yield _Hit("font-not-embedded", (), (("fonts", _listed(facts.fonts_missing)),))
    if count % FOLD and count > 2:
        yield _Hit("page-count", (), (("count", count), ("more", -count % FOLD)))
    if not facts.intent:
        yield _Hit("output-intent-missing")
    if not facts.tagged:
        yield _Hit("not-tagged")
    if not facts.title:
        yield _Hit("title-missing")
    if not facts.dated:
        yield _Hit("date-missing")
    if not facts.language:
        yield _Hit("language-missing")
    if not facts.outlines and count > 8:
        yield _Hit("bookmarks-missing", (), (("count", count),))
    if count > len(facts.pages):
        yield _Hit("too-many-pages", (), (("count", count), ("most", len(facts.pages))))


def _boxes(pages: tuple[Page, ...]) -> Iterator[_Hit]:
    """The boxes of the pages, to 0.01 mm."""
    flat = _where(pages, lambda page: min(_size(page.trim)) < CENTS)
    if flat:
        yield _Hit("box-without-size", flat)
    wrong = _where(pages, lambda page: not (_within(page.trim, page.bleed) and _within(page.bleed, page.media)))
    if wrong:
        yield _Hit("boxes-nested-wrong", wrong)
    sizes: dict[str, list[int]] = {}
    for page in pages:
        sizes.setdefault(size_words(page.trim), []).append(page.number)
    if len(sizes) > 1:
        yield _Hit("boxes-differ", (), (("sizes", _listed(tuple(sizes))),))
    unnamed = [page for page in pages if min(_size(page.trim)) >= CENTS and not paper_name(*_size(page.trim))]
    if unnamed:
        yield _Hit("size-has-no-name", tuple(page.number for page in unnamed), (("size", size_words(unnamed[0].trim)),))
    bare = [page for page in pages if bleed_of(page) < BLEED_MM - CENTS]
    if bare:
        least = f"{BLEED_MM:g}"
        yield _Hit("bleed-missing", _numbers(bare), (("bleed_mm", f"{min(map(bleed_of, bare)):.2f}"), ("least_mm", least)))


def _on_pages(pages: tuple[Page, ...], most_ink: float) -> Iterator[_Hit]:
    """What is painted."""
    yield from _words_and_edges(pages)
    yield from _pictures(pages)
    screen = [page for page in pages if set(page.spaces) - DEVICE_SPACES - SPOT]
    if screen:
        yield _Hit("rgb-in-press", _numbers(screen), (("spaces", _spaces(screen, DEVICE_SPACES | SPOT)),))
    spot = [page for page in pages if set(page.spaces) & SPOT]
    if spot:
        yield _Hit("spot-colour", _numbers(spot), (("spaces", ", ".join(sorted(SPOT & {s for p in spot for s in p.spaces}))),))
    wet = [page for page in pages if page.ink > most_ink + 0.5]
    if wet:
        yield _Hit("ink-too-much", _numbers(wet), (("ink", round(max(page.ink for page in wet))), ("most", round(most_ink))))
    thin = [page for page in pages if page.thinnest_pt is not None and page.thinnest_pt < HAIRLINE_PT - 0.005]
    if thin:
        width = min(page.thinnest_pt or 0.0 for page in thin)
        yield _Hit("hairline", _numbers(thin), (("width_pt", f"{width:.2f}"), ("least_pt", HAIRLINE_PT)))
    for code, test in (
        ("rich-black-text", lambda page: page.rich_text),
        ("blank-page", lambda page: page.blank),
        ("link-in-print", lambda page: page.marks_in_bleed),
        ("transparent", lambda page: page.transparent),
        ("rotated", lambda page: page.rotated),
        ("not-whole", lambda page: not page.whole),
    ):
        if hit := _where(pages, test):
            yield _Hit(code, hit)


def _words_and_edges(pages: tuple[Page, ...]) -> Iterator[_Hit]:
    cut = [page for page in pages if page.words_outside and page.words_outside[0] < -CENTS]
    if cut:
        yield _Hit("words-cut", _numbers(cut), (("over_mm", f"{-min(page.words_outside[0] for page in cut):.1f}"),))
    near = [page for page in pages if any(-CENTS <= one < SAFE_MM - CENTS for one in page.words_outside)]
    if near:
        least = min(one for page in near for one in page.words_outside if one >= -CENTS)
        yield _Hit("words-near-edge", _numbers(near), (("near_mm", f"{least:.1f}"), ("least_mm", f"{SAFE_MM:g}")))
    short = [page for page in pages if page.edges_short]
    if short:
        edges = ", ".join(sorted({edge for page in short for edge in page.edges_short}))
        yield _Hit("bleed-empty", _numbers(short), (("edges", edges),))


def _pictures(pages: tuple[Page, ...]) -> Iterator[_Hit]:
    for code, low, high in (("picture-low", 0.0, LEAST_DPI), ("picture-soft", LEAST_DPI, SHARP_DPI)):
        hit = [
            (page.number, image.dpi)
            for page in pages
            for image in page.images
            if low <= round(image.dpi) < high and image.space != "mask" and image.width_mm > 2
        ]
        if hit:
            least = min(dpi for _, dpi in hit)
            where = tuple(dict.fromkeys(number for number, _ in hit))
            yield _Hit(code, where, (("dpi", round(least)), ("least", high)))


def bleed_of(page: Page) -> float:
    """The least bleed of a page's four sides, in mm."""
    trim, bleed = page.trim, page.bleed
    return min(trim[0] - bleed[0], trim[1] - bleed[1], bleed[2] - trim[2], bleed[3] - trim[3])


def size_words(box: Box) -> str:
    """`148 x 210 mm`, to 0.01 mm, with its name if it has one."""
    width, height = _size(box)
    name = paper_name(width, height)
    return f"{round(width, 2):g} x {round(height, 2):g} mm" + (f" ({name})" if name else "")


def _size(box: Box) -> tuple[float, float]:
    return box[2] - box[0], box[3] - box[1]


def _within(inner: Box, outer: Box) -> bool:
    return (
        inner[0] >= outer[0] - CENTS and inner[1] >= outer[1] - CENTS and inner[2] <= outer[2] + CENTS and inner[3] <= outer[3] + CENTS
    )


def _where(pages: tuple[Page, ...], test: object) -> tuple[int, ...]:
    return tuple(page.number for page in pages if test(page))  # type: ignore[operator]


def _numbers(pages: Iterable[Page]) -> tuple[int, ...]:
    return tuple(page.number for page in pages)


def _spaces(pages: list[Page], without: set[str]) -> str:
    return _listed(tuple(sorted({space for page in pages for space in page.spaces} - without)))


def _listed(words: tuple[str, ...], most: int = 6) -> str:
    more = f" and {len(words) - most} more" if len(words) > most else ""
    return ", ".join(words[:most]) + more
