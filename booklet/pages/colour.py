"""Comes in: colours of yarns. Goes out: the accent of a booklet, dark enough to be read; nothing is drawn here."""

from __future__ import annotations

import re
from collections.abc import Sequence

from booklet.graph.graph import PartGraph
from booklet.pages.book import Accent, Band

PAPER = "#ffffff"
# WCAG 2.1, success criterion 1.4.3 (AA): 4.5 : 1 for text, 1.4.6 (AAA): 7 : 1.
READABLE = 4.5
COMFORTABLE = 7.0
# Where no yarn has a colour: a soft black, so that the booklet is simply black and white.
NEUTRAL = "#3d3a37"
# Greys for yarns without a `drawn` colour, told apart by their lightness. Chosen by eye.
GREYS = ("#8a8580", "#c9c4bc", "#5c5854", "#e2ded6", "#a39d95", "#74706b")
TINT = 0.10  # share of the accent in a tinted ground


def is_colour(text: str) -> bool:
    """Is this a colour as `drawn` wants it: # and six hexadecimal digits?"""
    return re.fullmatch(r"#[0-9a-fA-F]{6}", text) is not None


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1. WCAG 2.1, definition of "relative luminance"."""
    shares = []
    for value in _channels(colour):
        part = value / 255
        shares.append(part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4)
    red, green, blue = shares
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21. WCAG 2.1, definition of "contrast ratio"."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def darkened(colour: str, least: float = READABLE, ground: str = PAPER) -> str:
    """The colour itself if it can be read on the ground, else the lightest darker one of the same hue that can."""
    shade = colour
    for share in range(100, -1, -1):
        shade = _mix(colour, "#000000", share / 100)
        if contrast(shade, ground) >= least:
            break
    return shade


def accent(yarns: Sequence[tuple[str, float]]) -> Accent:
    """Choose the accent. `yarns` are (drawn colour or "", metres or 0) in the pattern's order.

    The liveliest colour wins, weighed by how readable it is already: a pale yarn would have to be darkened until it is
    no longer that yarn.
    """
    drawn = [colour for colour, _ in yarns if is_colour(colour)]
    chosen = max(drawn, key=_worth) if drawn else NEUTRAL
    ink = darkened(chosen)
    tint = _mix(ink, PAPER, TINT)
    metres = [max(length, 0.0) for _, length in yarns]
    whole = sum(metres)
    if not whole:
        metres, whole = [1.0] * len(yarns), float(len(yarns))
    bands = tuple(
        Band(fill(colour, place), round(length / whole, 4))
        for place, ((colour, _), length) in enumerate(zip(yarns, metres, strict=True))
        if length
    )
    return Accent(ink, tint, bands)


def fill(colour: str, place: int) -> str:
    """The colour in which a yarn is shown: its own, else a grey by its place among the yarns (from 0)."""
    return colour.lower() if is_colour(colour) else GREYS[place % len(GREYS)]


def main_yarn(graph: PartGraph, number: int) -> str:
    """The code of the yarn of most stitches of a round."""
    counts: dict[int, int] = {}
    for place in range(graph.round_start[number], graph.round_start[number + 1]):
        counts[graph.yarn[place]] = counts.get(graph.yarn[place], 0) + 1
    return graph.yarns[max(counts, key=lambda one: counts[one])] if counts and graph.yarns else ""


def _worth(colour: str) -> float:
    values = _channels(colour)
    colourfulness = (max(values) - min(values)) / 255
    return colourfulness * min(contrast(colour, PAPER) / READABLE, 1.0) ** 2


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _mix(colour: str, other: str, share: float) -> str:
    mixed = (round(a * share + b * (1 - share)) for a, b in zip(_channels(colour), _channels(other), strict=True))
    return "#" + "".join(f"{value:02x}" for value in mixed)
