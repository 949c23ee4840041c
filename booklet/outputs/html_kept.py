"""Comes in: templates that were compiled. Goes out: the same ones, when they are asked for again. Nothing is set with them here.

Compiling the templates of a layout takes as long as laying out a card; a card is set several times until it fits.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2.bccache import Bucket


@cache
def kept() -> Any:  # noqa: ANN401 - a BytecodeCache; naming it here would load Jinja2
    """The templates compiled in this process; one that was changed has another checksum and is compiled anew."""
    from jinja2 import BytecodeCache

    class Kept(BytecodeCache):
        def __init__(self) -> None:
            self.made: dict[tuple[str, str], bytes] = {}

        def load_bytecode(self, bucket: Bucket) -> None:
            code = self.made.get((bucket.key, bucket.checksum))
            if code is not None:
                bucket.bytecode_from_string(code)

        def dump_bytecode(self, bucket: Bucket) -> None:
            self.made[bucket.key, bucket.checksum] = bucket.bytecode_to_string()

    return Kept()
