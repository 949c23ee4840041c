"""A pattern's gauge, hook or yarns in, the size of one stitch out; whether that is a likely one is asked by checks/gauge."""

from __future__ import annotations

from booklet.figures.figures import GaugeUsed
from booklet.pattern.model import Gauge, Pattern
from booklet.tables.language import load
from booklet.tables.sizes import weights
from booklet.tables.stitches import stitches

# Means of 14 published gauges of dense single crochet, hooks of 2.5 to 6 mm: width 1.39 hooks (± 0.13); a round is 0.96
# of a stitch high (spiral rounds 0.94 to 1.00), a turned row 0.88. Sources: shared/sizes/README.md.
WIDTH_PER_HOOK = 1.4
ROUND_PER_WIDTH = 0.96
ROW_PER_ROUND = 0.92
DEFAULT_HOOK_MM = 3.0  # a guess, for a pattern that states neither gauge nor hook nor yarn


def gauge_used(pattern: Pattern) -> GaugeUsed:
    """The stitch to compute with: the stated gauge, else the hook (± 20 %), else the yarn's usual toy hook."""
    stated = pattern.gauge
    if stated is not None and stated.stitches > 0 and stated.width_mm > 0:
        return _stated(stated, pattern)
    hook, basis = pattern.hook_mm, "hook"
    if not hook or hook <= 0:
        weight = next((yarn.weight for yarn in pattern.yarns if yarn.weight in weights()), None)
        hook, basis = (DEFAULT_HOOK_MM if weight is None else weights()[weight].toy_hook_mm), "default"
    width = WIDTH_PER_HOOK * hook
    height = ROUND_PER_WIDTH * width
    return GaugeUsed(width, height, ROW_PER_ROUND * height, basis)


def hook_scaled(used: GaugeUsed, factor: float) -> GaugeUsed:
    """The same gauge with another hook: stitch and round grow alike (`factor` = new hook by old hook)."""
    return GaugeUsed(used.stitch_mm * factor, used.round_mm * factor, used.row_mm * factor, used.basis)


def _stated(stated: Gauge, pattern: Pattern) -> GaugeUsed:
    width = stated.width_mm / stated.stitches
    stitch = stitches().get(stated.stitch)
    tall = stitch.height if stitch is not None and stitch.height > 0 else 1.0
    if not stated.rounds or stated.rounds <= 0 or stated.height_mm <= 0:
        height = ROUND_PER_WIDTH * width
        return GaugeUsed(width, height, ROW_PER_ROUND * height, "gauge")
    height = stated.height_mm / stated.rounds / tall
    if _in_rows(stated.text, pattern.language):
        return GaugeUsed(width, height / ROW_PER_ROUND, height, "gauge")
    return GaugeUsed(width, height, ROW_PER_ROUND * height, "gauge")


def _in_rows(text: str, tag: str) -> bool:
    """Was the swatch turned? Told by the language's own words for rows and rounds; rounds win where both stand there."""
    try:
        words = load(tag).words
    except (KeyError, OSError):
        return False
    kinds = {words[word][1] for word in text.casefold().replace(".", " ").split() if words.get(word, ("", ""))[0] == "header"}
    return "row" in kinds and "round" not in kinds
