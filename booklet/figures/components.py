"""The notions of a pattern in, the parts that may come off the piece out, each with a verdict on its size; ages are judged in safety."""

from __future__ import annotations

from collections.abc import Iterator

from booklet.figures.cylinder import MEASURES, UNKNOWN, verdict
from booklet.figures.figures import Component
from booklet.figures.steps import bare, chosen, taken
from booklet.graph.graph import Graph
from booklet.pattern.model import Notion, Pattern
from booklet.tables.language import fold
from booklet.tables.safety import NotionKind, notion_kind

WASHERS = ("safety_eye", "safety_nose", "eye")  # what is locked from behind with a washer
PLACING = ("place.between", "place.over", "place.on", "place.beside")
# Words for the same measure, from a notion's own keys to those of the cylinder.
_SAME = {"height": ("height", "depth", "thickness"), "length": ("length", "height"), "depth": ("depth", "height")}
_SAME |= {"diameter": ("diameter", "width")}


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
    used = Use(pattern, graph)
    return tuple(component(notion, kind) for notion, kind in _listed(pattern) if used(notion))


def asked(pattern: Pattern, graph: Graph) -> tuple[str, ...]:
    """Notions that the tables do not know and that have no measures: the pattern has to say what they are."""
    used = Use(pattern, graph)
    names = []
    for notion in pattern.notions:
        unknown = notion_kind(notion.name or notion.text) is None and not _told(notion)
        if unknown and used(notion):
            names.append(notion.name or notion.text)
    return tuple(dict.fromkeys(names))


def packed(pattern: Pattern, graph: Graph) -> tuple[Component, ...]:
    """Everything in the bag of a kit that is hard, or sharp: all of it is loose there, tools too."""
    used = Use(pattern, graph)
    found = [component(notion, kind)._replace(attached="loose") for notion, kind in _listed(pattern) if used(notion)]
    for notion in pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        if kind is not None and kind.role in ("tool", "bag") and used(notion):
            found.append(component(notion, kind)._replace(attached="loose"))
    return tuple(found)


def _listed(pattern: Pattern) -> Iterator[tuple[Notion, NotionKind | None]]:
    for notion in pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        measured = bool(notion.shape or notion.dimensions)
        if kind is not None and kind.role != "component" and not measured and not (kind.role == "measured" and notion.size_mm):
            continue
        if kind is not None and (kind.role == "bag" or (kind.role == "tool" and notion.attached in ("", "loose"))):
            continue
        if kind is None and not _told(notion):
            continue  # nothing says that it is a thing fixed to the piece: it is asked for
        yield notion, kind


def _told(notion: Notion) -> bool:
    return bool(notion.shape or notion.dimensions or notion.attached) or notion.size_mm is not None


def component(notion: Notion, kind: NotionKind | None) -> Component:
    """A notion with its verdict. An unknown size is small, and what is usual is shown beside it."""
    shape = notion.shape or (kind.shape if kind is not None and kind.shape != "unknown" else "")
    attached = notion.attached or (kind.attached if kind is not None and kind.attached else "loose")
    material = _material(notion, kind)
    sizes, basis = _sizes(notion, shape, kind)
    measures = dict(notion.dimensions)
    if sizes is None:
        found = "unknown"
        if kind is not None and kind.default_mm and kind.shape == shape and not measures:
            measures, basis = dict(zip(MEASURES[shape], kind.default_mm, strict=False)), "usual size: none is given"
    else:
        found = verdict(shape, sizes, soft=material != "hard")
        measures = {**dict(zip(MEASURES.get(shape, UNKNOWN), sizes, strict=True)), **measures}
    # The washer of a large eye is small, however large the eye.
    if kind is not None and kind.kind in WASHERS and shape == "mushroom" and found == "clear":
        found, basis = "small", "washer"
    name = notion.name or notion.text
    kind_name = kind.kind if kind is not None else ""
    hazard = kind.hazard if kind is not None else ""
    return Component(
        name,
        kind_name,
        notion.count,
        found != "clear",
        found,
        tuple(measures.items()),
        attached,
        basis,
        shape or "unknown",
        "",
        material,
        hazard,
    )


def _material(notion: Notion, kind: NotionKind | None) -> str:
    """Hard unless the table or the words say otherwise; a doubt of 10 % is taken for what is crocheted."""
    if kind is not None and kind.material != "hard":
        return kind.material
    words = fold(notion.name or notion.text).split()
    return "soft" if any(word.startswith(("crochet", "knit")) for word in words) else "hard"


def _sizes(notion: Notion, shape: str, kind: NotionKind | None) -> tuple[tuple[float, ...] | None, str]:
    """The measures that the cylinder wants, and where they come from; None where they are not known."""
    wanted = MEASURES.get(shape, UNKNOWN)
    given = dict(notion.dimensions)
    if not shape and len(given) > 1:
        return (min(given.values()), max(given.values())), "stated measures"
    if notion.size_mm is not None:
        # "A 70 mm needle" is as long as that; of everything else a single size is the width.
        given.setdefault("length" if shape == "rod" else wanted[0], notion.size_mm)
    defaults = kind.default_mm if kind is not None and kind.shape == shape and len(kind.default_mm) == len(wanted) else ()
    sizes: list[float] = []
    assumed = not given
    for at, measure in enumerate(wanted):
        size = next((given[name] for name in _SAME.get(measure, (measure,)) if name in given), None)
        if size is None and shape == "rod" and measure == "diameter" and defaults and given:
            size, assumed = defaults[at], True
        if size is None and at and sizes and defaults and given:
            size = sizes[0] * defaults[at] / defaults[0]  # the usual proportions
            assumed = True
        if size is None or size <= 0:
            return None, "no size given"
        sizes.append(size)
    return tuple(sizes), "usual proportions" if assumed else "stated measures"
