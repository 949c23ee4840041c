"""Small PDFs made object by object, sound unless a fault is asked for."""

from __future__ import annotations

import io

import pikepdf
from pikepdf import Array, Dictionary, Name

MM = 72 / 25.4


def pdf(
    content: str = "0 0 0 1 k 60 300 200 100 re f",
    *,
    size: tuple[float, float] = (148, 210),
    bleed: float = 3,
    pages: int = 4,
    sizes: list[tuple[float, float]] | None = None,
    picture: pikepdf.Dictionary | None = None,
    pixels: bytes = b"",
    embedded: bool | None = None,
    **save: object,
) -> pikepdf.Pdf:
    """A document; `content` is painted on every page."""
    made = pikepdf.new()
    for wide, high in sizes or [size] * pages:
        resources = Dictionary()
        if picture is not None:
            image = made.make_stream(pixels)
            for key, value in picture.items():
                image[key] = value
            resources.XObject = Dictionary(Im=made.make_indirect(image))
        if embedded is not None:
            font = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
            resources.Font = Dictionary(F=made.make_indirect(font))
        trim = [0, 0, wide * MM, high * MM]
        outer = [-bleed * MM, -bleed * MM, (wide + bleed) * MM, (high + bleed) * MM]
        page = Dictionary(
            Type=Name.Page, MediaBox=Array(outer), BleedBox=Array(outer), TrimBox=Array(trim), Resources=resources,
            Contents=made.make_stream(content.encode()),
        )
        made.pages.append(pikepdf.Page(made.make_indirect(page)))
    made.Root.MarkInfo = Dictionary(Marked=True)
    made.Root.StructTreeRoot = Dictionary(Type=Name.StructTreeRoot)
    made.Root.Lang = "en"
    made.docinfo["/Title"] = "A test"
    made.docinfo["/CreationDate"] = made.docinfo["/ModDate"] = "D:20260101"
    profile = made.make_stream(b"")
    profile.N = 4
    made.Root.OutputIntents = Array([Dictionary(Type=Name.OutputIntent, S=Name.GTS_PDFX, OutputConditionIdentifier="X")])
    return made


def saved(document: pikepdf.Pdf, **how: object) -> bytes:
    out = io.BytesIO()
    document.save(out, **how)
    return out.getvalue()
