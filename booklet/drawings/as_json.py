"""Drawings in, the object of `booklet chart --json` out: plain values, lengths in mm."""

from __future__ import annotations

from typing import Any

from booklet.drawings.drawing import Drawing, Mark


def charts_as_json(drawings: tuple[Drawing, ...]) -> dict[str, Any]:
    """All panels of a pattern's charts, in order."""
    return {"charts": [chart_as_json(drawing) for drawing in drawings]}


def chart_as_json(drawing: Drawing) -> dict[str, Any]:
    """One panel. Chains of a start are drawn but belong to no round, so they have no mark here."""
    return {
        "part": drawing.part,
        "form": drawing.form,
        "centre": [0, 0],
        "frame_mm": [_mm(value) for value in drawing.frame],
        "symbol_mm": _mm(drawing.symbol_mm),
        "fits": drawing.fits,
        "marks": [_mark(mark) for mark in drawing.marks if mark.round > 0],
        "labels": [{"text": label.text, "x": _mm(label.x), "y": _mm(label.y), "size": _mm(label.size)} for label in drawing.labels],
        "rounds": [
            {"label": one.label, "first": one.first, "last": one.last, "total": one.total, "change": one.change} for one in drawing.lines
        ],
    }


def _mark(mark: Mark) -> dict[str, Any]:
    return {
        "stitch": mark.stitch,
        "kind": mark.kind,
        "round": mark.round,
        "x": _mm(mark.x),
        "y": _mm(mark.y),
        "rotation": _mm(mark.rotation),
        "size": _mm(mark.size),
        "feet": [[_mm(x), _mm(y)] for x, y in mark.feet],
        "heads": [[_mm(x), _mm(y)] for x, y in mark.heads],
        "stands_for": list(mark.stands_for) if mark.stands_for else None,
    }


def _mm(value: float) -> float:
    return round(value, 2) + 0.0  # no minus zero
