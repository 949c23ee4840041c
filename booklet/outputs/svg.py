"""A drawing in, an SVG 1.1 text out: the one door to svgwrite. Nothing is placed or coloured here."""

from __future__ import annotations

import re

from booklet.drawings.drawing import Drawing, Path

FONT = "Alegreya Sans, sans-serif"  # of the numbers: ours, or what the reader has


def svg(drawing: Drawing, title: str, description: str, ids_prefix: str = "", font: str = "sans-serif", ink: str = "#22201f") -> str:
    """Write a drawing. `title` and `description` are for readers who hear the page; both may be empty.

    The text depends on nothing else: same drawing, same bytes.
    """
    import svgwrite

    left, top, right, bottom = drawing.frame
    size = (f"{_number(right - left)}mm", f"{_number(bottom - top)}mm")
    document = svgwrite.Drawing(size=size, profile="full", debug=False)
    document.viewbox(*(round(value, 2) for value in (left, top, right - left, bottom - top)))
    if title or description:
        document.set_desc(title=title or None, desc=description or None)
    prefix = _name(ids_prefix)
    for number, path in enumerate(drawing.paths):
        element = document.path(d=path.d, **_look(path))
        if prefix:
            element["id"] = f"{prefix}-{path.role}-{number}"
        document.add(element)
    for label in drawing.labels:
        # The middle of a digit is about 0.35 of the type size above its baseline; dominant-baseline is not asked for,
        # since printers' engines differ in it.
        at = (round(label.x, 2), round(label.y + 0.35 * label.size, 2))
        document.add(
            document.text(label.text, insert=at, text_anchor="middle", font_family=font, font_size=round(label.size, 2), fill=ink)
        )
    return _compact(document.tostring())


def _name(text: str) -> str:
    """A valid id: letters, digits and hyphens, a letter first; "" for nothing."""
    name = re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")
    return name if not name or name[0].isalpha() else f"chart-{name}"


def _look(path: Path) -> dict[str, str | float]:
    if path.width == 0:
        return {"fill": path.ink}
    return {
        "fill": "none",
        "stroke": path.ink,
        "stroke_width": path.width,
        "stroke_linecap": "round",
        "stroke_linejoin": "round",
    }


def _compact(text: str) -> str:
    """Drop what svgwrite always writes and no reader needs."""
    for needless in ("<defs />", ' xmlns:ev="http://www.w3.org/2001/xml-events"', ' baseProfile="full"'):
        text = text.replace(needless, "")
    if "xlink:" not in text.replace("xmlns:xlink", ""):
        text = text.replace(' xmlns:xlink="http://www.w3.org/1999/xlink"', "")
    return text


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
