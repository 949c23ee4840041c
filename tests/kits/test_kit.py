"""A kit from its file to its order: amounts, rounding, money, slips, and a spreadsheet that is opened again and computed again."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from decimal import Decimal
from math import ceil
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from booklet.cli import main
from booklet.kits import values
from booklet.kits.kit import Amount, Colourway
from booklet.kits.order import balls_cut
from booklet.kits.read import shared_out
from booklet.reports.kit import harmless_cell
from booklet.tables.kits import sheets

PATTERN = """---
title: Ball
language: en-US
hook: 3 mm
gauge: 24 sc x 25 rnds = 10 cm
yarns:
  A:
    colour: oat
    weight: light (3)
    fibre: 100% cotton
    ball: 125 m / 50 g
    used: 15 g
notions:
  - stuffing
  - yarn needle
  - safety eyes:
      count: 2
      diameter: 8 mm
      only for: eyes safety
---

## Ball (make 1)

With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnds 3-5: sc around (12)

Either (eyes: embroidered): Embroider the eyes between Rnds 3 and 4, 3 sts between them.
Or (eyes: safety): Place the safety eyes between Rnds 3 and 4, 3 sts between them.

Stuff firmly.

Rnd 6: dec x 6 (6)

Fasten off, leaving a 15 cm tail. Close the hole.
"""
KIT = """title: Test kit
kits: 30
currency: EUR
patterns:
  - file: ball.md
    choose: eyes safety
colourways:
  plain: 20
  bright:
    kits: 10
    A: plum
cards:
  - language: de
    kits: 5
    weight: 6 g
items:
  - box: 1
supplies:
  oat:
    supplier: Example Yarn Supply
    pack: 1 kg cone
    price: 20.10
    stock: 100 g
  plum:
    pack: 50 g ball
    minimum: 6
    price: 2,40 EUR
  safety eyes:
    pack: 50
    price: 3.33
    weight: 0.5 g
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "ball.md").write_text(PATTERN, "utf-8")
    return tmp_path


def run(folder: Path, text: str = KIT, *more: str) -> tuple[int, dict]:
    (folder / "kit.yaml").write_text(text, "utf-8")
    made = CliRunner().invoke(main, ["kit", str(folder / "kit.yaml"), "--json", *more])
    return made.exit_code, json.loads(made.stdout)


def line(found: dict, item: str) -> dict:
    return next(one for one in found["order"] if one["item"] == item)


def test_the_weighed_amount_and_its_spare_are_ordered(folder: Path) -> None:
    status, found = run(folder)
    assert status == 0
    assert found["problems"] == []
    # 15 g weighed + 20 % = 18 g a kit, 20 kits = 360 g, 3 % lost from a cone = 370.8 g, 100 g there: 270.8 g, one cone.
    oat = line(found, "oat")
    assert (oat["packed"], oat["need"], oat["short"], oat["packs"], oat["cost"]) == ("360", "370.8", "270.8", 1, "20.1")
    assert oat["metres"] == str(20 * 45)  # 18 g at 125 m / 50 g
    # 180 g of balls are four; six is the least order.
    assert (line(found, "plum")["packs"], line(found, "plum")["cost"]) == (6, "14.4")
    assert line(found, "safety eyes, 8 mm")["packs"] == 2
    assert line(found, "card de")["packed"] == "5"
    assert Decimal(found["cost"]) == Decimal("20.10") + Decimal("14.40") + Decimal("6.66")
    assert set(found["unpriced"]) == {"stuffing", "yarn needle", "card de", "box"}
    assert [one["basis"] for one in found["contents"] if one["kind"] == "yarn"] == ["weighed", "weighed"]


def test_the_high_estimate_where_nothing_was_weighed(folder: Path) -> None:
    (folder / "ball.md").write_text(PATTERN.replace("    used: 15 g\n", ""), "utf-8")
    _, found = run(folder)
    made = CliRunner().invoke(main, ["figures", str(folder / "ball.md"), "--json"])
    high = json.loads(made.stdout)["yarn"][0]["high_m"]
    oat = next(one for one in found["contents"] if one["item"] == "oat")
    assert oat["basis"] == "estimate"
    assert int(oat["each"]) == ceil(round(ceil(high * 0.4 * 10 - 1e-6) / 10 * 1.2, 6))


def test_a_choice_leaves_its_notions_out(folder: Path) -> None:
    _, found = run(folder, KIT.replace("eyes safety", "eyes embroidered"))
    assert not [one for one in found["order"] if "eyes" in one["item"]]
    assert [one["code"] for one in found["problems"]] == ["kit-supply-unused"]


def test_the_short_form(folder: Path) -> None:
    made = CliRunner().invoke(main, ["kit", str(folder / "ball.md"), "--kits", "7", "--choose", "eyes=safety", "--json"])
    found = json.loads(made.stdout)
    assert made.exit_code == 0
    assert line(found, "safety eyes, 8 mm")["packed"] == "14"
    assert found["cost"] is None
    assert CliRunner().invoke(main, ["kit", str(folder / "ball.md")]).exit_code == 2


def test_the_packed_weight(folder: Path) -> None:
    _, found = run(folder)
    first = found["packed"][0]
    grams = sum(Decimal(one["each"]) for one in found["contents"] if one["unit"] == "g" and one["colourway"] == "plain")
    assert Decimal(first["weight_g"]) == grams + Decimal("1.0") + 6  # two eyes of half a gram, a card
    assert Decimal(first["tolerance_g"]) > 0
    assert first["unweighed"] == ["yarn needle", "box"]


def test_an_amount_in_another_unit_that_the_label_of_the_yarn_can_turn_is_taken(folder: Path) -> None:
    """125 m / 50 g: 2500 m are a cone of 1 kg."""
    _, found = run(folder, KIT.replace("pack: 1 kg cone", "pack: 2500 m cone").replace("stock: 100 g", "stock: 250 m"))
    assert found["problems"] == []
    assert (line(found, "oat")["short"], line(found, "oat")["packs"]) == ("270.8", 1)


@pytest.mark.parametrize(
    ("old", "new", "code", "row"),
    [
        ("kits: 30", "kits: many", "kit-value", 2),
        ("kits: 30", "kits: 31", "kit-numbers-differ", 2),
        ("price: 20.10", "price: 20.10 USD", "kit-value", 22),
        ("supplier:", "suplier:", "unknown-key", 20),
        ("ball.md", "bal.md", "kit-pattern-missing", 5),
        ("ball.md", "../ball.md", "kit-pattern-outside", 5),
        ("ball.md", "/etc/hosts", "kit-pattern-outside", 5),
        ("eyes safety", "eyes glass", "kit-choice-unknown", 5),
        ("A: plum", "Q: plum", "kit-colour-unknown", 11),
        ("  plum:\n", "  rose:\n", "kit-supply-unused", 24),
        ("pack: 1 kg cone", "pack: 1", "kit-unit-unfit", 19),
        ("stock: 100 g", "stock: 100 g\n    minimum: 3 m\n  yarn needle:\n    pack: 3 m", "kit-unit-unfit", 25),
        ("kits: 30", "code: 4006381333932\nkits: 30", "kit-code-wrong", 2),
        ("patterns:\n  - file: ball.md\n    choose: eyes safety\n", "", "kit-without-pattern", 1),
    ],
)
def test_slips_are_told_with_their_place(folder: Path, old: str, new: str, code: str, row: int) -> None:
    assert old in KIT
    _, found = run(folder, KIT.replace(old, new, 1))
    told = {one["code"]: one for one in found["problems"]}
    assert code in told
    assert told[code]["line"] == row
    assert told[code]["message"]
    assert "{" not in told[code]["message"] + told[code]["help"]


def test_numbers_are_exact() -> None:
    assert values.money("18,90", "EUR") == Decimal("18.90")
    assert values.money("18.905", "EUR") is None
    assert values.money("18.90 USD", "EUR") is None
    assert values.amount("1 kg cone") == Amount(Decimal(1000), "g", "cone")
    assert values.amount("100") == Amount(Decimal(100), "pc", "")
    assert values.amount("12,5 m") == Amount(Decimal("12.5"), "m", "")
    assert values.amount("a lot") is None
    assert values.percent("2,5 %") == Decimal("2.5")
    assert values.whole("0") is None


def test_colourways_share_a_number_out() -> None:
    ways = shared_out((Colourway("a", 25), Colourway("b", 15), Colourway("c", 1)), 10)
    assert [way.kits for way in ways] == [6, 4, 0]
    assert sum(way.kits for way in shared_out(ways[:2], 999)) == 999


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx"])
def test_no_cell_is_a_formula(text: str) -> None:
    assert harmless_cell(text) == "'" + text


def test_files(folder: Path) -> None:
    evil = KIT.replace("- box: 1", "- '=HYPERLINK(\"https://example.org\")': 1")
    status, found = run(folder, evil, "-o", str(folder / "out"))
    assert status == 0
    rows = list(csv.reader(io.StringIO((folder / "out" / "kit.order.csv").read_text("utf-8-sig"))))
    assert len(rows) == len(found["order"]) + 1
    assert any(cell.startswith("'=HYPERLINK") for row in rows for cell in row)
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)
    first = (folder / "out" / "kit.kit.xlsx").read_bytes()
    run(folder, evil, "-o", str(folder / "out"))
    assert (folder / "out" / "kit.kit.xlsx").read_bytes() == first


class Sheets:
    """A small evaluator of the formulas that the workbook uses."""

    def __init__(self, data: bytes) -> None:
        from openpyxl import load_workbook

        self.book = load_workbook(io.BytesIO(data))

    def value(self, sheet: str, cell: str) -> object:
        found = self.book[sheet][cell.replace("$", "")]
        if found.data_type != "f":
            return found.value
        return self.compute(sheet, found.value[1:])

    def compute(self, sheet: str, formula: str) -> object:
        def cells(found: re.Match[str]) -> str:
            where = found["sheet"] or sheet
            if found["end"]:
                return f"span({where!r}, {found['start']!r}, {found['end']!r})"
            return f"value({where!r}, {found['start']!r})"

        reference = r"(?:(?P<sheet>[A-Z][a-z]+)!)?(?P<start>\$?[A-Z]\$?\d+)(?::(?P<end>\$?[A-Z]\$?\d+))?"
        text = re.sub(reference, cells, formula)
        text = re.sub(r"(?<![<>=])=(?!=)", "==", text)
        names = {"value": self.number, "span": self.span, "ROUNDUP": roundup, "ROUND": excel_round, "MAX": max, "SUMIF": sumif}
        names |= {"INT": lambda n: float(n // 1), "IF": lambda test, yes, no: yes if test else no, "SUM": sum}
        return eval(text, {"__builtins__": {}}, names)

    def number(self, sheet: str, cell: str) -> object:
        found = self.value(sheet, cell)
        return 0 if found is None else found

    def span(self, sheet: str, start: str, end: str) -> list[object]:
        rows = self.book[sheet][f"{start}:{end}".replace("$", "")]
        return [self.number(sheet, cell.coordinate) for row in rows for cell in row]


def roundup(value: float, digits: int) -> float:
    return ceil(value * 10**digits) / 10**digits


def excel_round(value: float, digits: int) -> float:
    return float(round(Decimal(repr(value)), digits))


def sumif(keys: list[object], key: object, amounts: list[float]) -> float:
    return sum(amount for one, amount in zip(keys, amounts, strict=True) if one == key)


def test_the_spreadsheet_computes_the_same(folder: Path) -> None:
    _, found = run(folder, KIT, "-o", str(folder / "out"))
    book = Sheets((folder / "out" / "kit.kit.xlsx").read_bytes())
    for row, told in enumerate(found["order"], 2):
        assert book.value("Order", f"B{row}") == told["item"]
        for column, key in (("F", "packed"), ("H", "need"), ("J", "short"), ("N", "packs"), ("P", "cost")):
            assert float(book.value("Order", f"{column}{row}")) == pytest.approx(float(told[key] or 0), abs=1e-6), (row, key)
    assert float(book.value("Order", f"P{len(found['order']) + 2}")) == pytest.approx(float(found["cost"]))
    # What a shop changes goes through: twice the kits, and the order is that of a kit file with twice as many.
    book.book["Kits"]["B2"].value = 40
    _, double = run(folder, KIT.replace("kits: 30", "kits: 50").replace("plain: 20", "plain: 40"))
    for row, told in enumerate(double["order"], 2):
        if told["kind"] != "card":
            assert float(book.value("Order", f"N{row}")) == told["packs"], told["item"]


def test_what_is_lighter_than_the_tolerance_is_named() -> None:
    """Two eyes of 0.6 g and a needle of 1 g against 2 g: a scale cannot tell that they are missing; a box of 60 g it can."""
    example = Path(__file__).parents[2] / "examples" / "harbour-otter" / "kit.yaml"
    made = CliRunner().invoke(main, ["kit", str(example), "--json"])
    for packed in json.loads(made.stdout)["packed"]:
        assert set(packed["unnoticed"]) == {"yarn needle", "safety eyes, 8 mm"}


@pytest.mark.parametrize(
    ("kits", "each", "ball", "balls"),
    [(25, "11", "50", "6.25"), (24, "11", "50", "6"), (3, "50", "50", "3"), (4, "60", "50", "4.8"), (2, "30", "50", "2"), (7, "0.5", "50", "0.07")],
)
def test_yarn_from_balls_has_no_knot(kits: int, each: str, ball: str, balls: str) -> None:
    """Reckoned by hand: a ball of 50 g gives four times 11 g; 60 g are a whole ball and 10 g, of which the next gives five."""
    assert balls_cut(kits, Decimal(each), Decimal(ball)) == Decimal(balls)


@given(st.integers(1, 300), st.integers(1, 400), st.integers(1, 300))
def test_winding_ball_by_ball_takes_as_many(kits: int, each: int, ball: int) -> None:
    taken, left = 0, 0
    for _ in range(kits):
        taken += each // ball
        rest = each % ball
        if rest > left:
            taken, left = taken + 1, ball
        left -= rest
    assert ceil(balls_cut(kits, Decimal(each), Decimal(ball)).quantize(Decimal("0.000001"))) == taken


def test_balls_without_a_knot_are_ordered_and_stand_in_the_spreadsheet(tmp_path: Path) -> None:
    """25 kits of 11 g from balls of 50 g: 275 g would be six balls, but six hold only 24 lengths."""
    example = Path(__file__).parents[2] / "examples" / "harbour-otter" / "kit.yaml"
    made = CliRunner().invoke(main, ["kit", str(example), "--json", "-o", str(tmp_path)])
    found = {line["item"]: line for line in json.loads(made.stdout)["order"]}
    assert (found["mustard"]["packed"], found["mustard"]["packs"]) == ("275", 7)
    assert found["river brown"]["packs"] == 1  # a cone: 1277 g with its waste, 300 g are there
    book = Sheets((tmp_path / "kit.kit.xlsx").read_bytes())
    for row, told in enumerate(found.values(), 2):
        for column, key in (("F", "packed"), ("H", "need"), ("J", "short"), ("N", "packs")):
            assert float(book.value("Order", f"{column}{row}")) == pytest.approx(float(told[key]), abs=1e-6), (told["item"], key)
    assert sum(found[name]["packs"] > 0 for name in ("plum", "rose")) == 2


def test_the_spreadsheet_holds_no_formula_of_the_kit_file(folder: Path) -> None:
    evil = KIT.replace("plum", "'=cmd'").replace("Example Yarn Supply", "'@SUM(1)'")
    run(folder, evil, "-o", str(folder / "out"))
    data = (folder / "out" / "kit.kit.xlsx").read_bytes()
    with zipfile.ZipFile(io.BytesIO(data)) as inside:
        formulas = re.findall(r"<f>(.*?)</f>", "".join(inside.read(name).decode() for name in inside.namelist() if "sheet" in name))
    assert formulas
    assert not any("cmd" in formula or "@" in formula for formula in formulas)


def test_the_sheets_of_labels_fit_their_paper() -> None:
    assert sheets()
    assert all(not sheet.fault() for sheet in sheets().values())
    one = next(iter(sheets().values()))
    assert "edge" in one._replace(columns=9).fault()
    assert "overlap" in one._replace(pitch=(1, 1)).fault()


def test_the_example_kit() -> None:
    example = Path(__file__).parents[2] / "examples" / "harbour-otter" / "kit.yaml"
    made = CliRunner().invoke(main, ["kit", str(example), "--json"])
    assert made.exit_code == 0, made.output
    found = json.loads(made.stdout)
    assert found["problems"] == []
    assert found["kits"] == 40
    assert {one["item"] for one in found["contents"] if one["colourway"] == "dusk"} >= {"plum", "rose", "river brown"}
