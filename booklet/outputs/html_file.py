"""Comes in: a page and the files that it shows. Goes out: one HTML file with all of them inside; the page is made elsewhere."""

from __future__ import annotations

import base64
import mimetypes
import re
from collections.abc import Mapping


def one_file(page: str, parts: Mapping[str, bytes]) -> bytes:
    """The page with its pictures and drawings inside, so that it can be moved and sent."""

    def inside(found: re.Match[str]) -> str:
        data = parts.get(found[1])
        if data is None:
            return found[0]
        kind = mimetypes.guess_type(found[1])[0] or "application/octet-stream"
        return f'src="data:{kind};base64,{base64.b64encode(data).decode("ascii")}"'

    return re.sub(r'src="([^"<>]{1,200})"', inside, page).encode("utf-8")
