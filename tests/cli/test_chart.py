"""`booklet chart`: files, sizes, JSON and refusals, as a person at a terminal meets them."""

import json
import math
import re
import struct
import xml.etree.ElementTree as ET
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import main
from booklet.pipeline import understand

ACORN = Path(__file__).parents[2] / "examples" / "acorn" / "acorn.md"
OTTER = Path(__file__).parents[2] / "examples" / "harbour-otter" / "otter.md"
SVG = "{http://www.w3.org/2000/svg}"


def run(*args):
    done = CliRunner().invoke(main, ["chart", *map(str, args)])
    return done.exit_code, done.stdout, done.stderr


def test_every_chart_is_a_file_whose_path_is_printed(tmp_path):
    status, out, _ = run(ACORN, "-o", tmp_path)
    names = [Path(line).name for line in out.splitlines()]
    assert status == 0
    assert names == ["acorn.en-US.chart.nut-1.svg", "acorn.en-US.chart.nut-2.svg", "acorn.en-US.chart.cap.svg"]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(names)


def test_an_svg_is_clean_for_use_elsewhere(tmp_path):
    run(ACORN, "cap", "-o", tmp_path)
    (file,) = tmp_path.iterdir()
    text = file.read_text("utf-8")
    root = ET.fromstring(text)
    assert root.get("version") == "1.1"
    assert root.find(f"{SVG}title").text.startswith("Chart of the Cap")
    described = root.find(f"{SVG}desc").text
    graph = understand(ACORN.read_bytes(), "acorn.md").graph.parts[1]
    for number in (1, graph.rounds):
        assert f" {graph.total(number)} stitches" in described
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids)) and all(re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", one) for one in ids)
    assert not re.search(r"href|url\(|<script|<style|class=", text)


@pytest.mark.parametrize("width", [80, 140.5])
def test_a_given_width_is_kept_exactly(tmp_path, width):
    status, _, _ = run(ACORN, "--width", width, "-o", tmp_path)
    assert status == 0
    for file in tmp_path.iterdir():
        root = ET.fromstring(file.read_text("utf-8"))
        assert float(root.get("width").removesuffix("mm")) == pytest.approx(width, abs=0.01)


def test_a_width_that_is_too_small_to_work_from_is_said(tmp_path):
    status, out, err = run(OTTER, "Head", "--width", "60", "-o", tmp_path)
    assert status == 0 and out
    needed = float(re.search(r"in print it needs (\d+) mm", err)[1])
    assert needed > 60
    _, _, quiet = run(OTTER, "Head", "--width", str(needed + 1), "-o", tmp_path)
    assert "3 mm" not in quiet


def chunks(data):
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    at = 8
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        name, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length : at + 12 + length])[0] == zlib.crc32(name + body)
        yield name, body
        at += 12 + length


def test_a_png_has_its_size_at_300_dots_an_inch_and_says_what_it_shows(tmp_path):
    status, out, _ = run(ACORN, "Cap", "--format", "png", "--width", "50.8", "-o", tmp_path)
    assert status == 0 and out.endswith(".png\n")
    (file,) = tmp_path.iterdir()
    found = list(chunks(file.read_bytes()))
    width, _, depth, colour = struct.unpack(">IIBB", found[0][1][:10])
    assert abs(width - 600) <= 1 and (depth, colour) == (8, 2)
    density = next(body for name, body in found if name == b"pHYs")
    assert struct.unpack(">IIB", density) == (11811, 11811, 1)
    texts = [body.decode("utf-8") for name, body in found if name == b"iTXt"]
    assert any("Chart of the Cap" in text for text in texts)
    pixels = zlib.decompress(b"".join(body for name, body in found if name == b"IDAT"))
    assert len(set(pixels)) > 20


def test_a_picture_that_is_too_large_is_refused_and_nothing_is_written(tmp_path):
    status, out, err = run(OTTER, "Head", "--format", "png", "--width", "2900", "-o", tmp_path)
    assert status == 2 and not out and "too large" in err
    assert list(tmp_path.iterdir()) == []


def test_json_is_what_is_drawn():
    status, out, _ = run(ACORN, "--json")
    assert status == 0
    charts = json.loads(out)["charts"]
    assert [chart["part"] for chart in charts] == ["Nut", "Nut", "Cap"]
    for chart in charts:
        left, top, right, bottom = chart["frame_mm"]
        for mark in chart["marks"]:
            for x, y in (*mark["feet"], *mark["heads"]):
                assert left <= x <= right and top <= y <= bottom


def test_left_handed_is_the_mirror_image():
    right, left = (json.loads(run(ACORN, "Cap", "--json", *more)[1])["charts"][0] for more in ((), ("--left-handed",)))
    for a, b in zip(right["marks"], left["marks"], strict=True):
        assert (a["x"], a["y"]) == (-b["x"] + 0.0, b["y"])


def test_the_symbol_set_is_honoured(tmp_path):
    pattern = "## Ridge\n\nRnd 1: 6 sc in MR (6)\nRnd 2: BLO, sc around (6)\n"
    file = tmp_path / "ridge.md"
    file.write_text(pattern, "utf-8")
    made = []
    for signs in ("us", "jis"):
        _, out, _ = run(file, "--symbols", signs, "-o", tmp_path / signs)
        made.append(Path(out.strip()).read_text("utf-8"))
    assert made[0] != made[1]
    assert ".jis." in out


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("Nutt",), "no part 'Nutt'. Did you mean 'Nut'?"),
        (("--symbols", "runes"), "no symbol set 'runes'"),
        (("--language", "xx"), "no language 'xx'"),
        (("--width", "0"), "0"),
    ],
)
def test_what_cannot_be_done_is_refused(tmp_path, args, words):
    status, out, err = run(ACORN, *args, "-o", tmp_path)
    assert status == 2 and not out and words in err
    assert list(tmp_path.iterdir()) == []


def test_a_pattern_with_errors_is_drawn_and_ends_with_1(tmp_path):
    file = tmp_path / "wrong.md"
    file.write_text("## Ball\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (13)\n", "utf-8")
    status, out, err = run(file, "-o", tmp_path)
    assert status == 1 and out and "booklet check" in err


def test_a_pattern_without_rounds_has_nothing_to_draw(tmp_path):
    file = tmp_path / "empty.md"
    file.write_text("Words only.\n", "utf-8")
    status, _, err = run(file, "-o", tmp_path)
    assert status == 2 and "nothing to draw" in err


# Checks that a technical editor makes of a chart against the text (trade lists of technical editing).
@pytest.mark.parametrize("file", [ACORN, OTTER], ids=lambda file: file.stem)
def test_a_chart_says_what_the_text_says(file):
    """The same number of symbols in every round, the same kinds, the same order, the same starting point."""
    graph = understand(file.read_bytes(), file.name).graph
    charts = json.loads(run(file, "--json")[1])["charts"]
    for part in graph.parts:
        rounds = {}
        for chart in (chart for chart in charts if chart["part"] == part.name):
            for mark in chart["marks"]:
                for number in range(*[mark["round"], mark["round"] + 1] if not mark["stands_for"] else [mark["round"], mark["stands_for"][1] + 1]):
                    rounds.setdefault(number, []).append(mark)
        assert sorted(rounds) == list(range(1, part.rounds + 1))
        for number, marks in rounds.items():
            first = part.round_start[marks[0]["round"]]
            counted = [mark for mark in marks if part.counts[mark["stitch"]]]
            assert len(counted) == part.total(number)
            in_order = [mark["stitch"] for mark in counted]
            assert in_order == sorted(in_order)
            there = [i for i in range(first, part.round_start[marks[0]["round"] + 1]) if part.counts[i]]
            assert in_order[0] == there[0]
            assert [mark["kind"] for mark in counted] == [part.kinds[part.kind[i]] for i in there]


@pytest.mark.parametrize("file", [ACORN, OTTER], ids=lambda file: file.stem)
def test_the_numbers_on_a_chart_are_those_of_the_text_and_omitted_rounds_are_named(file):
    graph = understand(file.read_bytes(), file.name).graph
    charts = json.loads(run(file, "--json")[1])["charts"]
    for part in graph.parts:
        named = []
        for chart in (chart for chart in charts if chart["part"] == part.name):
            for label in chart["labels"]:
                ends = re.findall(r"\d+", label["text"].split(" ")[0])
                if label["text"].isdigit() and len(chart["labels"]) and math.hypot(label["x"], label["y"]) < 0.01:
                    continue  # the chains of a ring
                named += [str(n) for n in range(int(ends[0]), int(ends[-1]) + 1)]
        assert named == list(part.round_label[1:])
