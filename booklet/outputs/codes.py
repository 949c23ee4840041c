"""Comes in: an address. Goes out: its QR code as the bytes of an SVG file; where it is printed and how large is not decided here.

The door to the library of these codes; bars have their own. ISO/IEC 18004: dark modules on a light ground, with a quiet zone of
four modules.
"""

from __future__ import annotations

import io
from typing import Any

QUIET = 4  # modules of white on every side (ISO/IEC 18004)
LEVEL = "M"  # 15 % of the code may be lost: a crease or a drop of tea
# The symbol without its quiet zone. A camera wants a side of a tenth of its distance, and a booklet is held 15 cm away at least;
# a module below a third of a millimetre runs together on a home printer. Common practice, no source.
LEAST_MM = 15.0
LEAST_MODULE_MM = 0.33
LONGEST = 300  # characters; a longer address makes modules too small for a card


def qr(address: str) -> bytes:
    """One path of dark modules on white; whoever prints it sets the width. ValueError for an address that is too long or empty."""
    out = io.BytesIO()
    _made(address).save(out, kind="svg", border=QUIET, dark="#000", light="#fff", xmldecl=False, omitsize=True, nl=False)
    return out.getvalue()


def modules(address: str) -> int:
    """Modules on one side of the code, quiet zone included: the printed width divided by it is the size of a module."""
    return _made(address).symbol_size(border=QUIET)[0]


def printed_mm(address: str) -> float:
    """How wide to print a code, quiet zone included."""
    across = modules(address)
    return round(across * max(LEAST_MM / (across - 2 * QUIET), LEAST_MODULE_MM), 2)


def _made(address: str) -> Any:  # noqa: ANN401
    import segno

    if not address or len(address) > LONGEST:
        raise ValueError(f"a link of {len(address)} characters does not make a code for print")
    return segno.make(address, error=LEVEL, micro=False, boost_error=False)
