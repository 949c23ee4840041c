"""Comes in: an address. Goes out: its QR code as the bytes of an SVG file; where it is printed and how large is not decided here.

The only door to the library of codes. ISO/IEC 18004: dark modules on a light ground, with a quiet zone of four modules.
"""

from __future__ import annotations

import io

QUIET = 4  # modules of white on every side (ISO/IEC 18004)
LEVEL = "M"  # 15 % of the code may be lost: a crease or a drop of tea
LONGEST = 300  # characters; a longer address makes modules too small for a card


def qr(address: str) -> bytes:
    """One path of dark modules on white; whoever prints it sets the width. ValueError for an address that is too long or empty."""
    import segno

    if not address or len(address) > LONGEST:
        raise ValueError(f"{len(address)} characters do not make a code for print")
    out = io.BytesIO()
    made = segno.make(address, error=LEVEL, micro=False, boost_error=False)
    made.save(out, kind="svg", border=QUIET, dark="#000", light="#fff", xmldecl=False, omitsize=True, nl=False)
    return out.getvalue()


def modules(address: str) -> int:
    """Modules on one side of the code, quiet zone included: the printed width divided by it is the size of a module."""
    import segno

    return segno.make(address, error=LEVEL, micro=False, boost_error=False).symbol_size(border=QUIET)[0]
