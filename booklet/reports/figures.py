"""Figures in, a table for people or values for `--json` out; nothing is computed here but the units of an edition."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from booklet.figures.figures import Figures, PartFigures
from booklet.reports.cells import harmless, width
from booklet.reports.figures_json import figures_json as _one
from booklet.units import G_PER, MM_PER

_BASIS = {"gauge": "as stated", "hook": "estimated from the hook, ± 20 %", "default": "assumed: nothing was stated"}
_QUARTERS = ("", "¼", "½", "¾")


Variant = tuple[str, tuple[tuple[str, str], ...], Figures]  # size, choices, their figures


def figures_json(figures: Figures, variants: tuple[Variant, ...] = ()) -> dict[str, object]:
    """The object of `booklet figures --json`. A variant holds only what differs from the first."""
    first = _one(figures)
    first["variants"] = [
        {"size": size or None, "choices": dict(choices), **{key: value for key, value in _one(other).items() if value != first[key]}}
        for size, choices, other in variants
    ]
    return first


def figures_table(figures: Figures, units: str = "metric") -> str:
    """Gauge, parts, growth, yarn, size, placements and cautions, one below the other. `units`: metric, imperial or both."""
    gauge = figures.gauge
    lines = [f"gauge: a stitch of {gauge.stitch_mm:.2f} x {gauge.round_mm:.2f} mm, {_BASIS.get(gauge.basis, gauge.basis)}"]
    lines += [f"yarn of a stitch: {gauge.path:.1f} mm, ± {gauge.path_range * 100:.0f} %", ""]
    lines += columns(
        ("part", "make", "stitches", "width", "height", "length", "stuffing", "tail to sew"), (_part(one, units) for one in figures.parts)
    )
    lines += list(_growth(figures))
    lines.append("")
    lines += columns(
        ("yarn", "length", "likely", "mass", "balls", "cut for a kit"),
        (
            (
                line.code,
                _run(line.length_m, units),
                f"{_run(line.low_m, units)} to {_run(line.high_m, units)}",
                _mass(line.mass_g, units),
                "" if line.balls is None else str(line.balls),
                "" if line.cut_m is None else _run(line.cut_m, units),
            )
            for line in figures.yarn
        ),
    )
    size = figures.size
    sides = ((size.height_mm, "high"), (size.width_mm, "wide"), (size.length_mm, "long"))
    whole = [f"{_length(value, units)} {word}" for value, word in sides if value]
    names = f" ({' + '.join(harmless(name) for name in size.basis)})" if len(size.basis) > 1 else ""
    lines += ["", f"finished size: {', '.join(whole) or 'not known'}{names}"]
    if figures.stuffing_g:
        lines.append(f"stuffing: about {_mass(figures.stuffing_g, units)}, ± 40 %")
    lines += list(_placements(figures, units))
    lines += list(_relaxed(figures, units))
    lines += _safety(figures)
    return "\n".join(lines) + "\n"


def _part(part: PartFigures, units: str) -> tuple[str, ...]:
    return (
        part.name,
        str(part.make),
        str(part.stitches),
        _length(part.width_mm, units),
        _length(part.height_mm, units),
        _length(part.length_mm, units),
        _mass(part.stuffing_g, units),
        _length(part.tail_mm, units),
    )


def _growth(figures: Figures) -> Iterator[str]:
    for part in figures.parts:
        if part.growth:
            runs = [f"{one.first}{f'-{one.last}' if one.first < one.last else ''} {one.verdict}" for one in part.growth]
            yield f"  {harmless(part.name)}, rounds {', '.join(runs)}"


def _placements(figures: Figures, units: str) -> Iterator[str]:
    for place in figures.placements:
        host = harmless(figures.parts[place.host].name)
        where = f"  {harmless(place.what)} on {host}, above round {place.n} ({place.total} stitches)"
        if place.apart is None or place.arc_mm is None or place.degrees is None:
            if place.after:
                yield f"{where}: after stitch {' to '.join(map(str, place.after))}"
            continue
        middle = "" if place.centred else ", half a stitch beside the middle"
        yield (
            f"{where}: after stitches {' and '.join(map(str, place.after))}{middle}; "
            f"{_length(place.arc_mm, units)} along the fabric, {place.degrees:.0f}°"
        )


def _relaxed(figures: Figures, units: str) -> Iterator[str]:
    for part in figures.parts:
        if (rest := part.relaxed) is not None:
            sides = " x ".join(_length(side, units) for side in (rest.width_mm, rest.depth_mm, rest.height_mm))
            force = "" if rest.embeds else "; its counts need force"
            yield f"  {harmless(part.name)} at rest: {sides} high, strain {rest.strain * 100:.0f} %{force}"


def _safety(figures: Figures) -> list[str]:
    safety = figures.safety
    lines = [f"age mark: {safety.age or 'none'}; markets: {', '.join(safety.markets) or 'none'}"]
    lines += [f"  {note.severity}[{note.code}]{' ' + note.market if note.market else ''}: {harmless(note.text)}" for note in safety.notes]
    return lines


def columns(head: tuple[str, ...], rows: Iterable[tuple[str, ...]], names: frozenset[int] = frozenset((0,))) -> list[str]:
    """Left-aligned names (columns by place), right-aligned numbers. A name in wide characters keeps the columns straight."""
    table = [head, *(tuple(harmless(cell) for cell in row) for row in rows)]
    widths = [max(_cells(row[i]) for row in table) for i in range(len(head))]
    lines = []
    for row in table:
        gaps = [" " * (widths[i] - _cells(cell)) for i, cell in enumerate(row)]
        cells = [cell + gap if i in names else gap + cell for i, (cell, gap) in enumerate(zip(row, gaps, strict=True))]
        lines.append("  ".join(cells).rstrip())
    return lines


def _cells(text: str) -> int:
    return sum(width(character) for character in text)


def _length(value: float | None, units: str) -> str:
    """Centimetres, below one millimetres, or inches in quarters: what a tape measure shows."""
    if value is None:
        return ""
    return _either(f"{value / 10:.1f} cm" if value >= 10 else f"{value:.0f} mm", f"{_quarters(value / MM_PER['in'])} in", units)


def _quarters(inches: float) -> str:
    whole, quarter = divmod(max(1, round(inches * 4)), 4)
    return f"{whole or ''}{_QUARTERS[quarter]}"


def _run(metres: float, units: str) -> str:
    return _either(f"{metres:.0f} m", f"{metres * 1000 / MM_PER['yd']:.0f} yd", units)


def _mass(grams: float | None, units: str) -> str:
    if grams is None:
        return ""
    ounces = grams / G_PER["oz"]
    metric = f"{grams:.0f} g" if grams >= 10 or not grams else f"{grams:.1f} g"
    return _either(metric, f"{ounces:.1f} oz" if ounces >= 0.95 or not grams else f"{ounces:.2f} oz", units)


def _either(metric: str, imperial: str, units: str) -> str:
    return metric if units == "metric" else imperial if units == "imperial" else f"{metric} ({imperial})"
