"""Comes in: a page of an opened PDF. Goes out: what its content streams paint, and how. Nothing is judged or changed here."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Any

from booklet.press.facts import Image
from booklet.press.opened import faults

Matrix = tuple[float, float, float, float, float, float]
UNIT: Matrix = (1, 0, 0, 1, 0, 0)
DEEPEST = 12  # forms within forms; a file that needs more is made to harm
POINT_MM = 25.4 / 72
STROKES = {"S", "s", "B", "B*", "b", "b*"}
FILLS = {"f", "F", "f*", "B", "B*", "b", "b*"}
TEXT = {"Tj", "TJ", "'", '"'}
DEVICE = {"g": "DeviceGray", "rg": "DeviceRGB", "k": "DeviceCMYK"}
Ink = tuple[str, tuple[float, ...]]  # colour space and its values


@dataclass(frozen=True, slots=True)
class _State:
    """The graphics state, as far as it matters (ISO 32000-1, 8.4)."""

    ctm: Matrix = UNIT
    fill: Ink = ("DeviceGray", (0.0,))
    stroke: Ink = ("DeviceGray", (0.0,))
    width: float = 1.0
    mode: int = 0  # text rendering


@dataclass(slots=True)
class Painted:
    """What was met on a page, gathered."""

    left: int  # operators that may still be looked at
    inks: set[Ink] = field(default_factory=set)
    text_inks: set[Ink] = field(default_factory=set)
    images: list[Image] = field(default_factory=list)
    streams: dict[tuple[int, int], Any] = field(default_factory=dict)  # picture objects by number
    thinnest_pt: float | None = None
    transparent: bool = False
    whole: bool = True


def painted(page: Any, most: int) -> Painted:  # noqa: ANN401  (a page of pikepdf)
    """Look at no more than `most` operators. What cannot be parsed ends the look, and `whole` says so."""
    found = Painted(most)
    _stream(page.obj, page.resources if hasattr(page, "resources") else None, _State(), found, 0)
    return found


def times(inner: Matrix, outer: Matrix) -> Matrix:
    """The matrix that does `inner`, then `outer` (ISO 32000-1, 8.3.4)."""
    a, b, c, d, e, f = inner
    g, h, i, j, k, m = outer
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def _stream(owner: Any, resources: Any, state: _State, found: Painted, depth: int) -> None:  # noqa: ANN401
    import pikepdf

    stack: list[_State] = []
    try:
        for one in pikepdf.parse_content_stream(owner):
            if found.left <= 0:
                found.whole = False
                return
            found.left -= 1
            name = str(one.operator)
            if name == "q" and len(stack) < 512:
                stack.append(state)
            elif name == "Q" and stack:
                state = stack.pop()
            else:
                state = _step(name, one, resources, state, found, depth)
    except faults():
        found.whole = False


def _step(name: str, one: Any, resources: Any, state: _State, found: Painted, depth: int) -> _State:  # noqa: ANN401
    given = one.operands
    if name == "cm":
        return replace(state, ctm=times(_numbers(given, 6), state.ctm))  # type: ignore[arg-type]
    if name == "w":
        return replace(state, width=float(given[0]))
    if name == "Tr":
        return replace(state, mode=int(given[0]))
    if name.lower() in DEVICE:
        ink = (DEVICE[name.lower()], tuple(float(value) for value in given))
        return replace(state, fill=ink) if name.islower() else replace(state, stroke=ink)
    if name in ("cs", "CS"):
        ink = (space_name(_space(given[0], resources)), ())
        return replace(state, fill=ink) if name == "cs" else replace(state, stroke=ink)
    if name in ("sc", "scn", "SC", "SCN"):
        values = tuple(float(value) for value in given if not hasattr(value, "keys") and not str(value).startswith("/"))
        if name.islower():
            return replace(state, fill=(state.fill[0], values))
        return replace(state, stroke=(state.stroke[0], values))
    if name == "gs":
        return _extended(given[0], resources, state, found)
    _paint(name, one, resources, state, found, depth)
    return state


def _paint(name: str, one: Any, resources: Any, state: _State, found: Painted, depth: int) -> None:  # noqa: ANN401
    if name in STROKES:
        found.inks.add(state.stroke)
        a, b, c, d, _, _ = state.ctm
        wide = state.width * math.sqrt(abs(a * d - b * c))
        found.thinnest_pt = wide if found.thinnest_pt is None else min(found.thinnest_pt, wide)
    if name in FILLS:
        found.inks.add(state.fill)
    if name in TEXT:
        ink = {0: state.fill, 1: state.stroke, 2: state.fill, 4: state.fill, 5: state.stroke, 6: state.fill}.get(state.mode)
        if ink is not None:
            found.inks.add(ink)
            found.text_inks.add(ink)
    if name == "sh":
        shading = resources.get("/Shading", {}).get(str(one.operands[0]))
        found.inks.add((space_name(_space(shading.get("/ColorSpace"), resources)), ()))
    if name == "INLINE IMAGE":
        picture = one.iimage
        found.images.append(_image(picture.width, picture.height, "inline", state.ctm))
    if name == "Do":
        _object(resources.get("/XObject", {}).get(str(one.operands[0])), resources, state, found, depth)


def _object(thing: Any, resources: Any, state: _State, found: Painted, depth: int) -> None:  # noqa: ANN401
    if thing is None:
        return
    kind = str(thing.get("/Subtype"))
    if kind == "/Image":
        if "/SMask" in thing:
            found.transparent = True
        space = "mask" if thing.get("/ImageMask") else space_name(_space(thing.get("/ColorSpace"), resources))
        found.images.append(_image(int(thing.get("/Width", 0)), int(thing.get("/Height", 0)), space, state.ctm))
        found.streams[thing.objgen] = thing
    elif kind == "/Form":
        if depth >= DEEPEST:
            found.whole = False
            return
        matrix = _numbers(thing.get("/Matrix", UNIT), 6)
        inside = replace(state, ctm=times(matrix, state.ctm))  # type: ignore[arg-type]
        if "/Group" in thing and str(thing.Group.get("/S")) == "/Transparency":
            found.transparent = True
        _stream(thing, thing.get("/Resources", resources), inside, found, depth + 1)


def _image(width: int, height: int, space: str, ctm: Matrix) -> Image:
    a, b, c, d, _, _ = ctm
    return Image(width, height, round(math.hypot(a, b) * POINT_MM, 2), round(math.hypot(c, d) * POINT_MM, 2), space)


def _extended(name: Any, resources: Any, state: _State, found: Painted) -> _State:  # noqa: ANN401
    given = resources.get("/ExtGState", {}).get(str(name), {})
    if float(given.get("/ca", 1)) < 1 or float(given.get("/CA", 1)) < 1 or str(given.get("/SMask", "/None")) != "/None":
        found.transparent = True
    if str(given.get("/BM", "/Normal")) not in ("/Normal", "/Compatible"):
        found.transparent = True
    return replace(state, width=float(given["/LW"])) if "/LW" in given else state


def _space(value: Any, resources: Any) -> Any:  # noqa: ANN401
    """A colour space by its name in the resources, or the value itself."""
    if value is None:
        return "none"
    named = resources.get("/ColorSpace", {}) if resources is not None else {}
    return named.get(str(value), value) if _is_name(value) else value


def _is_name(value: Any) -> bool:  # noqa: ANN401
    import pikepdf

    return isinstance(value, pikepdf.Name)


def space_name(value: Any) -> str:  # noqa: ANN401
    """A short name: DeviceRGB, ICCBased/3, Separation, Indexed of DeviceRGB …"""
    if isinstance(value, str) or _is_name(value):
        return {"G": "DeviceGray", "RGB": "DeviceRGB", "CMYK": "DeviceCMYK"}.get(str(value).lstrip("/"), str(value).lstrip("/"))
    try:
        family = str(value[0]).lstrip("/")
        if family == "ICCBased":
            return f"ICCBased/{int(value[1].get('/N', 0))}"
        if family == "Separation" and str(value[1]) == "/All":
            return "Separation/All"
        if family == "Indexed":
            return f"Indexed of {space_name(value[1])}" if _is_name(value[1]) or str(value[1][0]) != "/Indexed" else "unknown"
        return family
    except (TypeError, ValueError, IndexError, AttributeError):
        return "unknown"


def _numbers(values: Any, count: int) -> tuple[float, ...]:  # noqa: ANN401
    made = tuple(float(value) for value in values)
    if len(made) != count or not all(map(math.isfinite, made)):
        raise ValueError("not a matrix")
    return made
