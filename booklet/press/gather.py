"""Comes in: the bytes of a PDF, ours or anybody's. Goes out: the facts of it; what they are worth is not said here."""

from __future__ import annotations

from typing import Any

from booklet.press.boxes import NoBox, user_unit
from booklet.press.facts import Box, Facts, Page, Unreadable
from booklet.press.look import MM, Seen
from booklet.press.look import pages as look
from booklet.press.opened import faults, opened
from booklet.press.walk import Painted, painted
from booklet.tables.limits import limits


def gather(data: bytes, *, ink: bool = True) -> Facts:
    """Look into a PDF. Raises Unreadable; anything broken inside a readable file is looked over as far as it goes."""
    with opened(data) as document:
        try:
            count = len(document.pages)
            if not count:
                raise Unreadable("it has no pages")
            return _facts(document, data, min(count, limits()["press_pages"]), count, ink)
        except faults() as fault:
            raise Unreadable("its parts contradict one another, so it cannot be looked into") from fault


def _facts(document: Any, data: bytes, most: int, count: int, ink: bool) -> Facts:  # noqa: ANN401
    left = limits()["press_operators"]
    boxes = [_boxes(document.pages[index]) for index in range(most)]
    seen = list(look(data, tuple((trim, bleed) for _, bleed, trim in boxes)))
    pages = []
    measured: dict[tuple[int, int], float] = {}
    for index in range(most):
        page = document.pages[index]
        marks = painted(page, left)
        left = marks.left
        pages.append(_page(index + 1, page, boxes[index], marks, seen[index], _ink(marks, measured) if ink else 0.0))
    root, info = document.Root, document.docinfo
    intents = list(root.get("/OutputIntents", []))
    missing, fonts = _fonts(document)
    return Facts(
        version=str(document.pdf_version),
        encrypted=document.is_encrypted,
        pages=tuple(pages),
        page_count=count,
        fonts_missing=missing,
        fonts=fonts,
        links=sum(_links(document.pages[index].obj) for index in range(most)),
        outlines="/Outlines" in root and "/First" in root.Outlines,
        tagged="/StructTreeRoot" in root and bool(root.get("/MarkInfo", {}).get("/Marked", False)),
        language=str(root.get("/Lang", "")),
        title=str(info.get("/Title", "")),
        dated="/CreationDate" in info and "/ModDate" in info,
        intent=str(intents[0].get("/S", "")).lstrip("/") if intents else "",
        condition=str(intents[0].get("/OutputConditionIdentifier", "")) if intents else "",
        scripts="/JavaScript" in root.get("/Names", {}) or _runs(root.get("/OpenAction")),
        attachments=len(document.attachments),
    )


def _runs(action: Any) -> bool:  # noqa: ANN401
    import pikepdf

    return isinstance(action, pikepdf.Dictionary) and str(action.get("/S")) == "/JavaScript"


def _boxes(page: Any) -> tuple[Box, Box, Box]:  # noqa: ANN401
    """Media, bleed, trim in mm; a box that is not given is the one around it."""
    try:
        unit = user_unit(page)
        media, bleed, trim = page.mediabox, page.bleedbox, page.trimbox
        return _mm(media, unit), _mm(bleed, unit), _mm(trim, unit)
    except (NoBox, *faults()):
        return (0, 0, 0, 0), (0, 0, 0, 0), (0, 0, 0, 0)


def _mm(box: Any, unit: float) -> Box:  # noqa: ANN401
    a, b, c, d = (float(value) * unit / MM for value in box)
    return min(a, c), min(b, d), max(a, c), max(b, d)


def _page(number: int, page: Any, boxes: tuple[Box, Box, Box], marks: Painted, seen: Seen, ink: float) -> Page:  # noqa: ANN401
    media, bleed, trim = boxes
    spaces = {space for space, _ in marks.inks} | {image.space for image in marks.images if image.space != "mask"}
    return Page(
        number,
        media,
        bleed,
        trim,
        tuple(sorted(spaces)),
        tuple(dict.fromkeys(marks.images)),
        marks.thinnest_pt,
        ink,
        any(_rich(space, values) for space, values in marks.text_inks),
        marks.transparent,
        _too_near(seen.lines, trim, bleed),
        seen.edges_short,
        seen.blank and not marks.images,
        bool(int(page.obj.get("/Rotate", 0)) % 360),
        _annotations(page, bleed),
        marks.whole,
    )


def _rich(space: str, values: tuple[float, ...]) -> bool:
    """Nearly black out of several inks: hard to print without coloured rims."""
    return space == "DeviceCMYK" and len(values) == 4 and values[3] > 0.7 and min(values[:3]) > 0.1


def _too_near(lines: tuple[Box, ...], trim: Box, bleed: Box) -> tuple[float, ...]:
    """Distances of words from the trimmed edge, where less than 10 mm; words wholly outside (a printer's slug) do not count."""
    del bleed
    found = []
    for left, bottom, right, top in lines:
        if right <= trim[0] or left >= trim[2] or top <= trim[1] or bottom >= trim[3] or right - left < 0.01:
            continue
        near = min(left - trim[0], bottom - trim[1], trim[2] - right, trim[3] - top)
        if near < 10:
            found.append(round(near, 2))
    return tuple(sorted(set(found)))


def _ink(marks: Painted, measured: dict[tuple[int, int], float]) -> float:
    """The most ink of one colour on the page, in percent. Of pictures the 99.9th percentile: single pixels do not wet paper."""
    most = 0.0
    for space, values in marks.inks:
        if space == "DeviceCMYK" and len(values) == 4:
            most = max(most, 100 * sum(values))
        elif space == "DeviceGray" and len(values) == 1:
            most = max(most, 100 * (1 - values[0]))
    for number, stream in marks.streams.items():
        if number not in measured:
            measured[number] = _picture_ink(stream)
        most = max(most, measured[number])
    return round(most, 1)


def _picture_ink(stream: Any) -> float:  # noqa: ANN401
    import pikepdf
    from PIL import Image

    if int(stream.get("/Width", 0)) * int(stream.get("/Height", 0)) > limits()["picture_pixels"]:
        return 0.0
    try:
        image = pikepdf.PdfImage(stream).as_pil_image()
    except (Image.DecompressionBombError, NotImplementedError, *faults()):
        return 0.0
    if image.mode != "CMYK":
        return 0.0
    image.thumbnail((600, 600), Image.Resampling.BOX)
    flat = image.tobytes()
    sums = sorted(map(sum, zip(flat[::4], flat[1::4], flat[2::4], flat[3::4], strict=True)))
    return 100 * sums[int(len(sums) * 0.999) - 1] / 255


def _fonts(document: Any) -> tuple[tuple[str, ...], int]:  # noqa: ANN401
    """Names of fonts without their outlines, and how many fonts there are."""
    import pikepdf

    missing, count = set(), 0
    for thing in document.objects:
        if not isinstance(thing, pikepdf.Dictionary) or str(thing.get("/Type")) != "/Font":
            continue
        kind = str(thing.get("/Subtype"))
        if kind in ("/CIDFontType0", "/CIDFontType2"):
            continue  # seen through its parent
        count += 1
        described = thing
        if kind == "/Type0":
            described = thing.get("/DescendantFonts", [{}])[0]
        outlines = described.get("/FontDescriptor", {})
        if kind != "/Type3" and not any(key in outlines for key in ("/FontFile", "/FontFile2", "/FontFile3")):
            missing.add(str(thing.get("/BaseFont", "/unnamed")).lstrip("/"))
    return tuple(sorted(missing)), count


def _links(page: Any) -> int:  # noqa: ANN401
    return sum(str(one.get("/Subtype")) == "/Link" for one in list(page.get("/Annots", []))[:10_000])


def _annotations(page: Any, bleed: Box) -> int:  # noqa: ANN401
    """Annotations that touch what is printed; a printer's own marks (ISO 15930-7, 6.17) do not count."""
    inside = 0
    for one in list(page.obj.get("/Annots", []))[:10_000]:
        if str(one.get("/Subtype")) in ("/PrinterMark", "/TrapNet") or "/Rect" not in one:
            continue
        left, bottom, right, top = _mm(one.Rect, 1.0)
        inside += right > bleed[0] and left < bleed[2] and top > bleed[1] and bottom < bleed[3]
    return inside
