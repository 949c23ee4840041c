"""Labels of bags: numbers, bars and quiet zones by the GS1 General Specifications, words that fit, sheets by measure."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cli import main
from booklet.digits import article_number, check_digit
from booklet.outputs.codes_bars import bars, squares
from booklet.tables.kits import sheets

OTTER = Path(__file__).resolve().parents[2] / "examples" / "harbour-otter"


# Numbers that stand as examples in public descriptions of EAN-13 and UPC-A (an online encyclopedia; from memory).
@pytest.mark.parametrize("number", ["4006381333931", "036000291452", "5901234123457"])
def test_published_numbers_have_their_check_digit(number):
    assert check_digit(number[:-1]) == number[-1]
    assert article_number(number) == number


@settings(deadline=None)
@given(st.text("0123456789", min_size=11, max_size=12), st.integers(0, 11), st.integers(1, 9))
def test_one_mistyped_digit_is_noticed(digits, at, more):
    """The weights 3 and 1 have no factor in common with 10, so any one wrong digit changes the last one."""
    whole, at = digits + check_digit(digits), at % len(digits)
    wrong = whole[:at] + str((int(whole[at]) + more) % 10) + whole[at + 1 :]
    with pytest.raises(ValueError, match="mistyped"):
        article_number(wrong)


@pytest.mark.parametrize("typed", ["", "123", "40063813339٣1", "4006381333930", "abcdefghijklm", "0" * 14])
def test_other_numbers_are_refused(typed):
    with pytest.raises(ValueError, match="digit"):
        article_number(typed)


# Source: size guide of GS1 Sweden (gs1.se), which sums up the GS1 General Specifications.
@pytest.mark.parametrize(("number", "left", "right"), [("4006381333931", 11, 7), ("036000291452", 9, 9)])
def test_bars_have_their_size_and_quiet_zones(number, left, right):
    made = bars(number)
    rects = [tuple(map(float, found)) for found in re.findall(r'<rect x="([\d.]+)" y="0" width="([\d.]+)" height="([\d.]+)"', made.svg.decode())]
    wide = left + 95 + right
    assert made.width_mm == pytest.approx(wide * 0.330)
    assert min(x for x, _, _ in rects) == left
    assert max(x + width for x, width, _ in rects) == wide - right
    assert min(height for _, _, height in rects) * 0.330 == pytest.approx(22.85, abs=0.005)
    with pytest.raises(ValueError, match="mm wide"):
        bars(number, 0.2)


LEFT_ODD = "0001101 0011001 0010011 0111101 0100011 0110001 0101111 0111011 0110111 0001011".split()
PARITY = "OOOOOO OOEOEE OOEEOE OOEEEO OEOOEE OEEOOE OEEEOO OEOEOE OEOEEO OEEOEO".split()


@settings(deadline=None)
@given(st.text("0123456789", min_size=12, max_size=12))
def test_the_bars_are_read_back(digits):
    """With the digit tables of the symbology (ISO/IEC 15420; from memory)."""
    number = digits + check_digit(digits)
    dark = {int(x) - 11 for x in re.findall(r'<rect x="(\d+)" y="0"', bars(number).svg.decode())}
    row = "".join("1" if at in dark else "0" for at in range(95))
    assert (row[:3], row[45:50], row[-3:]) == ("101", "01010", "101")
    right = ["".join("10"[int(bit)] for bit in code) for code in LEFT_ODD]
    even = [code[::-1] for code in right]
    read, parity = "", ""
    for at in range(6):
        part = row[3 + 7 * at : 10 + 7 * at]
        parity += "O" if part in LEFT_ODD else "E"
        read += str((LEFT_ODD if part in LEFT_ODD else even).index(part))
    read = str(PARITY.index(parity)) + read + "".join(str(right.index(row[50 + 7 * at : 57 + 7 * at])) for at in range(6))
    assert read == number


def test_squares_have_a_quiet_zone_of_four_modules():
    made = squares("https://example.org/fergus")
    side = made.width_mm / 0.5
    assert (side - 8 - 17) % 4 == 0  # ISO/IEC 18004: a side has 17 + 4 x version modules
    with pytest.raises(ValueError, match="link"):
        squares("x" * 301)


def run(*words):
    return CliRunner().invoke(main, ["kit", *map(str, words)])


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("labels")
    shown = run(OTTER / "kit.yaml", "-o", folder, "--labels", "a4-2x3")
    assert shown.exit_code == 0, shown.stderr
    return (folder / "kit.labels.pdf").read_bytes()


def test_every_kit_has_a_label_in_its_place(printed):
    """25 + 15 kits, six on a sheet; each label's words inside its own rectangle."""
    sheet, seen = sheets()["a4-2x3"], 0
    with pikepdf.open(BytesIO(printed)) as pdf:
        assert [float(side) * 25.4 / 72 for side in pdf.pages[0].mediabox[2:]] == pytest.approx(sheet.paper, abs=0.01)
    document = pypdfium2.PdfDocument(printed)
    assert len(document) == 7
    for page in document:
        text = page.get_textpage()
        for at in range(sheet.columns * sheet.rows):
            row, column = divmod(at, sheet.columns)
            left, top = sheet.margin[0] + column * sheet.pitch[0], sheet.margin[1] + row * sheet.pitch[1]
            box = (left, sheet.paper[1] - top - sheet.label[1], left + sheet.label[0], sheet.paper[1] - top)
            words = text.get_text_bounded(*(mm * 72 / 25.4 for mm in box))
            seen += words.count("Fergus in a box")
            if words.strip():
                for wanted in ("3+", "2026-11", "river brown 31 g", "100% cotton", "Example Kit Works", "2000000000008"):
                    assert wanted in words, (wanted, words)
                assert not re.search(r"\bEUR|21\.50|2\.40", words)
    assert seen == 40


@pytest.mark.parametrize("word", ["safe", "verified", "passed", "tested", "compliant", "CE", "UKCA"])
def test_a_label_promises_nothing(printed, word):
    text = "".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(printed)).replace("safety eyes", "")
    assert not re.search(rf"\b{word}\b", text)


def kit_file(tmp_path, **changes):
    text = (OTTER / "kit.yaml").read_text("utf-8")
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "otter.md").write_bytes((OTTER / "otter.md").read_bytes())
    (tmp_path / "kit.yaml").write_text(text, "utf-8")
    return tmp_path / "kit.yaml"


def test_a_wrong_number_is_refused_and_nothing_is_written(tmp_path):
    file = kit_file(tmp_path, code=("2000000000008", "2000000000009"))
    shown = run(file, "-o", tmp_path / "out", "--labels", "a4-2x3")
    assert (shown.exit_code, (tmp_path / "out").exists()) == (2, False)
    assert "would be 8" in shown.stderr


def test_what_does_not_fit_is_refused(tmp_path):
    file = kit_file(tmp_path, maker=("maker: Example", "maker: " + "Example " * 300))
    shown = run(file, "-o", tmp_path / "out", "--labels", "a4-2x4")
    assert shown.exit_code == 2
    assert "larger labels" in shown.stderr


@pytest.mark.parametrize("words", [("--labels", "a4-2x3"), ("-o", "out", "--labels", "a4-9x9")])
def test_a_sheet_that_is_not_there_is_refused(words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(OTTER / "kit.yaml", *words).exit_code == 2
