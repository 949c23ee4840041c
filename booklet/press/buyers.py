"""Comes in: the bytes of a list of buyers. Goes out: one row a copy, or what is wrong with it and where; no PDF is touched."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from typing import NamedTuple

MOST_ROWS = 100_000
MOST_LETTERS = 120  # of a field: a longer one is no name
MOST_BYTES = 120  # of the order in a file name: most systems hold 255 for the whole name
NEEDED = ("name", "order")


class Buyer(NamedTuple):
    """One copy."""

    line: int  # of the list, from 1
    values: tuple[tuple[str, str], ...]  # column, text

    @property
    def order(self) -> str:
        """The number of the order."""
        return dict(self.values)["order"]


class WrongList(ValueError):
    """What is wrong with a list of buyers, with its line."""


def read_buyers(data: bytes) -> tuple[Buyer, ...]:
    """Read a CSV: UTF-8, with or without its mark, columns parted by commas, semicolons or tabs, the first line their names.

    Raises WrongList: nothing is made from a list of which a part is wrong.
    """
    try:
        # A letter and its accent in one: two signs would be set one beside the other.
        text = unicodedata.normalize("NFC", data.decode("utf-8-sig"))
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise WrongList(f"line {line} is not UTF-8; save the list as CSV UTF-8") from fault
    if "\0" in text:
        raise WrongList("it is no list of text; save it as CSV UTF-8")
    head = text.split("\n", 1)[0]
    separator = max((",", ";", "\t"), key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[Buyer] = []
    orders: dict[str, int] = {}
    names: list[str] = []
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            break
        except csv.Error as fault:
            raise WrongList(f"line {line} cannot be read: {fault}") from fault
        cells = [" ".join(cell.split()) for cell in cells]
        if not any(cells):
            continue
        if not names:
            names = [cell.casefold() for cell in cells]
            missing = [one for one in NEEDED if one not in names]
            if twice := [one for one in names if one and names.count(one) > 1]:
                raise WrongList(f"line {line} names the column {twice[0]} twice")
            if missing:
                raise WrongList(f"line {line} has to name the columns, among them {' and '.join(NEEDED)}; {missing[0]} is missing")
            continue
        if len(cells) != len(names):
            raise WrongList(f"line {line} has {len(cells)} columns, the first line has {len(names)}")
        values = dict(zip(names, cells, strict=True))
        for key, value in values.items():
            if len(value) > MOST_LETTERS or not value.isprintable():
                raise WrongList(f"line {line}: {key} is longer than {MOST_LETTERS} letters, or has signs that cannot be printed")
        if not values["name"] or not values["order"]:
            raise WrongList(f"line {line} has no {'name' if not values['name'] else 'order'}")
        file = file_part(values["order"]).casefold()
        if file in orders:
            raise WrongList(f"line {line} has the same order as line {orders[file]}: {values['order']}")
        orders[file] = line
        found.append(Buyer(line, tuple(values.items())))
        if len(found) > MOST_ROWS:
            raise WrongList(f"it has more than {MOST_ROWS} buyers; divide it")
    if not found:
        raise WrongList("it has no buyers")
    return tuple(found)


def file_part(order: str) -> str:
    """An order number as part of a file name: nothing that leads into another folder, or that a system refuses."""
    kept = re.sub(r"[^\w.-]+", "-", order).strip(".-")
    kept = kept[:80].encode()[:MOST_BYTES].decode("utf-8", "ignore").strip(".-")
    return kept or "copy"


def filled(line: str, buyer: Buyer) -> str:
    """The licence line of one copy. Raises WrongList for a column that the list does not have."""
    values = dict(buyer.values)

    def value(found: re.Match[str]) -> str:
        if found[1].casefold() not in values:
            raise WrongList(f"there is no column {found[1]}; the list has {', '.join(values)}")
        return values[found[1].casefold()]

    return re.sub(r"\{([^{}]+)\}", value, line)
