"""What programs read: the acorn's JSON as it stands in examples/acorn, made by running (UPDATE_JSON=1), read by a person."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import main

ROOT = Path(__file__).parents[2]

# The agreed keys of `check --json` and `figures --json`; keys may be added, never changed.
CHECK = {"file", "title", "language", "terms", "problems", "parts", "variants"}
PROBLEM = {"code", "severity", "line", "column", "end_column", "part", "round", "message", "help", "mend"}
PART = {"name", "make", "worked", "stitches", "rounds"}
ROUND = {"line", "kind", "label", "first", "last", "available", "consumed", "total", "stated", "stated_unit", "carried", "counts"}
FIGURES = {"gauge", "parts", "yarn", "size_mm", "safety", "variants"}
PART_FIGURES = {"name", "make", "stitches", "width_mm", "height_mm", "length_mm", "shape", "rounds", "yarn_m", "stuffing_g"}
YARN = {"code", "length_m", "low_m", "high_m", "mass_g", "balls"}
COMPONENT = {"name", "small_part", "verdict", "dimensions_mm", "basis"}
NOTE = {"code", "market", "severity", "wording", "text"}


def run(command: str) -> object:
    result = CliRunner().invoke(main, [command, "examples/acorn/acorn.md", "--json"], catch_exceptions=False)
    return json.loads(result.stdout)


@pytest.mark.parametrize("command", ["check", "figures"])
def test_the_acorn(command: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    golden = ROOT / "examples" / "acorn" / f"{command}.json"
    made = run(command)
    if os.environ.get("UPDATE_JSON"):
        golden.write_text(json.dumps(made, indent=2, ensure_ascii=False) + "\n", "utf-8")
    assert made == json.loads(golden.read_text("utf-8"))


def test_keys_of_check(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    (found,) = run("check")  # type: ignore[misc]
    assert set(found) >= CHECK
    assert found["file"] == "examples/acorn/acorn.md"
    for problem in found["problems"]:
        assert set(problem) >= PROBLEM
    nut = found["parts"][0]
    assert set(nut) >= PART
    assert (nut["name"], nut["make"], nut["worked"], nut["stitches"]) == ("Nut", 1, "spiral", 126)
    for line in nut["rounds"]:
        assert set(line) >= ROUND
    rounds_4_to_7 = nut["rounds"][3]
    assert {key: rounds_4_to_7[key] for key in ROUND - {"line"}} == {
        "kind": "round", "label": "Rnds 4-7", "first": 4, "last": 7, "available": 18, "consumed": 18, "total": 18,
        "stated": 18, "stated_unit": None, "carried": 18, "counts": {"single_crochet": 18},
    }  # fmt: skip
    # Two ways to make the eyes: the top level shows the first, the other is a variant.
    assert [variant["choices"] for variant in found["variants"]] == [{"eyes": "embroidered"}]


def test_keys_of_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = run("figures")
    assert isinstance(found, dict)
    assert set(found) >= FIGURES
    assert set(found["gauge"]) >= {"stitch_mm", "round_mm", "from"}
    for part in found["parts"]:
        assert set(part) >= PART_FIGURES
        for one in part["rounds"]:
            assert set(one) >= {"n", "total", "radius_mm", "height_mm"}
    for yarn in found["yarn"]:
        assert set(yarn) >= YARN
    for component in found["safety"]["components"]:
        assert set(component) >= COMPONENT
    for note in found["safety"]["notes"]:
        assert set(note) >= NOTE
    assert found["safety"]["age"] == "3+"
    assert found["safety"]["markets"] == ["US", "EU"]
