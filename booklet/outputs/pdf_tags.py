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
            if hasattr(element, "get") and real.element_tag not in ("html", "body"):
                is_link = bool(getattr(real, "link_annotation", None))
                _mend(tag, arguments[0], is_link)
                if pseudo:  # what stands before an element has no language of its own
                    yield tag
                    continue
                _complete(tag, element, pydyf)
                if is_link and tag["S"] == "/Figure":
                    _into_link(tag, arguments[1], arguments[3], pydyf)
                if tag["S"] == "/L":
                    _spaces_into_items(tag, arguments[1].objects)
            yield tag

    setattr(build, ADDED, True)
    tags._build_box_tree = build


def _mend(tag: Any, parent: Any, is_link: bool) -> None:  # noqa: ANN401
    """Two tags that veraPDF objects to: words set smaller inside a link, and groups of a list of terms."""
    if is_link and tag["S"] in ("/NonStruct", "/Span"):
        tag["S"] = "/Link"  # ISO 14289-1, 7.18.5: it carries the link's area
    if tag["S"] == "/Div" and parent is not None and parent.get("S") == "/L":
        tag["S"] = "/L"  # <dl><div><dt>: a list may hold lists and items only (ISO 32000-1, table 336)


def _into_link(tag: Any, document: Any, marks: dict[int, Any], pydyf: Any) -> None:  # noqa: ANN401
    """A picture that is a link becomes a link around a picture: only a link carries an area (ISO 14289-1, 7.18.5)."""
    drawn = [kid for kid in tag["K"] if isinstance(kid, int)]
    moved = {key: tag.pop(key) for key in ("A", "Alt", "Lang") if key in tag}
    figure = pydyf.Dictionary({**tag, **moved, "K": pydyf.Array(drawn), "P": tag.reference})
    document.add_object(figure)
    tag["S"] = "/Link"
    tag["K"][:] = [figure.reference, *(kid for kid in tag["K"] if not isinstance(kid, int))]
    marks.update(dict.fromkeys(drawn, figure.reference))


def _spaces_into_items(tag: Any, objects: Any) -> None:  # noqa: ANN401
    """Spaces between items that stand in one line belong to the item before them: a list holds items only."""
    kept, item = [], None
    for reference in tag["K"]:
        kid = objects[int(reference.split()[0])] if isinstance(reference, bytes) else None
        if kid is not None and kid["S"] == "/Span" and item is not None:
            kid["P"] = item.reference
            item["K"].append(reference)
            continue
        kept.append(reference)
        if kid is not None and kid["S"] == "/LI" and kid["K"]:
            item = objects[int(kid["K"][-1].split()[0])]
    tag["K"][:] = kept


def _complete(tag: Any, element: Any, pydyf: Any) -> None:  # noqa: ANN401
    if (language := element.get("lang")) and "Lang" not in tag:
        tag["Lang"] = pydyf.String(language)
    if tag["S"] == "/TH" and tag.get("A") is not None and "Scope" not in tag["A"]:
        tag["A"]["Scope"] = "/Row" if element.get("scope", "").startswith("row") else "/Column"
    if tag["S"] == "/Figure" and "Alt" not in tag and (label := element.get("aria-label")):
        tag["Alt"] = pydyf.String(label)
