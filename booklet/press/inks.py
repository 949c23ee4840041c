"""Comes in: colours and pictures of a screen. Goes out: the same as inks of coated paper; where they stand is not known here."""

from __future__ import annotations

import io
from functools import cache
from typing import Any

from booklet.resources import folder

BLACK = 0.15  # greys darker than this are full K: a screened tint would make letters ragged. Chosen by eye.
NEUTRAL = 3  # of 255: less difference between red, green and blue is grey, and grey is K alone. Chosen by eye.
QUALITY = 90


@cache
def profile() -> bytes:
    """The press profile: see shared/press/LICENSE.txt."""
    return (folder("shared") / "press" / "coated.icc").read_bytes()


@cache
def _transform() -> Any:  # noqa: ANN401
    from PIL import ImageCms

    return ImageCms.buildTransform(
        ImageCms.createProfile("sRGB"),
        ImageCms.ImageCmsProfile(io.BytesIO(profile())),
        "RGB",
        "CMYK",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )


@cache
def inks(red: float, green: float, blue: float) -> tuple[float, float, float, float]:
    """One colour, 0 to 1 each. Greys and black are K alone: several inks would print coloured rims round letters."""
    from PIL import Image, ImageCms

    given = tuple(round(255 * min(max(value, 0.0), 1.0)) for value in (red, green, blue))
    if max(given) - min(given) <= NEUTRAL:
        light = sum(given) / 765
        return 0.0, 0.0, 0.0, 1.0 if light < BLACK else round(1 - light, 4)
    one = ImageCms.applyTransform(Image.new("RGB", (1, 1), given), _transform())
    return tuple(round(value / 255, 4) for value in one.getpixel((0, 0)))  # type: ignore[return-value]


def picture(image: Any) -> bytes:  # noqa: ANN401
    """A picture as a CMYK JPEG. Pillow writes its values inverted, as is usual: it is read with Decode [1 0 1 0 1 0 1 0]."""
    from PIL import ImageCms

    out = io.BytesIO()
    converted = ImageCms.applyTransform(image.convert("RGB"), _transform())
    converted.save(out, "JPEG", quality=QUALITY, subsampling=0)
    return out.getvalue()
