"""What stands on the last side of a card: safety in one piece and the maker's fields, not an empty page."""

from __future__ import annotations

import pypdfium2
import pytest

from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.fitting import EMPTY, _closed_with_safety
from booklet.pages.book import Book
from tests.built import built
from tests.pages.test_compose import made


class Laid:
    """Stands for pages that were laid out."""

    def __init__(self, pages: int, spare: int = 0, held: int = 1, left: float = 0.0) -> None:
        self.page_count, self.spare = pages, spare
        self._held, self._left = held, left

    def held(self, name: str) -> int:
        assert name == "safety"
        return self._held

    def left_before(self, name: str) -> float:
        assert name == "safety"
        return self._left


def closed(start: Laid, apart: Laid) -> tuple[Laid, list[Book]]:
    """What comes out where `start` was found, and what was laid out for it; the last one has its empty sides."""
    asked: list[Book] = []

    def laid(book: Book) -> Laid:
        asked.append(book)
        return Laid(apart.page_count + book.spare) if book.spare or book.lines else apart

    return _closed_with_safety(made(), layout("leaflet-dl"), start, laid), asked


def test_a_card_that_is_full_stays_as_it_is() -> None:
    start = Laid(6)
    assert closed(start, Laid(6)) == (start, [])


def test_safety_that_would_be_parted_moves_where_there_is_room() -> None:
    apart = Laid(6)
    found, asked = closed(Laid(6, held=2), apart)
    assert found is apart
    assert [(one.apart, one.spare, one.lines) for one in asked] == [(True, 0, 0)]


def test_safety_that_does_not_fit_otherwise_stays_parted() -> None:
    start = Laid(6, held=2)
    found, asked = closed(start, Laid(7))
    assert found is start
    assert len(asked) == 1


def test_empty_sides_stand_before_safety_and_a_side_that_is_hardly_filled_gets_lines() -> None:
    found, asked = closed(Laid(6, spare=2), Laid(5, left=10.0))
    assert found.page_count == 6
    assert [(one.spare, one.lines) for one in asked] == [(0, 0), (1, 0)]
    height = layout("leaflet-dl").height_mm
    found, asked = closed(Laid(6, spare=1), Laid(6, left=height * EMPTY + 1))
    assert found.page_count == 6
    assert asked[-1].spare == 0
    assert asked[-1].lines * 1.9 * layout("leaflet-dl").line_pt * 25.4 / 72 < height * EMPTY + 1
    assert asked[-1].lines > 5


@pytest.mark.parametrize("name", ["half-letter", "leaflet-dl", "leaflet-a6"])
def test_the_back_of_a_small_pattern_bears_safety_and_the_makers_fields(name: str) -> None:
    """On a sheet that is not a book the back panel is the one that lies on top when a buyer turns it over."""
    setting = layout(name)
    edition = Edition(("en-US",), "US", units="both", layout=name)
    document = pypdfium2.PdfDocument(built("pebble/pebble", edition).data)
    if setting.sheet is None:
        box = (0.0, 0.0, setting.width_mm, setting.height_mm)
    else:
        panel = setting.sheet.panels[-1]
        assert panel.outside
        box = (panel.x, panel.y, panel.x + panel.width, panel.y + panel.height)
    side = document[len(document) - 1 if setting.sheet is None else 0].get_textpage()
    words = side.get_text_bounded(*(length * 72 / 25.4 for length in box))
    for expected in ("About safety", "Made by", "Batch or type number"):
        assert expected in words
    assert "Notes" not in words
