"""Pixels in, the bytes of a PNG in sRGB out, for screens; what the pixels show is not asked here."""

from __future__ import annotations

import io

PERCEPTUAL = b"\0"  # rendering intent of the chunk sRGB (ISO/IEC 15948, 11.3.3.5)


def png(data: bytes, width: int, height: int, title: str) -> bytes:
    """A picture of eight bits a channel that says that it is sRGB, and what it is called. Same pixels, same bytes."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    told = PngInfo()
    told.add(b"sRGB", PERCEPTUAL)
    told.add_itxt("Title", title)
    out = io.BytesIO()
    Image.frombytes("RGB", (width, height), data).save(out, "PNG", pnginfo=told, compress_level=9)
    return out.getvalue()
