"""A yarn's colour in, an ink that thin lines can be drawn with out; nothing else is known of the yarn."""

from __future__ import annotations

WEAK = 0.27  # luminance up to which a line of 0.3 mm is clear on white: contrast 3.3 to 1, WCAG 2.2 asks 3 to 1 of graphics
PALE = 0.5  # above it darkening down to WEAK would turn oat into brown


def luminance(ink: str) -> float:
    """Relative luminance of "#rrggbb" by the formula of WCAG 2.2: 0 black, 1 white."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in _parts_of(ink)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def pale(ink: str) -> bool:
    """Is this ink so light that darkening would make another colour of it? Then it needs a contour."""
    return luminance(ink) > PALE


def readable(ink: str) -> str:
    """The ink, darkened where thin lines of it would be weak on white paper; pale inks stay, they get a contour."""
    if pale(ink) or luminance(ink) <= WEAK:
        return ink
    red, green, blue = _parts_of(ink)
    low, high = 0.0, 1.0
    for _ in range(10):
        middle = (low + high) / 2
        text = _ink(red * middle, green * middle, blue * middle)
        low, high = (middle, high) if luminance(text) <= WEAK else (low, middle)
    return _ink(red * low, green * low, blue * low)


def _parts_of(ink: str) -> tuple[float, float, float]:
    return int(ink[1:3], 16) / 255, int(ink[3:5], 16) / 255, int(ink[5:7], 16) / 255


def _ink(red: float, green: float, blue: float) -> str:
    return "#" + "".join(f"{round(part * 255):02x}" for part in (red, green, blue))
