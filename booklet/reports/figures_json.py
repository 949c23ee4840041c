"""Figures in, the plain values that `booklet figures --json` prints out (keys by agreement); nothing is computed here."""

from __future__ import annotations

from booklet.figures.figures import Figures, PartFigures, Placement, Relaxed, Safety, SafetyNote, YarnLine
from booklet.tables.safety import note_text

Json = dict[str, object]


def figures_json(figures: Figures) -> Json:
    """One object: sizes in mm, yarn in metres, masses in grams, each to one decimal. `variants` is filled by the caller."""
    size = figures.size
    whole: Json = {"height": _tenth(size.height_mm), "width": _tenth(size.width_mm)}
    if size.length_mm is not None:
        whole["length"] = _tenth(size.length_mm)
    gauge = figures.gauge
    return {
        "gauge": {"stitch_mm": round(gauge.stitch_mm, 2), "round_mm": round(gauge.round_mm, 2), "from": gauge.basis, "form": gauge.form,
                  "row_mm": round(gauge.row_mm, 2), "yarn_mm": round(gauge.path, 2)},
        "parts": [_part(part) for part in figures.parts],
        "yarn": [_yarn(line) for line in figures.yarn],
        "size_mm": whole,
        "size_of": list(size.basis),
        "placed": [{"part": name, "from_mm": _tenth(low), "to_mm": _tenth(high)} for name, low, high in size.placed],
        "placements": [_placement(place, figures) for place in figures.placements],
        "stuffing_g": _tenth(figures.stuffing_g),
        "safety": _safety(figures.safety),
        "variants": [],
    }


def _part(part: PartFigures) -> Json:
    return {
        "name": part.name,
        "make": part.make,
        "stitches": part.stitches,
        "width_mm": _tenth(part.width_mm),
        "height_mm": _tenth(part.height_mm),
        "length_mm": _tenth(part.length_mm),
        "shape": part.shape,
        "rounds": [
            {"n": row.n, "total": row.total, "radius_mm": _tenth(row.radius_mm), "height_mm": _tenth(row.height_mm)}
            for row in part.rounds
        ],
        "yarn_m": {code: _tenth(length) for code, length in part.yarn_m},
        "stuffing_g": _tenth(part.stuffing_g),
        "volume_cm3": _tenth(part.volume_cm3),
        "area_cm2": _tenth(part.area_cm2),
        "gauge": None if part.gauge is None else {"stitch_mm": round(part.gauge.stitch_mm, 2), "round_mm": round(part.gauge.round_mm, 2)},
        "growth": [{"first": one.first, "last": one.last, "kappa": round(one.kappa, 3), "verdict": one.verdict} for one in part.growth],
        "stacked": list(part.stacked) if part.stacked is not None else None,
        "key_sizes": [
            {"n": key.n, "width_mm": _tenth(key.width_mm), "height_mm": _tenth(key.height_mm)} for key in part.key_sizes
        ],
        "tail_mm": {"advised": _tenth(part.tail_mm), "stated": _tenth(part.tail_stated_mm)},
        "relaxed": None if part.relaxed is None else _relaxed(part.relaxed),
    }


def _relaxed(rest: Relaxed) -> Json:
    return {
        "width_mm": _tenth(rest.width_mm),
        "depth_mm": _tenth(rest.depth_mm),
        "height_mm": _tenth(rest.height_mm),
        "strain": round(rest.strain, 3),
        "strain_most": round(rest.strain_most, 3),
        "embeds": rest.embeds,
        "widths_mm": [_tenth(width) for width in rest.widths_mm],
    }


def _placement(place: Placement, figures: Figures) -> Json:
    return {
        "what": place.what,
        "on": figures.parts[place.host].name,
        "line": place.line,
        "n": place.n,
        "total": place.total,
        "between": place.apart,
        "after_stitches": list(place.after),
        "centred": place.centred,
        "arc_mm": _tenth(place.arc_mm),
        "straight_mm": _tenth(place.straight_mm),
        "degrees": _tenth(place.degrees),
        "height_mm": _tenth(place.height_mm),
        "fits": not place.fits,
        "too_large_for": place.fits or None,
        "lean_stitches": _tenth(place.lean_sts),
    }


def _yarn(line: YarnLine) -> Json:
    return {
        "code": line.code,
        "length_m": _tenth(line.length_m),
        "low_m": _tenth(line.low_m),
        "high_m": _tenth(line.high_m),
        "mass_g": _tenth(line.mass_g),
        "balls": line.balls,
        "from": line.basis,
        "computed_m": _tenth(line.computed_m),
        "cut_m": _tenth(line.cut_m),
    }


def _safety(safety: Safety) -> Json:
    return {
        "made_as": safety.made_as,
        "age": safety.age,
        "markets": list(safety.markets),
        "ages": [
            {
                "market": one.market,
                "declared_months": one.declared,
                "counts_as_months": one.counts_as,
                "effective_months": one.declared if one.counts_as is None else one.counts_as,
                "mark": one.mark,
            }
            for one in safety.ages
        ],
        "components": [
            {
                "name": part.name,
                "small_part": part.small_part,
                "verdict": part.verdict,
                "shape": part.shape,
                "dimensions_mm": {key: _tenth(size) for key, size in part.dimensions_mm},
                "attached": part.attached,
                "basis": part.basis,
                "count": part.count,
                "made": part.made or "bought",
            }
            for part in safety.components
        ],
        "cords": [
            {
                "name": cord.name,
                "kind": cord.way,
                "length_mm": _tenth(cord.length_mm),
                "thick_mm": _tenth(cord.thick_mm),
                "basis": cord.basis,
            }
            for cord in safety.cords
        ],
        "notes": [_note(note) for note in safety.notes],
    }


def _note(note: SafetyNote) -> Json:
    """A caution with its reasons: which components, which rule, which limit, which source."""
    limit = note.limit
    return {
        "code": note.code,
        "market": note.market,
        "severity": note.severity,
        "wording": note.wording,
        "text": note.text,
        "components": list(note.names),
        "rule": note.rule,
        "level": note.level,
        "limit": None
        if limit is None
        else {
            "name": limit.name,
            "value": limit.value,
            "unit": limit.unit,
            "bound": limit.bound,
            "status": limit.status,
            "source": limit.source,
            "edition": limit.edition,
            "looked_up": limit.looked_up,
        },
        "source": note.source,
        "more": [note_text(name, **dict(values)) for name, values in note.more],
    }


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
