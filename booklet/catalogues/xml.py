"""Bytes of XML in, plain elements out, or a refusal; no entity is ever resolved and nothing outside is looked for."""

from __future__ import annotations

from typing import NamedTuple

from booklet.catalogues.message import CatalogueFault

DEEPEST = 60
MOST_ELEMENTS = 400_000


class Element(NamedTuple):
    """An element; children are texts and elements, in order."""

    name: str  # without its namespace
    space: str  # the namespace
    attributes: dict[str, str]
    children: list[Element | str]
    line: int

    def text(self) -> str:
        """All text below it."""
        return "".join(one if isinstance(one, str) else one.text() for one in self.children)

    def all(self, name: str) -> list[Element]:
        """Children of a name."""
        return [one for one in self.children if isinstance(one, Element) and one.name == name]


def parse(data: bytes) -> Element:
    """The root. A document type, and with it every entity, is refused before anything of it is read: CatalogueFault."""
    from xml.parsers import expat

    parser = expat.ParserCreate(namespace_separator=" ")
    root = Element("", "", {}, [], 0)
    open_now = [root]
    count = 0

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal count
        count += 1
        if len(open_now) > DEEPEST or count > MOST_ELEMENTS:
            raise CatalogueFault("it is nested too deep or too large", parser.CurrentLineNumber)
        space, _, local = name.rpartition(" ")
        made = Element(local, space, attributes, [], parser.CurrentLineNumber)
        open_now[-1].children.append(made)
        open_now.append(made)

    def refuse(*_: object) -> None:
        raise CatalogueFault("it has a document type or entities of its own; these are not read", parser.CurrentLineNumber)

    parser.StartElementHandler = start
    parser.EndElementHandler = lambda _: open_now.pop()
    parser.CharacterDataHandler = lambda text: open_now[-1].children.append(text)
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = parser.ExternalEntityRefHandler = refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as fault:
        raise CatalogueFault(f"line {fault.lineno} is not XML, or in another encoding than it says", fault.lineno) from fault
    except (ValueError, LookupError) as fault:
        raise CatalogueFault("its encoding is not known") from fault
    return next(one for one in root.children if isinstance(one, Element))
