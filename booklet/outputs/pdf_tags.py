"""Comes in: the PDF engine's tags of a page's boxes. Goes out: the same with language, header direction and label added.

WeasyPrint 70 tags a table header without saying whether it heads a row or a column, and leaves the language of a foreign
word out; PDF/UA-1 readers need both (ISO 14289-1, 7.2 and 7.5). The place to add them is a private function: hence the
exact version in pyproject.toml, and a test that fails when the function moves.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import wraps
from typing import Any

ADDED = "_pattern_booklet_adds_tags"


def complete_tags() -> None:
    """Make the engine's tags complete, once a process. Raises AttributeError where the engine has another shape."""
    import pydyf
    from weasyprint.pdf import tags

    original = tags._build_box_tree
    if hasattr(original, ADDED):
        return

    @wraps(original)
    def build(box: Any, *arguments: Any) -> Iterator[Any]:  # noqa: ANN401  (the engine's own boxes)
        real = getattr(box, "_box", box)  # an absolutely placed box stands behind a placeholder
        element = getattr(real, "element", None)
        pseudo = "::" in (getattr(real, "element_tag", None) or "")
        for tag in original(box, *arguments):
            # The page's root elements make no tag of their own: what comes through them is other elements' tags.
            if hasattr(element, "get") and not pseudo and real.element_tag not in ("html", "body"):
                _complete(tag, element, pydyf)
            yield tag

    setattr(build, ADDED, True)
    tags._build_box_tree = build


def _complete(tag: Any, element: Any, pydyf: Any) -> None:  # noqa: ANN401
    if (language := element.get("lang")) and "Lang" not in tag:
        tag["Lang"] = pydyf.String(language)
    if tag["S"] == "/TH" and tag.get("A") is not None and "Scope" not in tag["A"]:
        tag["A"]["Scope"] = "/Row" if element.get("scope", "").startswith("row") else "/Column"
    if tag["S"] == "/Figure" and "Alt" not in tag and (label := element.get("aria-label")):
        tag["Alt"] = pydyf.String(label)
