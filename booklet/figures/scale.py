"""A pattern with another hook or another yarn in, the pattern as it would be worked with them out; nothing is computed here.

All lengths of the fabric grow alike: sizes and metres with the stitch, stuffing with its cube. Eyes and other things stay as they are.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.figures.gauge import WIDTH_PER_HOOK, gauge_used
from booklet.pattern.model import Gauge, Pattern, Yarn
from booklet.tables.sizes import weights


def scaled(pattern: Pattern, hook_mm: float | None = None, yarn: Yarn | None = None) -> Pattern:
    """The pattern with this hook, and with this put-up and weight for all of its yarns.

    A yarn of another weight without a hook is worked with that weight's usual toy hook. What was weighed is no longer true
    and is left out.
    """
    hook = hook_mm
    if hook is None and yarn is not None and yarn.weight in weights():
        own = next((one.weight for one in pattern.yarns if one.weight is not None), None)
        hook = weights()[yarn.weight].toy_hook_mm if yarn.weight is not None and yarn.weight != own else None
    old = pattern.hook_mm or gauge_used(pattern).stitch_mm / WIDTH_PER_HOOK
    factor = hook / old if hook and old > 0 else 1.0
    yarns = pattern.yarns
    if yarn is not None or factor != 1.0:
        yarns = tuple(_other(one, yarn) for one in pattern.yarns)
    return replace(
        pattern,
        yarns=yarns,
        hook_mm=hook or pattern.hook_mm,
        hooks=tuple((name, size * factor) for name, size in pattern.hooks),
        gauge=_wider(pattern.gauge, factor) if pattern.gauge is not None else None,
        gauges=tuple((name, _wider(one, factor)) for name, one in pattern.gauges),
        unravelled_mm=pattern.unravelled_mm * factor if pattern.unravelled_mm else None,
    )


def _wider(gauge: Gauge, factor: float) -> Gauge:
    return gauge._replace(width_mm=gauge.width_mm * factor, height_mm=gauge.height_mm * factor)


def _other(yarn: Yarn, by: Yarn | None) -> Yarn:
    if by is None:
        return replace(yarn, used_g=None, used_m=None)
    return replace(
        yarn,
        used_g=None,
        used_m=None,
        name=by.name,
        maker=by.maker,
        shade=by.shade,
        fibre=by.fibre,
        weight=by.weight if by.weight is not None else yarn.weight,
        weight_name=by.weight_name or yarn.weight_name,
        ball_m=by.ball_m or yarn.ball_m,
        ball_g=by.ball_g or yarn.ball_g,
    )
