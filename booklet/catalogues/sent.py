"""Bytes that a translator sent back in, a Catalogue out, whichever of the three forms it is."""

from __future__ import annotations

import re

from booklet.catalogues import po, sheet, xliff
from booklet.catalogues.message import Catalogue, CatalogueFault


def read(data: bytes) -> Catalogue:
    """Read PO, XLIFF or XLSX, by what is in it. Raises CatalogueFault."""
    if not data.strip():
        raise CatalogueFault("it is empty")
    if data.startswith(b"PK"):
        return sheet.read(data)
    begin = data[:400].replace(b"\x00", b"")
    if re.match(rb"(?:\xef\xbb\xbf|\xff\xfe|\xfe\xff)?\s*<", begin):
        return xliff.read(data)
    return po.read(data)
