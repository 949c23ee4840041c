"""The notions of a pattern in, the parts that may come off the piece out, each with a verdict on its size; ages are judged in safety."""

from __future__ import annotations

from booklet.figures.cylinder import MEASURES, verdict
from booklet.figures.figures import Component
from booklet.figures.steps import bare, chosen, taken
from booklet.graph.graph import Graph
from booklet.pattern.model import Notion, Pattern
from booklet.tables.safety import NotionKind, notion_kind

PLACING = ("place.between", "place.over", "place.on", "place.beside")
# Words for the same measure, from a notion's own keys to those of the cylinder.
_SAME = {"height": ("height", "depth", "thickness"), "length": ("length", "height"), "depth": ("depth", "height")}


def said_keys(words: str) -> tuple[str, ...]:
    """What the words of a sentence may mean: a notion of that name, or of that kind."""
    kind = notion_kind(words)
    return (f"={bare(words)}",) if kind is None else (f"={bare(words)}", kind.kind)


def listed_keys(notion: Notion) -> tuple[str, ...]:
    """What a notion may be called: its name, its kind, and just "eyes" for all kinds of eyes and noses."""
    keys = said_keys(notion.name or notion.text)
    return (*keys, "eye") if keys[-1].endswith(("_eye", "_nose")) else keys


class Use:
    """Which notions are used with the choices of a graph."""

    def __init__(self, pattern: Pattern, graph: Graph) -> None:
        self.values = taken(pattern, graph)
        self.placed: dict[str, bool] = {}  # key of what is placed -> is one of those sentences followed?
        for section in pattern.sections:
            for step in section.steps:
                if step.kind == "sentence" and step.name in PLACING:
                    followed = chosen(step.choices, self.values)
                    for key in said_keys(str(step.value("what", "") or "")):
                        self.placed[key] = self.placed.get(key, False) or followed

    def __call__(self, notion: Notion) -> bool:
        """Told by `only for`; without it by the placings: a notion that only other choices place is not used."""
        if notion.only_for:
            return chosen(notion.only_for, self.values)
        named = [self.placed[key] for key in listed_keys(notion) if key in self.placed]
        return not named or any(named)


def components(pattern: Pattern, graph: Graph) -> tuple[Component, ...]:
    """Every notion that becomes part of the piece with these choices. Tools, fillings and threads are none."""
    found = []
    used = Use(pattern, graph)
    for notion in pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        measured = bool(notion.shape or notion.dimensions)
        if kind is not None and kind.role != "component" and not measured:
            continue
        if kind is None and not measured and not notion.attached and notion.size_mm is None:
            continue  # nothing says that it is a thing fixed to the piece: see checks/notions
        if used(notion):
            found.append(_component(notion, kind))
    return tuple(found)


def _component(notion: Notion, kind: NotionKind | None) -> Component:
    shape = notion.shape or (kind.shape if kind is not None and kind.shape != "unknown" else "")
    attached = notion.attached or (kind.attached if kind is not None and kind.attached else "loose")
    sizes, basis = _sizes(notion, shape, kind)
    if sizes is None:
        found = "unknown"
    else:
        found = verdict(shape, sizes)
    # The washer of a large eye is small, however large the eye.
    if kind is not None and shape == "mushroom" and found == "clear":
        found, basis = "small", "washer"
    measures = dict(notion.dimensions)
    if sizes is not None:
        measures = {**dict(zip(MEASURES.get(shape, ("width", "length")), sizes, strict=True)), **measures}
    name = notion.name or notion.text
    kind_name = kind.kind if kind is not None else ""
    return Component(name, kind_name, notion.count, found != "clear", found, tuple(measures.items()), attached, basis)


def _sizes(notion: Notion, shape: str, kind: NotionKind | None) -> tuple[tuple[float, ...] | None, str]:
    """The measures that the cylinder wants, and where they come from; None where they are not known."""
    wanted = MEASURES.get(shape, ("width", "length"))
    given = dict(notion.dimensions)
    if notion.size_mm is not None:
        given.setdefault(wanted[0], notion.size_mm)
    defaults = kind.default_mm if kind is not None and kind.shape == shape and len(kind.default_mm) == len(wanted) else ()
    sizes: list[float] = []
    assumed = not given
    for at, measure in enumerate(wanted):
        size = next((given[name] for name in _SAME.get(measure, (measure,)) if name in given), None)
        if size is None and at and sizes and defaults and given:
            size = sizes[0] * defaults[at] / defaults[0]  # the usual proportions
            assumed = True
        if size is None or size <= 0:
            return None, "no size given"
        sizes.append(size)
    return tuple(sizes), "usual proportions" if assumed else "stated measures"
