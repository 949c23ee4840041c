"""Comes in: a finished PDF and the lines of its copies. Goes out: one PDF a copy, each page bearing its line; nothing else changes.

The line is an artifact of the page: a screen reader does not read it on every page, and the file stays the PDF/UA that it was. The
copy's metadata say it instead.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable
from functools import cache
from typing import Any, NamedTuple
from xml.sax.saxutils import escape

from booklet.press.boxes import NoBox, trim_box, user_unit
from booklet.press.facts import Unreadable
from booklet.press.marks import MM
from booklet.press.opened import faults, opened

SIZE_PT = 6.5
ABOVE_MM = 4.0  # from the lower edge of the trimmed page: below the page number, above the knife
# Keys of the document's information: which copy of which file this is, and the order that it was made for.
MARK, ORDER = "/BookletCopy", "/OrderNumber"
FACES = ("alegreya-sans/AlegreyaSans-Regular.ttf",)


class NotStampable(Exception):
    """Why a file, or a line, cannot be stamped."""


class Font(NamedTuple):
    """A face for the lines, cut down to their letters."""

    data: bytes
    glyphs: dict[str, tuple[int, float]]  # letter -> its number in the cut face, its width in thousandths of the size
    name: str
    box: tuple[float, float, float, float]
    rise: float
    fall: float


@cache
def lines() -> dict[str, dict[str, str]]:
    """The wording by language and kind of copy: shared/press/stamp.tsv."""
    from booklet.tables.reader import rows

    found = {row.cells["language"]: dict(row.cells) for row in rows("press/stamp.tsv")}
    return {tag: {kind: text for kind, text in cells.items() if kind != "language"} for tag, cells in found.items()}


class Stamper:
    """One opened file that copies are made from: what is the same in all copies is written once, the rest is added at its end.

    Such an addition is an incremental update (ISO 32000-1, 7.5.6). The memory does not grow with the number of copies.
    """

    def __init__(self, data: bytes, texts: Iterable[str]) -> None:
        """Put the font of all lines and the places for a line into the file. Raises NotStampable."""
        try:
            self.document: Any = opened(data)
        except Unreadable as fault:
            raise NotStampable(str(fault)) from fault
        self.origin = hashlib.sha256(data).hexdigest()
        self.font = cut("".join(texts))
        try:
            self._write_base()
        except faults() as fault:
            raise NotStampable("it is damaged") from fault

    def _write_base(self) -> None:
        """The file that all copies begin with."""
        import pikepdf

        with self.document:
            if MARK in self.document.docinfo:
                raise NotStampable("it is a stamped copy already; stamp the file that copies are made from")
            self.metadata = bytes(self.document.Root.Metadata.read_bytes()) if "/Metadata" in self.document.Root else b""
            self._prepare()
            self.document.docinfo[MARK] = "0"
            out = io.BytesIO()
            self.document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
        self.base = out.getvalue()
        self._numbers()

    def mark(self, text: str, order: str) -> str:
        """What a copy with this line bears in its information."""
        return hashlib.sha256(f"{self.origin}\n{order}\n{text}".encode()).hexdigest()[:32]

    def copy(self, text: str, order: str) -> bytes:
        """One copy. The same line gives the same bytes."""
        mark = self.mark(text, order)
        objects = [(number, _stream(head, self._drawn(text, width).encode())) for number, head, width in self.forms]
        objects.append((self.info[0], self._told(order, mark)))
        if self.metadata and self.metadata_at:
            objects.append((self.metadata_at, _stream(b"/Type /Metadata /Subtype /XML", described(self.metadata, text, order))))
        out = bytearray(self.base)
        places: list[tuple[int, int]] = []
        for number, body in sorted(objects):
            places.append((number, len(out)))
            out += f"{number} 0 obj\n".encode() + body + b"\nendobj\n"
        start = len(out)
        places.append((self.size, start))
        table = b"".join(b"\x01" + at.to_bytes(4, "big") + b"\x00\x00" for _, at in places)
        index = " ".join(f"{number} 1" for number, _ in places)
        head = f"/Type /XRef /Size {self.size + 1} /W [1 4 2] /Index [{index}] /Prev {self.before} {self.trailer}"
        head += f" /ID [<{self.first_id}> <{mark}>]"
        out += f"{self.size} 0 obj\n".encode() + _stream(head.encode(), table) + f"\nendobj\nstartxref\n{start}\n%%EOF\n".encode()
        return bytes(out)

    def _numbers(self) -> None:
        """Where the objects that differ from copy to copy stand in the written file."""
        import pikepdf

        with pikepdf.open(io.BytesIO(self.base)) as written:
            found: dict[int, tuple[bytes, float]] = {}
            for page in written.pages:
                form = page.obj.Resources.XObject["/CopyLine"]
                width, font = float(form.BBox[2]), form.Resources.Font.F.objgen[0]
                head = f"/Type /XObject /Subtype /Form /BBox [0 0 {width:.2f} 20] /Resources << /Font << /F {font} 0 R >> >>"
                found[form.objgen[0]] = head.encode(), width
            self.forms = [(number, head, width) for number, (head, width) in found.items()]
            info = pikepdf.Dictionary(dict(written.trailer.Info.items()))
            for key in (MARK, ORDER):
                if key in info:
                    del info[key]
            self.info = written.trailer.Info.objgen[0], info.unparse().rstrip()[:-2]
            self.metadata_at = written.Root.Metadata.objgen[0] if "/Metadata" in written.Root else 0
            root = written.trailer.Root.objgen[0]
            self.trailer = f"/Root {root} 0 R /Info {self.info[0]} 0 R"
            self.size = int(written.trailer.Size)
            self.first_id = bytes(written.trailer.ID[0]).hex()
        self.before = int(self.base[self.base.rindex(b"startxref") + 9 :].split()[0])

    def _told(self, order: str, mark: str) -> bytes:
        """The file's information with those of the copy."""
        import pikepdf

        return self.info[1] + f" {ORDER} ".encode() + pikepdf.String(order).unparse() + f" {MARK} ({mark}) >>".encode()

    def _prepare(self) -> None:
        from pikepdf import Array, Dictionary, Name

        document = self.document
        font = document.make_indirect(embedded(document, self.font))
        forms: dict[float, Any] = {}
        before, after = document.make_stream(b"q"), {}
        for number, page in enumerate(document.pages, 1):
            try:
                left, low, right, _ = trim_box(page)
                unit = user_unit(page)
            except NoBox as fault:
                raise NotStampable(f"page {number} {fault}") from fault
            width = round((right - left) * unit, 2)
            if width not in forms:
                form = document.make_stream(b"")
                form.Type, form.Subtype, form.BBox = Name.XObject, Name.Form, Array([0, 0, width, 20])
                form.Resources = Dictionary(Font=Dictionary(F=font))
                forms[width] = document.make_indirect(form)
            key = (left, low, unit, width)
            if key not in after:
                placed = f"{1 / unit:.6g} 0 0 {1 / unit:.6g} {left:.3f} {low:.3f} cm"
                said = f"Q /Artifact <</Type/Pagination/Subtype/Footer>> BDC q {placed} /CopyLine Do Q EMC"
                after[key] = document.make_stream(said.encode())
            # The engine shares one dictionary among all pages.
            resources = page.obj.Resources = Dictionary(dict(page.obj.get("/Resources", Dictionary()).items()))
            resources.XObject = Dictionary({**dict(resources.get("/XObject", Dictionary()).items()), "/CopyLine": forms[width]})
            old = page.obj.get("/Contents", Array([]))
            page.obj.Contents = Array([before, *(old if isinstance(old, Array) else [old]), after[key]])

    def _drawn(self, text: str, width: float) -> str:
        """The line, in the middle of the page; smaller where it is longer than the page is wide."""
        codes = "".join(f"{self.font.glyphs[sign][0]:04x}" for sign in text)
        long = sum(self.font.glyphs[sign][1] for sign in text) / 1000
        size = min(SIZE_PT, (width - 20) / max(long, 0.1))
        x = (width - long * size) / 2
        return f"BT /F {size:.3f} Tf 0.25 g 1 0 0 1 {x:.3f} {ABOVE_MM * MM:.3f} Tm <{codes}> Tj ET"


def _stream(head: bytes, body: bytes) -> bytes:
    return b"<< " + head + f" /Length {len(body)} >>\nstream\n".encode() + body + b"\nendstream"


def language_of(data: bytes) -> str:
    """The main part of the file's language tag; "" where it has none, or the file cannot be opened."""
    try:
        with opened(data) as document:
            return str(document.Root.get("/Lang", "")).split("-")[0].casefold()
    except (Unreadable, *faults()):
        return ""


def described(metadata: bytes, text: str, order: str) -> bytes:
    """The metadata with the copy's line as the rights and its order as the identifier (Dublin Core, ISO 15836-1)."""
    said = (
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">'
        f"<dc:identifier>{escape(order)}</dc:identifier>"
    )
    if b"dc:rights" not in metadata:
        said += f'<dc:rights><rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt></dc:rights>'
    end = metadata.rfind(b"</rdf:RDF>")
    if end < 0 or b"dc:identifier" in metadata:
        return metadata  # the order stands in the information all the same
    return metadata[:end] + f"{said}</rdf:Description>".encode() + metadata[end:]


def missing(text: str) -> str:
    """The letters of a line that the face does not have, each once."""
    known = _face()[1]
    return "".join(dict.fromkeys(sign for sign in text if ord(sign) not in known))


@cache
def _face() -> tuple[bytes, dict[int, str]]:
    from fontTools.ttLib import TTFont

    from booklet.resources import folder

    data = (folder("fonts") / FACES[0]).read_bytes()
    with TTFont(io.BytesIO(data)) as face:
        return data, dict(face.getBestCmap())


def cut(text: str) -> Font:
    """Cut the face down to the letters of a text. Raises NotStampable for letters that it does not have."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    signs = sorted(set(text) | {" "})
    if lacking := missing("".join(signs)):
        raise NotStampable(f"the face has no letter for {' '.join(lacking)}")
    face = TTFont(io.BytesIO(_face()[0]), recalcTimestamp=False)
    options = Options(hinting=False, layout_features=[], notdef_outline=True, name_IDs=[1, 2, 6])
    cutter = Subsetter(options)
    cutter.populate(unicodes=[ord(sign) for sign in signs])
    cutter.subset(face)
    out = io.BytesIO()
    scale = 1000 / face["head"].unitsPerEm
    names, widths, chosen = face.getGlyphOrder(), face["hmtx"], face.getBestCmap()
    glyphs = {sign: (names.index(chosen[ord(sign)]), widths[chosen[ord(sign)]][0] * scale) for sign in signs}
    head, lines_ = face["head"], face["hhea"]
    box = tuple(value * scale for value in (head.xMin, head.yMin, head.xMax, head.yMax))
    rise, fall = lines_.ascent * scale, lines_.descent * scale
    face.save(out)
    tag = "".join(chr(65 + byte % 26) for byte in hashlib.sha256("".join(signs).encode()).digest()[:6])
    return Font(out.getvalue(), glyphs, f"/{tag}+AlegreyaSans-Regular", box, rise, fall)  # type: ignore[arg-type]


def embedded(document: Any, font: Font) -> Any:  # noqa: ANN401
    """The face as a composite font (ISO 32000-1, 9.7): numbers of glyphs as codes, and what they say for those who copy or search."""
    from pikepdf import Array, Dictionary, Name

    file = document.make_stream(font.data)
    file.Length1 = len(font.data)
    descriptor = Dictionary(
        Type=Name.FontDescriptor, FontName=Name(font.name), Flags=4, FontBBox=Array([round(one) for one in font.box]), ItalicAngle=0,
        Ascent=round(font.rise), Descent=round(font.fall), CapHeight=round(font.rise * 0.7), StemV=80,
        FontFile2=document.make_indirect(file),
    )  # fmt: skip
    widths = Array([])
    for number, width in sorted(set(font.glyphs.values())):
        widths.append(number)
        widths.append(Array([round(width, 2)]))
    inner = Dictionary(
        Type=Name.Font, Subtype=Name.CIDFontType2, BaseFont=Name(font.name),
        CIDSystemInfo=Dictionary(Registry="Adobe", Ordering="Identity", Supplement=0),
        FontDescriptor=document.make_indirect(descriptor), W=widths, CIDToGIDMap=Name.Identity,
    )  # fmt: skip
    ordered = sorted(font.glyphs.items(), key=lambda one: one[1])
    said = [f"<{number:04x}> <{sign.encode('utf-16-be').hex()}>" for sign, (number, _) in ordered]
    chunks = [said[k : k + 100] for k in range(0, len(said), 100)]
    blocks = "".join(f"{len(chunk)} beginbfchar\n" + "\n".join(chunk) + "\nendbfchar\n" for chunk in chunks)
    spoken = (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <ffff>\nendcodespacerange\n"
        f"{blocks}endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend"
    )
    return Dictionary(
        Type=Name.Font, Subtype=Name.Type0, BaseFont=Name(font.name), Encoding=Name("/Identity-H"),
        DescendantFonts=Array([document.make_indirect(inner)]), ToUnicode=document.make_stream(spoken.encode()),
    )  # fmt: skip
