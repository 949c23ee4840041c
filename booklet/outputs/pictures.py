"""Comes in: the pictures of a book and the pattern's folder. Goes out: each one ready for print; nothing is set here.

The only door to Pillow. A picture is read once, measured before it is decoded, turned upright, brought to sRGB and to
the size at which it will be printed. What cannot be used is a diagnostic, and the booklet is made without it.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.editions.discover import Layout
from booklet.pages.book import Block, Book, Choice, Photo, Picture, Steps
from booklet.tables.limits import limits

if TYPE_CHECKING:
    from PIL.Image import Image

DPI = 300  # the usual demand of print shops for photographs at printed size
COARSE_DPI = 200  # below this a photograph looks soft in print: common practice, no source
ABOVE = 0.3  # where a cover is cropped: more of its upper part is kept, since that is where a face is. Chosen by eye.
QUALITY = 88  # JPEG, without colour subsampling: no difference seen at 300 dpi
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "BMP")
MM_PER_INCH = 25.4


class Prepared(NamedTuple):
    """A picture ready for print."""

    name: str  # of the file that a page asks for
    data: bytes
    width_mm: float  # as printed
    height_mm: float


def gather(
    book: Book, layout: Layout, folder: Path, made_before: dict[object, object] | None = None
) -> tuple[dict[tuple[str, str], Prepared], tuple[Diagnostic, ...]]:
    """Prepare all pictures of a book. Keys are (path as written, "cover", "photo" or "step").

    `made_before` keeps what was prepared for other editions of the same pattern.
    """
    kept: dict[Any, Any] = made_before if made_before is not None else {}
    wanted: dict[tuple[str, str], Picture] = {}
    if book.cover.picture is not None:
        wanted[(book.cover.picture.path, "cover")] = book.cover.picture
    for picture, use in _pictures(book):
        wanted.setdefault((picture.path, use), picture)
    found: dict[tuple[str, str], Prepared] = {}
    problems: list[Diagnostic] = []

    def one(number: int, key: tuple[str, str], picture: Picture) -> tuple[Prepared | None, tuple[Diagnostic, ...]]:
        box = {"cover": layout.cover_mm, "step": layout.step_mm}.get(key[1], layout.photo_mm)
        asked = (number, key, box, picture.width_mm, picture.actual_size, picture.span)
        if asked not in kept:
            data, problem = _read(picture, folder)
            name = f"picture-{number}"
            kept[asked] = (None, (problem,)) if problem is not None else prepare(data, picture, box, crop=key[1] == "cover", name=name)
        return kept[asked]

    # Two at a time: Pillow works outside Python's lock, and more would hold too many large photos in memory.
    with ThreadPoolExecutor(2) as pool:
        made = pool.map(one, range(1, len(wanted) + 1), wanted.keys(), wanted.values())
        for key, (picture, said) in zip(wanted, made, strict=True):
            problems += said
            if picture is not None:
                found[key] = picture
                problems += _too_large_for(picture, wanted[key], layout)
    return found, tuple(problems)


def _too_large_for(made: Prepared, picture: Picture, layout: Layout) -> tuple[Diagnostic, ...]:
    """A template is never made smaller: a layout that cannot hold it says so."""
    wide, high = layout.text_mm
    if not picture.actual_size or (made.width_mm <= wide + 0.1 and made.height_mm <= high + 0.1):
        return ()
    sizes = {"width_mm": round(made.width_mm), "height_mm": round(made.height_mm), "room_mm": round(wide), "high_mm": round(high)}
    return (_problem("picture-does-not-fit", picture, layout=layout.name, **sizes),)


def prepare(
    data: bytes, picture: Picture, box_mm: tuple[float, float], *, crop: bool = False, name: str = "picture"
) -> tuple[Prepared | None, tuple[Diagnostic, ...]]:
    """Bring one picture to its printed size: cropped to fill the box, or whole inside it (or as wide as it asks for).

    The same bytes give the same bytes. Found: picture-not-readable, picture-too-large, picture-coarse.
    """
    from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

    ImageFile.LOAD_TRUNCATED_IMAGES = False  # the PDF engine switches it on for the whole process when it is imported
    try:
        with Image.open(io.BytesIO(data), formats=_formats()) as raw:
            pixels = raw.width * raw.height
            most = limits()["picture_pixels"]
            if pixels > most:
                return None, (_problem("picture-too-large", picture, pixels=pixels, most=most),)
            turned = raw.getexif().get(0x0112, 1) in (5, 6, 7, 8)  # EXIF 2.3, orientation: lying on a side
            size = (raw.height, raw.width) if turned else raw.size
            width_mm, height_mm = _printed(size, picture, box_mm, crop)
            want = round(width_mm / MM_PER_INCH * DPI), round(height_mm / MM_PER_INCH * DPI)
            if raw.format == "JPEG":
                # Decodes straight to a half, a quarter …: five times faster. `want` must be met in both directions.
                longest = max(want)
                raw.draft("RGB", (longest, longest))
            upright = ImageOps.exif_transpose(_srgb(raw))
            made = _sized(upright, want, crop)
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, EOFError, Image.DecompressionBombError) as fault:
        return None, (_problem("picture-not-readable", picture, reason=_reason(fault)),)
    reached = min(size[0] / width_mm, size[1] / height_mm) * MM_PER_INCH
    said = ()
    if reached < COARSE_DPI:
        said = (_problem("picture-coarse", picture, dpi=round(reached), width_mm=round(width_mm), least=COARSE_DPI),)
    out = io.BytesIO()
    made.save(out, "JPEG", quality=QUALITY, subsampling=0, optimize=True)
    return Prepared(f"{name}.jpg", out.getvalue(), round(width_mm, 2), round(height_mm, 2)), said


def _formats() -> tuple[str, ...]:
    """What can be read: also a telephone's HEIC where its package (pillow-heif) is installed."""
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        return FORMATS
    register_heif_opener()
    return (*FORMATS, "HEIF")


def _pictures(book: Book) -> Iterator[tuple[Picture, str]]:
    """Every picture with its use: in a list of steps there is less room."""
    for section in (*book.notes, *book.parts, *book.finishing):
        yield from _in_blocks(section.blocks, "photo")


def _in_blocks(blocks: tuple[Block, ...], use: str) -> Iterator[tuple[Picture, str]]:
    for block in blocks:
        if isinstance(block, Photo):
            yield block.picture, use
        elif isinstance(block, Steps):
            for item in block.items:
                yield from _in_blocks(item, "step")
        elif isinstance(block, Choice):
            for way in block.alternatives:
                yield from _in_blocks(way.blocks, use)


def _read(picture: Picture, folder: Path) -> tuple[bytes, Diagnostic | None]:
    """The bytes of a picture inside the pattern's folder; links that lead out of it count as missing."""
    if re.match(r"[A-Za-z][A-Za-z0-9+.-]+:", picture.path) or "\0" in picture.path:
        return b"", _problem("picture-missing", picture)
    try:
        home = folder.resolve()
        path = (home / picture.path).resolve()
        if not path.is_relative_to(home) or not path.is_file():
            return b"", _problem("picture-missing", picture)
        size, most = path.stat().st_size, limits()["picture_bytes"]
        if size > most:
            return b"", _problem("picture-too-large", picture, help="bytes", bytes=size, most=most)
        return path.read_bytes(), None
    except (OSError, ValueError, RuntimeError) as fault:
        return b"", _problem("picture-not-readable", picture, reason=_reason(fault))


def _printed(
    size: tuple[int, int], picture: Picture, box_mm: tuple[float, float], crop: bool
) -> tuple[float, float]:
    """Width and height on paper."""
    if crop:
        return box_mm
    shape = size[1] / max(size[0], 1)
    width = picture.width_mm or box_mm[0]
    if picture.actual_size and picture.width_mm:
        return width, width * shape
    width = min(width, box_mm[0], box_mm[1] / shape if shape else box_mm[0])
    return width, width * shape


def _sized(image: Image, want: tuple[int, int], crop: bool) -> Image:
    from PIL.Image import Resampling
    from PIL.ImageOps import fit

    if not crop:
        # Never more pixels than there are: the PDF engine enlarges as well as we do, and the file stays small.
        if image.width <= want[0]:
            return image
        return image.resize(want, Resampling.LANCZOS)
    shrink = min(1.0, image.width / want[0], image.height / want[1])
    size = max(1, round(want[0] * shrink)), max(1, round(want[1] * shrink))
    return fit(image, size, Resampling.LANCZOS, centering=(0.5, ABOVE))


def _srgb(image: Image) -> Image:
    """In sRGB, on white where it is transparent, orientation kept for later."""
    from PIL import Image, ImageCms

    exif = image.info.get("exif")
    profile = image.info.get("icc_profile")
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        whole = image.convert("RGBA")
        flat = Image.new("RGB", whole.size, "white")
        flat.paste(whole, mask=whole.getchannel("A"))
        image = flat
    if profile and image.mode in ("RGB", "CMYK", "L"):
        try:
            given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            image = ImageCms.profileToProfile(image, given, ImageCms.createProfile("sRGB"), outputMode="RGB") or image
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # a broken profile is no reason to lose the picture
    image = image.convert("RGB")
    if exif:
        image.info["exif"] = exif
    return image


def _problem(code: str, picture: Picture, *, help: str = "", **values: str | int | float) -> Diagnostic:
    return diagnostic(code, picture.span, help=help, path=picture.path, **values)


def _reason(fault: BaseException) -> str:
    # Not the fault's own words: they name places on this machine.
    return "unknown format" if type(fault).__name__ == "UnidentifiedImageError" else "damaged or cut short"
