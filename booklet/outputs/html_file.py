"""Comes in: a page and the files that it shows. Goes out: one HTML file with all of them inside; the page is made elsewhere."""

from __future__ import annotations

import base64
import mimetypes
import re
from collections.abc import Mapping


def one_file(page: str, parts: Mapping[str, bytes]) -> bytes:
    """The page with its pictures and drawings inside, so that it can be moved and sent."""

    def address(name: str) -> str | None:
        data = parts.get(name)
        if data is None:
            return None
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"

    def inside(found: re.Match[str]) -> str:
        data = address(found[1])
        return f'src="{data}"' if data else found[0]

    def ground(found: re.Match[str]) -> str:
        data = address(found[1])
        return f"url({data})" if data else found[0]

    page = re.sub(r'src="([^"<>]{1,200})"', inside, page)
    return re.sub(r"url\(([\w.-]{1,200})\)", ground, page).encode("utf-8")
