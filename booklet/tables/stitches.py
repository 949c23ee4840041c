"""The stitch table: shared/stitches.tsv in, one frozen Stitch a row out; its names are in tables/language."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from booklet.tables.reader import Row, TableFault, rows


@dataclass(frozen=True, slots=True)
class Stitch:
    """What one stitch does to the fabric."""

    id: str  # stable name, such as "single_crochet"
    uses: int  # places of the round below that it takes
    leaves: int  # countable places that it leaves
    height: float  # in heights of a single crochet, for charts and profiles
    turning_chain: int  # chains that raise the hook to its height; 0 for none
    yarn: float  # yarn of one unit, in single crochets
    base: str  # the plain stitch it is made of ("single_crochet" of an increase), itself if plain
    family: str  # plain, increase, decrease, chain, slip, skip, cluster, post, ring
    symbol: str  # name of its symbol in shared/symbols
    loops: int  # loops on the hook before the last yarn over; 0 where it is not published
    level: str  # basic, easy, intermediate, complex: the least project level that it belongs to


@cache
def stitches() -> dict[str, Stitch]:
    """Every stitch by id, in the order of the table."""
    return {row.cells["id"]: _stitch(row) for row in rows("stitches.tsv")}


def _stitch(row: Row) -> Stitch:
    cell = row.cells
    try:
        return Stitch(
            cell["id"],
            int(cell["uses"]),
            int(cell["leaves"]),
            float(cell["height"]),
            int(cell["turning_chain"] or 0),
            float(cell["yarn"]),
            cell["base"] or cell["id"],
            cell["family"],
            cell["symbol"],
            int(cell["loops"] or 0),
            cell["level"] or "basic",
        )
    except (ValueError, KeyError) as fault:
        raise TableFault(row.file, row.line, f"cannot be read as a stitch ({fault})") from fault
