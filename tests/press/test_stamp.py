"""Copies for buyers: the line on every page, the order in the metadata, nothing else changed; lists of every kind of trouble."""

from __future__ import annotations

import csv
import importlib.util
import io
import os
import subprocess
import sys
import time
from functools import cache
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from booklet.editions.edition import Edition
from booklet.press.buyers import WrongList, file_part, filled, read_buyers
from booklet.press.stamp import NotStampable, Stamper, language_of, lines, missing
from tests.built import built

_spec = importlib.util.spec_from_file_location("press_made", Path(__file__).with_name("made.py"))
_made = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(_made)
pdf, saved = _made.pdf, _made.saved

ACORN = Path(__file__).parents[2] / "examples" / "acorn" / "acorn.md"


@cache
def booklet() -> bytes:
    return built("acorn/acorn", Edition(("en-US",), "US", units="both")).data


@cache
def stamper() -> Stamper:
    return Stamper(booklet(), ["Licensed to Åse Müller · order A-17", "Катя 0123456789"])


def text_of(data: bytes) -> list[str]:
    return [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(data)]


def test_every_page_bears_the_line_and_is_otherwise_as_it_was() -> None:
    line = "Licensed to Åse Müller · order A-17"
    before, after = text_of(booklet()), text_of(stamper().copy(line, "A-17"))
    assert len(before) == len(after)
    for old, new in zip(before, after, strict=True):
        assert new.count(line) == 1
        assert new.replace(line, "").split() == old.split()
    with pikepdf.open(io.BytesIO(booklet())) as one, pikepdf.open(io.BytesIO(stamper().copy(line, "A-17"))) as two:
        assert [page.trimbox for page in one.pages] == [page.trimbox for page in two.pages]
        assert one.Root.Lang == two.Root.Lang and two.Root.MarkInfo.Marked
        metadata = bytes(two.Root.Metadata.read_bytes()).decode()
        # Dublin Core, ISO 15836-1: identifier and rights.
        assert "<dc:identifier>A-17</dc:identifier>" in metadata and line in metadata


def test_the_order_stands_in_the_information_even_without_other_metadata() -> None:
    made = saved(pdf(pages=2))
    for order in ("A-17", "Åse (0)", "заказ 7"):
        with pikepdf.open(io.BytesIO(Stamper(made, ["a"]).copy("a", order))) as copy:
            assert str(copy.docinfo["/OrderNumber"]) == order
            assert str(copy.docinfo["/Title"]) == "A test"
            assert not copy.check_pdf_syntax()


def test_odd_pages_of_others_are_told() -> None:
    odd = pdf(pages=3)
    odd.pages[1].obj.TrimBox = pikepdf.Array([0, 0, 1])
    with pytest.raises(NotStampable, match="page 2 has a box that is no rectangle"):
        Stamper(saved(odd), ["a"])


@pytest.mark.parametrize("unit", [0.5, 2, 10])
def test_a_page_with_units_of_its_own_bears_a_line_of_the_same_size(unit: float) -> None:
    """UserUnit, ISO 32000-1, 14.11.1: where the line stands and how large it is are lengths on paper."""
    size = (148 / unit, 210 / unit)
    odd = pdf(pages=1, size=size)
    odd.pages[0].obj.UserUnit = unit
    said = "Licensed to a buyer"
    lengths = []
    for document, scale in ((pdf(pages=1, size=(148, 210)), 1.0), (odd, unit)):
        page = pypdfium2.PdfDocument(Stamper(saved(document), [said]).copy(said, "1"))[0]
        text = page.get_textpage()
        at = text.get_text_range().index(said)
        boxes = [text.get_charbox(at + number) for number in (0, len(said) - 1)]
        lengths.append([value * scale for value in (boxes[0][1], boxes[0][3] - boxes[0][1], boxes[1][2] - boxes[0][0])])
    assert lengths[1] == pytest.approx(lengths[0], abs=0.1)


@pytest.mark.parametrize("unit", [pikepdf.Name.Two, 0, -1, 10**9])
def test_a_unit_that_is_no_number_is_told(unit: object) -> None:
    odd = pdf(pages=2)
    odd.pages[1].obj.UserUnit = unit
    with pytest.raises(NotStampable, match="page 2 has a unit that is no number"):
        Stamper(saved(odd), ["a"])


def test_the_line_lies_above_the_knife_and_below_the_text() -> None:
    page = pypdfium2.PdfDocument(stamper().copy("Катя 0123456789", "9"))[2]
    text = page.get_textpage()
    low = page.get_trimbox()[1]
    where = text.search("Катя").get_next()
    _, bottom, _, top = text.get_charbox(where[0])
    assert 3 < (bottom - low) * 25.4 / 72 < 5
    assert (top - low) * 25.4 / 72 < 8


def test_the_same_line_gives_the_same_bytes_and_another_line_others() -> None:
    other = Stamper(booklet(), ["Licensed to Åse Müller · order A-17", "Катя 0123456789"])
    assert stamper().copy("Катя 1", "1") == other.copy("Катя 1", "1")
    assert stamper().copy("Катя 1", "1") != stamper().copy("Катя 2", "2")


def test_fifty_copies_take_less_than_a_second() -> None:
    begin = time.process_time()
    for k in range(50):
        stamper().copy(f"order {k}", str(k))
    assert time.process_time() - begin < 1.0


def test_a_copy_is_not_stamped_again_and_what_is_no_pdf_is_said() -> None:
    with pytest.raises(NotStampable, match="copy already"):
        Stamper(stamper().copy("Катя 1", "1"), ["a"])
    with pytest.raises(NotStampable, match="damaged"):
        Stamper(b"%PDF-1.7", ["a"])
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(booklet())) as document:
        document.save(out, encryption=pikepdf.Encryption(owner="a", user="b"))
    with pytest.raises(NotStampable, match="password"):
        Stamper(out.getvalue(), ["a"])
    assert missing("Müller 山") == "山"
    with pytest.raises(NotStampable, match="山"):
        Stamper(booklet(), ["山"])


def test_lines_exist_in_every_language_of_booklets() -> None:
    from booklet.tables.language import printable

    for tag in printable():
        words = lines()[tag.split("-")[0]]
        assert set(words) == {"buyers", "testers", "wholesale"}
        assert all("{name}" in text and "{order}" in text for text in words.values())
    assert language_of(booklet()) == "en"


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "no buyers"),
        (b"name,order\n", "no buyers"),
        (b"name\nAnna\n", "order is missing"),
        (b"name,order\nAnna,1\nBo,1\n", "line 3 has the same order as line 2"),
        (b"name,order\nAnna,1,2\n", "line 2 has 3 columns"),
        (b"name,order\n,1\n", "line 2 has no name"),
        ("name,order\nJosé,1\n".encode("latin-1"), "line 2 is not UTF-8"),
        (b"name,order\n" + b"x" * 500 + b",1\n", "line 2: name is longer"),
        (b'name,order\n"Anna,1\n', "cannot be read"),
        (b"name,order\nA/1,a/b\nB,a.b\nC,a-b\n", "line 4 has the same order as line 2"),
        ("name,order\nA\u202eB,1\n".encode(), "signs that cannot be printed"),
        (b"name,order,name\nA,1,B\n", "line 1 names the column name twice"),
        (b'name,order\nA,1\n"' + b"x" * 200_000 + b'",2\n', "line 3 cannot be read"),
    ],
)
def test_wrong_lists_are_told_with_their_line(data: bytes, says: str) -> None:
    with pytest.raises(WrongList, match=says):
        read_buyers(data)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_lists_of_every_spreadsheet_are_read(separator: str) -> None:
    rows = [["Order", "Name", "Shop"], ["7", 'Ann "Pip" Lee', "North"], ["8", "Bo; Co, Ltd", "South"]]
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(rows)
    found = read_buyers(b"\xef\xbb\xbf" + out.getvalue().encode())
    assert [buyer.order for buyer in found] == ["7", "8"]
    assert filled("{name} of {Shop}", found[1]) == "Bo; Co, Ltd of South"
    with pytest.raises(WrongList, match="no column town"):
        filled("{town}", found[0])


def test_a_letter_and_its_accent_are_one_sign() -> None:
    assert dict(read_buyers("name,order\nJose\u0301,1\n".encode())[0].values)["name"] == "José"


def test_columns_without_a_name_are_let_be() -> None:
    assert read_buyers(b"name,order,,\nA,1,,\n")[0].order == "1"


@given(st.text(max_size=200))
@example("щ" * 100)
def test_an_order_never_leads_out_of_the_folder(order: str) -> None:
    part = file_part(order)
    assert part and "/" not in part and "\\" not in part and not part.startswith(".") and len(part) <= 80 and len(part.encode()) <= 120


def run(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    # This checkout, wherever the command runs.
    ours = {**os.environ, "PYTHONPATH": str(ACORN.parents[2])}
    return subprocess.run([sys.executable, "-m", "booklet", *words], capture_output=True, text=True, cwd=cwd, check=False, env=ours)


def test_an_interrupted_run_goes_on_and_a_broken_copy_is_made_again(tmp_path: Path) -> None:
    (tmp_path / "acorn.pdf").write_bytes(booklet())
    (tmp_path / "buyers.csv").write_text("name,order\nAnna,1\nBo,2\nCy,3\n", "utf-8")
    done = run("stamp", "acorn.pdf", "--buyers", "buyers.csv", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    paths = [tmp_path / line for line in done.stdout.splitlines()]
    assert [path.name for path in paths] == ["acorn.1.pdf", "acorn.2.pdf", "acorn.3.pdf"]
    whole = paths[1].read_bytes()
    paths[1].write_bytes(whole[:-100])
    paths[2].unlink()
    again = run("stamp", "acorn.pdf", "--buyers", "buyers.csv", cwd=tmp_path)
    assert "2 copies written, 1 were there already" in again.stderr
    assert paths[1].read_bytes() == whole


def test_nothing_is_written_from_a_wrong_list(tmp_path: Path) -> None:
    (tmp_path / "acorn.pdf").write_bytes(booklet())
    (tmp_path / "buyers.csv").write_text("name,order\nAnna,1\n山田,2\n", "utf-8")
    done = run("stamp", "acorn.pdf", "--buyers", "buyers.csv", cwd=tmp_path)
    assert done.returncode == 2
    assert "line 3" in done.stderr and "山" in done.stderr
    assert not (tmp_path / "copies").exists()


def test_sheets_are_written_and_told(tmp_path: Path) -> None:
    (tmp_path / "acorn.pdf").write_bytes(booklet())
    done = run("impose", "acorn.pdf", "-o", "sheets.pdf", "--creep", "0.6", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stdout == "sheets.pdf\n" and "sheet   1 front" in done.stderr
    assert run("impose", "acorn.pdf", "-o", "acorn.pdf", cwd=tmp_path).returncode == 2
    assert (tmp_path / "acorn.pdf").read_bytes() == booklet()
    wrong = run("impose", "acorn.pdf", "--sheet", "A5", cwd=tmp_path)
    assert wrong.returncode == 2 and "need a sheet" in wrong.stderr
