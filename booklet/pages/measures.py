"""Comes in: millimetres, metres, grams, counts. Goes out: the words of an edition for them; nothing is computed about a pattern here."""

from __future__ import annotations

from typing import NamedTuple

from booklet.units import G_PER, MM_PER

# Inches are given in quarters: a tape measure shows them, and hands do not work finer. From memory.
QUARTERS = ("", "¼", "½", "¾")
WHOLE_FROM = 10  # inches from which nobody measures quarters: a tail of "23½ in" is a tail of two feet


class Style(NamedTuple):
    """How an edition writes numbers."""

    units: str  # metric, imperial, both
    decimal: str  # "." or ","
    words: dict[str, str]  # of the page: unit_cm, unit_in …, number_group, number_group_from
    first: str = "metric"  # which stands first where both are printed: the market's own


def count(number: int, style: Style) -> str:
    """A whole number with its groups of three: 4,312. Some languages group from five digits only."""
    if number < int(style.words["number_group_from"]):
        return str(number)
    return f"{number:,}".replace(",", style.words["number_group"])


def decimal(number: float, places: int, style: Style) -> str:
    """A number with at most `places` decimals, without idle zeros: 2.5."""
    text = f"{number:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", style.decimal)


def length(mm: float, style: Style) -> str:
    """A length on a piece of work: `14.2 cm`, `5½ in`, `14.2 cm (5½ in)`; below 1 cm in mm."""
    return _either(_metric(mm, style), _inches(mm, style), style)


def across(lengths_mm: tuple[float, ...], style: Style) -> str:
    """Two or three lengths: `6.2 × 7.1 cm`."""
    between = " × "
    metric = between.join(decimal(mm / 10, 0 if mm >= 195 else 1, style) for mm in lengths_mm)
    inches = between.join(_quarters(mm / MM_PER["in"]) for mm in lengths_mm)
    return _either(f"{metric}\u00a0{style.words['unit_cm']}", f"{inches}\u00a0{style.words['unit_in']}", style)


def gauge_side(mm: float, style: Style) -> float:
    """The side of a test piece in a unit of the edition, in mm: a metric edition measures over 10 cm, an imperial one over 4 in.

    Motifs and other odd sizes stay as they are.
    """
    usual = {"metric": 100.0, "imperial": 4 * MM_PER["in"]}.get(style.units)
    return usual if usual is not None and abs(mm - usual) <= 0.05 * usual else mm


def tool(mm: float, style: Style) -> str:
    """A hook, an eye: always in mm, since that is what is sold: `2.5 mm`."""
    return f"{decimal(mm, 2, style)}\u00a0{style.words['unit_mm']}"


def yarn_length(metres: float, style: Style) -> str:
    """Yarn: `125 m`, `137 yd`, `125 m (137 yd)`."""
    yards = metres * 1000 / MM_PER["yd"]
    return _either(
        f"{_amount(metres, style)}\u00a0{style.words['unit_m']}", f"{_amount(yards, style)}\u00a0{style.words['unit_yd']}", style
    )


def mass(grams: float, style: Style) -> str:
    """Yarn: `50 g`, `1.8 oz`, `50 g (1.8 oz)`."""
    ounces = max(grams / G_PER["oz"], 0.1)
    return _either(
        f"{_amount(grams, style)}\u00a0{style.words['unit_g']}", f"{decimal(ounces, 1, style)}\u00a0{style.words['unit_oz']}", style
    )


def _amount(number: float, style: Style) -> str:
    # Below ten a tenth still matters; above it would pretend an exactness that yarn does not have.
    return decimal(number, 1, style) if number < 9.95 else count(round(number), style)


def _metric(mm: float, style: Style) -> str:
    if mm < 10:
        return f"{decimal(mm, 1, style)}\u00a0{style.words['unit_mm']}"
    return f"{decimal(mm / 10, 0 if mm >= 195 else 1, style)}\u00a0{style.words['unit_cm']}"


def _inches(mm: float, style: Style) -> str:
    return f"{_quarters(mm / MM_PER['in'])}\u00a0{style.words['unit_in']}"


def _quarters(inches: float) -> str:
    if inches >= WHOLE_FROM:
        return str(round(inches))
    whole, quarter = divmod(max(1, round(inches * 4)), 4)
    return f"{whole or ''}{QUARTERS[quarter]}"


def _either(metric: str, imperial: str, style: Style) -> str:
    if style.units == "metric":
        return metric
    if style.units == "imperial":
        return imperial
    return f"{imperial} ({metric})" if style.first == "imperial" else f"{metric} ({imperial})"
