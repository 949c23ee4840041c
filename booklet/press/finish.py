"""Comes in: a finished, tagged PDF in colours of a screen, and a way of printing. Goes out: the PDF for it, the same bytes each time."""

from __future__ import annotations

import hashlib
import io
import re
import uuid
from collections.abc import Sequence
from typing import Any, NamedTuple

from booklet.press.convert import NotConvertible, convert
from booklet.press.facts import Finding
from booklet.press.inks import profile
from booklet.press.marks import crop_marks, cut_bleed

SCREEN_DPI, SCREEN_QUALITY = 150, 80  # sharp enough on a tablet, half of print: chosen by eye
PDF_X = ("link-in-print", "date-missing", "title-missing")  # what PDF/X-4 also asks for (ISO 15930-7)
CONDITION = "FOGRA39"  # name of the printing condition in the registry of the ICC, https://www.color.org
NAMESPACES = {
    "pdfxid": "http://www.npes.org/pdfx/ns/id/",
    "xmpMM": "http://ns.adobe.com/xap/1.0/mm/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
}
# PDF/A wants every foreign name of the metadata described (ISO 19005-2, 6.6.2.3.3).
UA_DESCRIBED = (
    '<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"'
    ' xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">'
    '<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource"><pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>'
    "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI><pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>"
    '<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource"><pdfaProperty:name>part</pdfaProperty:name>'
    "<pdfaProperty:valueType>Integer</pdfaProperty:valueType><pdfaProperty:category>internal</pdfaProperty:category>"
    "<pdfaProperty:description>part of ISO 14289</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property>"
    "</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>"
)


class Finished(NamedTuple):
    """The PDF, and for a press what stands against it: then it makes no claim to be PDF/X-4."""

    data: bytes
    against: tuple[Finding, ...]


def finish(data: bytes, printing: str, folds: tuple[Sequence[float], Sequence[float]] = ((), ())) -> Finished:
    """Make the file of one way of printing; `folds` of a leaflet are marked for a press. Raises NotConvertible."""
    if printing == "home":
        return Finished(data, ())
    import pikepdf

    with pikepdf.open(io.BytesIO(data)) as document:
        if printing == "screen":
            cut_bleed(document)
            _smaller(document)
            return Finished(_saved(document, "1.7"), ())
        if printing == "archive":
            _archive(document)
            return Finished(_saved(document, "1.7"), ())
        return _press(document, data, folds)


def _press(document: Any, data: bytes, folds: tuple[Sequence[float], Sequence[float]]) -> Finished:  # noqa: ANN401
    from pikepdf import Array, Dictionary, Name

    from booklet.press.gather import gather
    from booklet.press.judge import judge

    for page in document.pages:
        for key in ("/Annots", "/Tabs"):
            if key in page.obj:
                del page.obj[key]
    convert(document)
    crop_marks(document, *folds)
    intent = document.make_stream(profile())
    intent.N = 4
    document.Root.OutputIntents = Array(
        [
            document.make_indirect(
                Dictionary(
                    Type=Name.OutputIntent,
                    S=Name.GTS_PDFX,
                    OutputConditionIdentifier=CONDITION,
                    OutputCondition="Offset on coated paper, ISO 12647-2:2004/Amd 1",
                    RegistryName="http://www.color.org",
                    Info="Coated paper, at most 300 % of ink",
                    DestOutputProfile=intent,
                )
            )
        ]
    )
    document.docinfo["/Trapped"] = Name("/False")
    first = _saved(document, "1.6")
    against = tuple(one for one in judge(gather(first)) if one.severity == "error" or one.code in PDF_X)
    if against:
        return Finished(first, against)
    name = uuid.uuid5(uuid.NAMESPACE_URL, hashlib.sha256(data).hexdigest())
    moment = _moment(str(document.docinfo["/ModDate"]))
    _describe(
        document,
        f'<rdf:Description rdf:about="" xmlns:pdfxid="{NAMESPACES["pdfxid"]}" pdfxid:GTS_PDFXVersion="PDF/X-4" />'
        f'<rdf:Description rdf:about="" xmlns:xmpMM="{NAMESPACES["xmpMM"]}" xmpMM:DocumentID="uuid:{name}" xmpMM:VersionID="1"'
        f' xmpMM:RenditionClass="default" /><rdf:Description rdf:about="" pdf:Trapped="False" xmp:MetadataDate="{moment}" />',
    )
    return Finished(_saved(document, "1.6"), ())


def _archive(document: Any) -> None:  # noqa: ANN401
    """PDF/A-2a beside the PDF/UA-1 that it is: a colour profile, a claim, links that print, no smoothing asked for."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name
    from PIL import ImageCms

    screen = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    screen[24:36] = b"".join(number.to_bytes(2, "big") for number in (2026, 1, 1, 0, 0, 0))  # instead of the clock's
    intent = document.make_stream(bytes(screen))
    intent.N = 3
    document.Root.OutputIntents = Array(
        [Dictionary(Type=Name.OutputIntent, S=Name.GTS_PDFA1, OutputConditionIdentifier="sRGB", Info="sRGB", DestOutputProfile=intent)]
    )
    for thing in document.objects:
        if isinstance(thing, pikepdf.Stream) and "/Interpolate" in thing:
            del thing["/Interpolate"]
    for page in document.pages:
        for one in page.obj.get("/Annots", []):
            one.F = 4  # printed (ISO 19005-2, 6.3.2)
    claim = f'<rdf:Description rdf:about="" xmlns:pdfaid="{NAMESPACES["pdfaid"]}" pdfaid:part="2" pdfaid:conformance="A" />'
    _describe(document, UA_DESCRIBED + claim)


def _smaller(document: Any) -> None:  # noqa: ANN401
    """Pictures with no more dots than a screen shows at the printed size."""
    import pikepdf
    from pikepdf import Name
    from PIL import Image

    from booklet.press.walk import painted
    from booklet.tables.limits import limits

    widest: dict[tuple[int, int], float] = {}
    streams: dict[tuple[int, int], Any] = {}
    for page in document.pages:
        found = painted(page, limits()["press_operators"])
        streams |= found.streams
        for number, stream in found.streams.items():
            placed = [one.width_mm for one in found.images if (one.width, one.height) == (stream.Width, stream.Height)]
            widest[number] = max([widest.get(number, 0.0), *placed])
    for number, stream in streams.items():
        width = round(widest[number] / 25.4 * SCREEN_DPI)
        if str(stream.get("/ColorSpace")) != "/DeviceRGB" or "/SMask" in stream or not 0 < width < stream.Width * 0.95:
            continue
        image = pikepdf.PdfImage(stream).as_pil_image().convert("RGB")
        image = image.resize((width, max(1, round(image.height * width / image.width))), Image.Resampling.LANCZOS)
        out = io.BytesIO()
        image.save(out, "JPEG", quality=SCREEN_QUALITY, optimize=True)
        stream.write(out.getvalue(), filter=Name.DCTDecode)
        stream.Width, stream.Height = image.size


def _describe(document: Any, more: str) -> None:  # noqa: ANN401
    """Put descriptions into the metadata, before their end."""
    stream = document.Root.Metadata
    text = stream.read_bytes().decode("utf-8")
    stream.write(text.replace("</rdf:RDF>", f"{more}</rdf:RDF>", 1).encode("utf-8"))


def _moment(date: str) -> str:
    """A date of the document's as one of the metadata (ISO 32000-1, 7.9.4; XMP, ISO 16684-1)."""
    digits = re.sub(r"\D", "", date.split("+")[0].split("Z")[0])
    year, month, day = digits[:4], digits[4:6] or "01", digits[6:8] or "01"
    return f"{year}-{month}-{day}T00:00:00Z"


def _saved(document: Any, version: str) -> bytes:  # noqa: ANN401
    import pikepdf

    out = io.BytesIO()
    document.save(
        out,
        deterministic_id=True,
        force_version=version,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        compress_streams=True,
        recompress_flate=False,
    )
    return out.getvalue()


__all__ = ["Finished", "NotConvertible", "finish"]
