"""Figures in, a table for people or values for `--json` out; nothing is computed here, the units are metric."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.figures.figures import Figures
from booklet.reports.cells import harmless, width
from booklet.reports.figures_json import figures_json as _one

_BASIS = {"gauge": "as stated", "hook": "estimated from the hook", "default": "assumed: nothing was stated"}


Variant = tuple[str, tuple[tuple[str, str], ...], Figures]  # size, choices, their figures


def figures_json(figures: Figures, variants: tuple[Variant, ...] = ()) -> dict[str, object]:
    """The object of `booklet figures --json`. A variant holds only what differs from the first."""
    first = _one(figures)
    first["variants"] = [
        {"size": size or None, "choices": dict(choices), **{key: value for key, value in _one(other).items() if value != first[key]}}
        for size, choices, other in variants
    ]
    return first


def figures_table(figures: Figures) -> str:
    """Gauge, parts, yarn, size and cautions, one below the other."""
    gauge = figures.gauge
    lines = [f"gauge: a stitch of {gauge.stitch_mm:.2f} x {gauge.round_mm:.2f} mm, {_BASIS.get(gauge.basis, gauge.basis)}", ""]
    lines += _columns(
        ("part", "make", "stitches", "width", "height", "length", "stuffing"),
        (
            (
                part.name,
                str(part.make),
                str(part.stitches),
                _mm(part.width_mm),
                _mm(part.height_mm),
                _mm(part.length_mm),
                _g(part.stuffing_g),
            )
            for part in figures.parts
        ),
    )
    lines.append("")
    lines += _columns(
        ("yarn", "length", "likely", "mass", "balls"),
        (
            (
                line.code,
                f"{line.length_m:.0f} m",
                f"{line.low_m:.0f} to {line.high_m:.0f} m",
                _g(line.mass_g),
                "" if line.balls is None else str(line.balls),
            )
            for line in figures.yarn
        ),
    )
    size = figures.size
    sides = ((size.height_mm, "high"), (size.width_mm, "wide"), (size.length_mm, "long"))
    whole = [f"{_mm(value)} {word}" for value, word in sides if value]
    lines += ["", f"finished size: {', '.join(whole) or 'not known'}"]
    lines += _safety(figures)
    return "\n".join(lines) + "\n"


def _safety(figures: Figures) -> list[str]:
    safety = figures.safety
    lines = [f"age mark: {safety.age or 'none'}; markets: {', '.join(safety.markets) or 'none'}"]
    lines += [f"  {note.severity}[{note.code}]{' ' + note.market if note.market else ''}: {harmless(note.text)}" for note in safety.notes]
    return lines


def _columns(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> list[str]:
    """Left-aligned names, right-aligned numbers. A name in wide characters keeps the columns straight."""
    table = [head, *(tuple(harmless(cell) for cell in row) for row in rows)]
    widths = [max(_cells(row[i]) for row in table) for i in range(len(head))]
    lines = []
    for row in table:
        cells = [" " * (widths[i] - _cells(cell)) + cell if i else cell + " " * (widths[i] - _cells(cell)) for i, cell in enumerate(row)]
        lines.append("  ".join(cells).rstrip())
    return lines


def _cells(text: str) -> int:
    return sum(width(character) for character in text)


def _mm(value: float | None) -> str:
    return "" if value is None else f"{value:.0f} mm"


def _g(value: float | None) -> str:
    return "" if value is None else f"{value:.0f} g" if value >= 10 or not value else f"{value:.1f} g"
