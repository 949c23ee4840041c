"""Comes in: an opened PDF in colours of a screen. Goes out: the same in inks, in place; boxes, marks and claims are made elsewhere."""

from __future__ import annotations

from typing import Any

from booklet.press.inks import inks, picture

OVER, KNOCK = "/PressOver", "/PressKnock"  # names of ours for two graphics states


class NotConvertible(Exception):
    """A colour that cannot be brought to inks; the sentence names it."""


def convert(document: Any) -> None:  # noqa: ANN401
    """Every colour and picture of the file to inks. Raises NotConvertible for what our own pages never hold."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    over = document.make_indirect(Dictionary(Type=Name.ExtGState, op=True, OPM=1))
    knock = document.make_indirect(Dictionary(Type=Name.ExtGState, op=False))

    def given(owner: Any) -> None:  # noqa: ANN401
        states = owner.Resources.get("/ExtGState") if "/Resources" in owner else None
        if states is None:
            if "/Resources" not in owner:
                owner.Resources = Dictionary()
            owner.Resources.ExtGState = states = Dictionary()
        states[OVER], states[KNOCK] = over, knock
        spaces = owner.Resources.get("/ColorSpace", {})
        for name in [key for key in spaces if str(spaces[key][0]) == "/Lab"]:  # the engine's own, never used by a page of ours
            del spaces[name]

    for page in document.pages:
        given(page.obj)
        page.obj.Contents = document.make_stream(_stream(page))
        _group(page.obj)
    for thing in list(document.objects):
        if isinstance(thing, pikepdf.Dictionary) and "/ShadingType" in thing:
            raise NotConvertible("a gradient")
        if not isinstance(thing, pikepdf.Stream):
            continue
        kind = str(thing.get("/Subtype"))
        if kind == "/Form":
            given(thing)
            thing.write(_stream(thing))
            _group(thing)
        elif kind == "/Image" and str(thing.get("/ColorSpace")) == "/DeviceRGB":
            data = picture(pikepdf.PdfImage(thing).as_pil_image())
            thing.write(data, filter=Name.DCTDecode)
            thing.ColorSpace, thing.BitsPerComponent, thing.Decode = Name.DeviceCMYK, 8, Array([1, 0] * 4)
        elif kind == "/Image" and not thing.get("/ImageMask") and str(thing.get("/ColorSpace")) not in ("/DeviceGray", "/DeviceCMYK"):
            raise NotConvertible("a picture in another colour space")


def _group(owner: Any) -> None:  # noqa: ANN401
    from pikepdf import Name

    if "/Group" in owner and "/CS" in owner.Group:
        owner.Group.CS = Name.DeviceCMYK


def _stream(owner: Any) -> bytes:  # noqa: ANN401
    """A content stream with its colours changed, black fills set to overprint: no white shows where plates shift."""
    import pikepdf
    from pikepdf import Name, Operator

    out: list[Any] = []
    printed_over: bool | None = None  # unknown at the start of a form, which takes its caller's state over
    stack: list[bool | None] = []
    for one in pikepdf.parse_content_stream(owner):
        name = str(one.operator)
        if name == "q":
            stack.append(printed_over)
        elif name == "Q" and stack:
            printed_over = stack.pop()
        values = _inks_of(name, one)
        if values is None:
            out.append(one)
            continue
        fill = name.islower()
        out.append((list(values), Operator("k" if fill else "K")))
        black = values == (0.0, 0.0, 0.0, 1.0)
        if fill and black is not printed_over:
            out.append(([Name(OVER if black else KNOCK)], Operator("gs")))
            printed_over = black
    return pikepdf.unparse_content_stream(out)


def _inks_of(name: str, one: Any) -> tuple[float, ...] | None:  # noqa: ANN401
    """The inks of an operator that sets a colour; None for another operator."""
    if name in ("rg", "RG"):
        return inks(*(float(value) for value in one.operands))
    if name in ("g", "G"):
        return (0.0, 0.0, 0.0, round(1 - float(one.operands[0]), 4))
    if name in ("k", "K"):
        return tuple(float(value) for value in one.operands)
    if name in ("cs", "CS", "sc", "SC", "scn", "SCN", "sh", "INLINE IMAGE"):
        raise NotConvertible(f"a colour by {name}")
    return None
