"""A part's volume, fabric and stuffing sentences in, grams of stuffing out; rounding for print is done by pages."""

from __future__ import annotations

from booklet.figures.steps import Told

# g/cm3 of fibre filling, ± 40 %: between a pillow maker's loose fill (.012 to .016, firm + 20 %) and two published toys
# with a stated mass of filling (.042 and .05). Sources: shared/sizes/README.md.
DENSITY = {"none": 0.0, "light": 0.025, "normal": 0.04, "firm": 0.05}


def stuffing_g(volume_mm3: float, area_mm2: float, thickness_mm: float, told: tuple[Told, ...]) -> float | None:
    """Grams for one piece; the last `stuff` sentence counts. None where none is told. Half the fabric's thickness is inside."""
    amounts = [str(one.step.value("amount", "normal")) for one in told if one.step.name == "stuff"]
    if not amounts:
        return None
    inside = max(0.0, volume_mm3 - area_mm2 * thickness_mm / 2)
    return DENSITY.get(amounts[-1], DENSITY["normal"]) * inside / 1000
