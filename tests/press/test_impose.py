"""Sheets, cut and folded by coordinates: what is read back from the imposed file has to be the book in order."""

from __future__ import annotations

import ctypes
import io
import math
import time
from itertools import pairwise, product
from typing import NamedTuple

import pikepdf
import pypdfium2
import pypdfium2.raw as raw
import pytest

from booklet.press.impose import NotImposable, impose, source_of
from booklet.press.rules import papers
from booklet.press.sheets import DoesNotFit, Plan, cards, creep_of, cut_marks, fold_marks, saddle

MM = 72 / 25.4
# ISO 216:2007 (A sizes); ANSI/ASME Y14.1 (A and B, in inches); ISO 217:2013 (SRA3).
SHEETS = {"A4": (210, 297), "A3": (297, 420), "Letter": (8.5 * 25.4, 11 * 25.4), "Tabloid": (11 * 25.4, 17 * 25.4), "SRA3": (320, 450)}


def book(count: int, size: tuple[float, float] = (148, 210), bleed: float = 3) -> bytes:
    """Pages whose number stands in their middle."""
    made = pikepdf.new()
    font = made.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica))
    wide, high = size[0] * MM, size[1] * MM
    outer = [-bleed * MM, -bleed * MM, wide + bleed * MM, high + bleed * MM]
    for number in range(1, count + 1):
        text = f"0 0 1 rg {outer[0]} {outer[1]} {outer[2] - outer[0]} {outer[3] - outer[1]} re f 0 g BT /F 20 Tf {wide / 2:.3f} {high / 2:.3f} Td (P{number}) Tj ET"
        page = pikepdf.Dictionary(
            Type=pikepdf.Name.Page, MediaBox=outer, BleedBox=outer, TrimBox=[0, 0, wide, high],
            Resources=pikepdf.Dictionary(Font=pikepdf.Dictionary(F=font)), Contents=made.make_stream(text.encode()),
        )
        made.pages.append(pikepdf.Page(made.make_indirect(page)))
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


class Found(NamedTuple):
    """A page number as it stands on a side: mm from the lower left corner, and where its top points."""

    page: int
    x: float
    y: float
    up: float  # 1 upright, -1 upside down


def read_sides(data: bytes) -> list[list[Found]]:
    sides = []
    for page in pypdfium2.PdfDocument(data):
        text = page.get_textpage()
        found, word, at = [], "", None
        for k in range(text.count_chars()):
            sign = chr(raw.FPDFText_GetUnicode(text, k))
            if sign == "P":
                if at:
                    found.append(Found(int(word), *at))
                x, y = ctypes.c_double(), ctypes.c_double()
                raw.FPDFText_GetCharOrigin(text, k, x, y)
                word, at = "", (x.value / MM, y.value / MM, math.cos(raw.FPDFText_GetCharAngle(text, k)))
            elif sign.isdigit():
                word += sign
        if at:
            found.append(Found(int(word), *at))
        sides.append(found)
    return sides


def behind(found: Found, plan: Plan) -> Found:
    """A spot of the back as it is seen through the paper from the front."""
    upright = (plan.flip == "long") == (plan.paper[1] >= plan.paper[0])
    if upright:  # turned about an upright edge: left and right change
        return found._replace(x=plan.paper[0] - found.x)
    return found._replace(y=plan.paper[1] - found.y, up=-found.up)


def folded(plan: Plan, data: bytes) -> list[int | None]:
    """The pages as a reader turns them: sheets nested, folded at the middle, the first front outside."""
    sides = read_sides(data)
    fold = plan.folds[0]

    def of(found: list[Found], left: bool) -> int | None:
        here = [one for one in found if (one.x < fold) == left]
        assert len(here) <= 1
        assert all(one.up == pytest.approx(1) for one in here), "a page is upside down"
        return here[0].page if here else None

    sheets = [(sides[k], [behind(one, plan) for one in sides[k + 1]]) for k in range(0, len(sides), 2)]
    order: list[int | None] = []
    for front, back in sheets:
        order += [of(front, False), of(back, False)]
    for front, back in reversed(sheets):
        order += [of(back, True), of(front, True)]
    return order


@pytest.mark.parametrize(("count", "flip"), list(product((1, 2, 3, 4, 5, 7, 8, 16, 30, 32, 64), ("short", "long"))))
def test_folded_sheets_give_the_pages_in_order(count: int, flip: str) -> None:
    data = book(count)
    plan = saddle(count, (148, 210), SHEETS["A4"], 1.2 if count > 8 else 0, flip)
    order = folded(plan, impose(data, plan, source_of(data).bleed))
    assert len(order) % 4 == 0 and len(order) - count == plan.blank < 4
    assert [page for page in order if page] == list(range(1, count + 1))
    if count > 1:
        assert order[0] == 1 and order[-1] == count  # the covers stay outside


@pytest.mark.parametrize(("flip", "sheet", "repeat"), list(product(("short", "long"), ("A4", "SRA3", "Letter"), (False, True))))
def test_cards_have_their_own_backs(flip: str, sheet: str, repeat: bool) -> None:
    data = book(10, (63, 88), 2)
    source = source_of(data)
    plan = cards(source.pages, source.trim, SHEETS[sheet], source.bleed, flip, repeat)
    sides = read_sides(impose(data, plan, source.bleed))
    pairs = set()
    for k in range(0, len(sides), 2):
        backs = [behind(one, plan) for one in sides[k + 1]]
        for face in sides[k]:
            rear = min(backs, key=lambda one: math.hypot(one.x - face.x, one.y - face.y))
            assert rear.up == pytest.approx(1)
            # The number begins in the middle of a page and runs to the right; from behind it runs to the left.
            assert math.hypot(rear.x - face.x, rear.y - face.y) < 15
            pairs.add((face.page, rear.page))
    assert pairs == {(1, 2), (3, 4), (5, 6), (7, 8), (9, 10)}
    # Nine of 63 x 88 mm with 2 mm of bleed lie on A4: worked out by hand, 3 x 67 - 4 and 3 x 92 - 4 are below 200 and 287.
    if sheet == "A4":
        assert len(plan.sides[0].slots) == (9 if repeat else 5)


@pytest.mark.parametrize("sheet", SHEETS)
def test_sheets_have_the_size_of_the_standards_and_pages_are_not_scaled(sheet: str) -> None:
    assert papers()[sheet] == pytest.approx(SHEETS[sheet])
    size = (100.0, 180.0)
    data = book(8, size)
    plan = saddle(8, size, SHEETS[sheet])
    with pikepdf.open(io.BytesIO(impose(data, plan, 3))) as made:
        for page in made.pages:
            box = [float(value) / MM for value in page.mediabox]
            assert (box[2], box[3]) == pytest.approx((max(SHEETS[sheet]), min(SHEETS[sheet])), abs=0.01)
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "cm":
                    assert [abs(float(value)) for value in operands[:4]] == [1, 0, 0, 1]


def test_marks_stand_outside_the_pages_and_on_the_sheet() -> None:
    for plan in (saddle(16, (100, 180), SHEETS["A3"]), cards(8, (63, 88), SHEETS["A4"], 2), cards(2, (105, 148), SHEETS["SRA3"], 3, repeat=True)):
        for side in plan.sides:
            marks = (*cut_marks(plan, side), *fold_marks(plan, side))
            assert marks
            for x0, y0, x1, y1 in marks:
                assert 0 <= x0 <= plan.paper[0] and 0 <= y1 <= plan.paper[1]
                for slot in side.slots:
                    inside = slot.x < min(x0, x1) < slot.x + plan.trim[0] and slot.y < max(y0, y1) and min(y0, y1) < slot.y + plan.trim[1]
                    assert not inside


def test_marks_of_cuts_and_folds_begin_outside_the_bleed() -> None:
    plan = saddle(16, (100, 180), SHEETS["A3"])
    for side in plan.sides:
        low, top = min(slot.y for slot in side.slots), max(slot.y for slot in side.slots) + plan.trim[1]
        marks = fold_marks(plan, side)
        assert len(marks) == 6
        assert all(max(y0, y1) < low - 3 or min(y0, y1) > top + 3 for _, y0, _, y1 in marks)


def test_creep_moves_inner_sheets_towards_the_fold() -> None:
    plan = saddle(32, (148, 210), SHEETS["A4"], 2.1)
    shifts = [side.slots[0].shift for side in plan.sides if not side.back]
    assert shifts[0] == 0 and shifts[-1] == pytest.approx(2.1)
    assert all(b - a == pytest.approx(0.3) for a, b in pairwise(shifts))
    data = book(32)
    sides = read_sides(impose(data, plan, 3))
    left, right = sorted(sides[-1], key=lambda one: one.x)
    middle = plan.paper[0] / 2
    # Numbers begin in the middle of a page, 74 mm from the fold, less the creep.
    assert left.x == pytest.approx(middle - 74 + 2.1, abs=0.01) and right.x == pytest.approx(middle + 74 - 2.1, abs=0.01)


def test_nothing_is_printed_over_the_fold() -> None:
    data = book(4, (100, 180))
    plan = saddle(4, (100, 180), SHEETS["A3"], 0)
    page = pypdfium2.PdfDocument(impose(data, plan, 3))[0]
    picture = page.render(scale=2).to_pil().convert("RGB")
    px = lambda x, y: picture.getpixel((round(x * MM * 2), round((plan.paper[1] - y) * MM * 2)))  # noqa: E731
    left = plan.folds[0] - 100
    assert px(left - 2, 150)[2] > 200 and px(left - 2, 150)[0] < 60  # bleed outside
    assert px(left - 4.0, 150)[0] > 200  # and white beyond it


def test_what_cannot_be_laid_is_said() -> None:
    with pytest.raises(DoesNotFit, match="need a sheet"):
        saddle(4, (210, 297), SHEETS["A4"])
    with pytest.raises(DoesNotFit):
        cards(2, (300, 300), SHEETS["A4"])
    with pytest.raises(NotImposable, match="damaged"):
        source_of(b"%PDF-1.7 nothing")
    turned = pikepdf.open(io.BytesIO(book(2)))
    turned.pages[1].obj.Rotate = 90
    out = io.BytesIO()
    turned.save(out)
    with pytest.raises(NotImposable, match="page 2"):
        source_of(out.getvalue())


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("UserUnit", 2, "page 2 is measured in units of its own"),
        ("TrimBox", [0, 0, 1], "page 2 has a box that is no rectangle"),
        ("TrimBox", [pikepdf.Name.A, 0, 1, 1], "page 2 has a box that is no rectangle"),
        ("BleedBox", [0, 0, 10**9, 10**9], "page 2 has a box that is no rectangle"),
    ],
)
def test_odd_pages_of_others_are_told_by_their_number(key: str, value: object, says: str) -> None:
    odd = pikepdf.open(io.BytesIO(book(3)))
    odd.pages[1].obj[f"/{key}"] = pikepdf.Array(value) if isinstance(value, list) else value
    out = io.BytesIO()
    odd.save(out)
    with pytest.raises(NotImposable, match=says):
        source_of(out.getvalue())


def test_a_page_whose_drawing_is_damaged_is_told() -> None:
    odd = pikepdf.open(io.BytesIO(book(4)))
    odd.pages[2].obj.Contents = pikepdf.Array([odd.pages[2].obj.Contents, odd.make_stream(b"no flate at all")])
    odd.pages[2].obj.Contents[1].write(b"no flate at all", filter=pikepdf.Name.FlateDecode)
    out = io.BytesIO()
    odd.save(out, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    data = out.getvalue()
    with pytest.raises(NotImposable, match="damaged"):
        impose(data, saddle(4, (148, 210), SHEETS["A4"]), 3)


def test_the_creep_comes_from_the_paper() -> None:
    # Worked out by hand: 32 pages are 8 sheets, the innermost lies in 7 others; 30 pages are filled to 32.
    assert creep_of(32, 0.1) == pytest.approx(0.7) == creep_of(30, 0.1)
    assert creep_of(4, 0.1) == creep_of(1, 0.1) == 0


def test_as_many_cards_as_wished() -> None:
    plan = cards(18, (63, 88), SHEETS["A4"], 2, up=(2, 3))
    assert [len(side.slots) for side in plan.sides] == [6, 6, 3, 3]  # nine cards, six on a sheet
    lying = cards(2, (63, 88), SHEETS["A4"], 2, repeat=True, up=(4, 2))  # four across fit only where the sheet lies
    assert lying.paper == (297, 210) and len(lying.sides[0].slots) == 8
    with pytest.raises(DoesNotFit, match="4 across and 4 down do not fit"):
        cards(18, (63, 88), SHEETS["A4"], 2, up=(4, 4))


def test_the_same_pages_give_the_same_bytes_and_quickly() -> None:
    data = book(32)
    plan = saddle(32, (148, 210), SHEETS["A4"], 1.0)
    begin = time.process_time()
    first = impose(data, plan, 3)
    assert time.process_time() - begin < 1.0
    assert impose(data, plan, 3) == first
    with pikepdf.open(io.BytesIO(first)) as made:
        assert len(made.pages) == 16
        assert not made.check_pdf_syntax()
