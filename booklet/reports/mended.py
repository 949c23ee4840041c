"""Mends in, a few lines for people out; the change itself is shown by `mending.unified`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from booklet.reports.cells import harmless
from booklet.reports.mending import Mend

_SHOWN = 20  # mends left undone that are named one by one


def summary(done: Sequence[Mend], left: Sequence[Mend], file: str, *, would: bool) -> str:
    """For example `3 places mended in acorn.md: total-missing 2, label-styles-mixed 1`, and the mends that had to wait."""
    counted = Counter(mend.problem.code for mend in done)
    places = f"{len(done)} place{'' if len(done) == 1 else 's'}"
    verb = "would be mended" if would else "mended"
    first = f"{places} {verb} in {harmless(file)}" if done else f"nothing to mend in {harmless(file)}"
    rows = [f"{first}: {', '.join(f'{code} {n}' for code, n in counted.items())}" if done else first]
    rows += [
        f"not mended: {mend.problem.code} at line {mend.edits[0].span.line}, another mend has changed the same words; run it once more"
        for mend in left[:_SHOWN]
    ]
    if len(left) > _SHOWN:
        rows.append(f"not mended: {len(left) - _SHOWN} more")
    return "\n".join(rows) + "\n"
