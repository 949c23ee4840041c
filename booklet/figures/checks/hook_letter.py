"""The hook as typed in, a US letter that is not that of its millimetres out.

Bad:    hook: 4 mm (H-8)
Good:   hook: 4 mm (G-6)
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.tables.sizes import hooks

CODES = ("hook-letter-differs",)

_LETTER = re.compile(r"(?<![^\W\d_])([A-U])(?![^\W_])(?:\s?[-/]\s?\d{1,2})?|(?<![^\W\d_])([A-U])\d{1,2}(?![\d.,]*\s*mm)")
NEAR_MM = 0.06  # the table's steps are 0.25 mm and more, but for 3.125


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the head entry. Letters of hooks between two sizes are all accepted."""
    text, mm = subject.pattern.field("hook"), subject.pattern.hook_mm
    if not mm:
        return
    right = [hook for hook in hooks() if abs(hook.mm - mm) <= NEAR_MM]
    known = {name[0] for hook in right for name in hook.names}
    letters = {name[0] for hook in hooks() for name in hook.names if name[0].isalpha()}
    for found in _LETTER.finditer(text):
        letter = found[1] or found[2]
        if letter in letters and letter not in known:
            sizes = ", ".join(f"{hook.mm:g} mm" for hook in hooks() if hook.us[:1] == letter)
            usual = next((hook.us for hook in right if hook.us), "")
            yield diagnostic(
                "hook-letter-differs",
                subject.field_span("hook"),
                help="" if usual else "none",
                mm=f"{mm:g}",
                letter=found[0].strip(),
                right=usual,
                sizes=sizes or "another size",
            )
            return
