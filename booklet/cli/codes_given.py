"""A word of the command line in, the code of a finding that it names out, or a refusal with the nearest one."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable

_LIKE_A_CODE = re.compile(r"\[?[A-Za-z]+(?:[-_][A-Za-z]+)*\]?")


def plain(word: str) -> str:
    """`[total-differs]` and `TOTAL_DIFFERS` as `total-differs`."""
    return word.strip().strip("[]").casefold().replace("_", "-")


def is_code(word: str) -> bool:
    """Is the word a code, or a mistyped one? What has a dot or a slash, or lies in the folder, is a file."""
    from booklet.diagnostics.codes import codes

    if plain(word) in codes():
        return True
    return bool(_LIKE_A_CODE.fullmatch(word)) and not os.path.exists(word)  # noqa: PTH110 - pathlib costs `check` a millisecond


def known_code(word: str, others: Iterable[str] = ()) -> str:
    """The code; refused (exit status 2) with the nearest one where there is none. `others` are codes that are only offered as near."""
    from booklet.cli.close import nearest
    from booklet.cli.files import Refused
    from booklet.diagnostics.codes import codes

    wanted = plain(word)
    if wanted not in codes():
        raise Refused(f"There is no code {word!r}.{nearest(wanted, (*codes(), *others))} `booklet list codes` prints them all.")
    return wanted
