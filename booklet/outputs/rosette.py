"""Comes in: the rings of a cover. Goes out: one SVG, a dot for every stitch; it is an ornament, no chart to work from."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, pi, sin

from booklet.pages.book import Ring

# Shares of the space between two dots. Chosen by eye.
DOT = 0.40
LARGEST_DOT = 0.46  # of the space between two rounds, so that no dot touches the next round's


def rosette(rings: Iterable[Ring]) -> bytes:
    """Draw the rings round a common middle; dots of one colour are one path. Empty input gives an empty drawing."""
    rings = tuple(rings)
    edge = max((ring.radius for ring in rings), default=0.0) + 1
    paths: dict[str, list[str]] = {}
    for number, ring in enumerate(rings):
        gap = 2 * pi * ring.radius / ring.stitches
        dot = min(DOT * gap, LARGEST_DOT)
        for stitch in range(ring.stitches):
            # Half a gap of turn for every second round: dots stand over gaps, as the tops of stitches do.
            angle = 2 * pi * (stitch + (number % 2) / 2) / ring.stitches - pi / 2
            x, y = ring.radius * cos(angle), ring.radius * sin(angle)
            paths.setdefault(ring.fill, []).append(
                f"M{x - dot:.2f} {y:.2f}a{dot:.2f} {dot:.2f} 0 1 0 {2 * dot:.2f} 0a{dot:.2f} {dot:.2f} 0 1 0 {-2 * dot:.2f} 0z"
            )
    drawn = "".join(
        f'<path fill="{fill}" stroke="#000000" stroke-opacity=".3" stroke-width=".05" d="{"".join(dots)}"/>'
        for fill, dots in paths.items()
    )
    box = f"{-edge:.2f} {-edge:.2f} {2 * edge:.2f} {2 * edge:.2f}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}">{drawn}</svg>\n'.encode()
