"""The paper of an edition where no layout is named: by market, by territory, by the settings of the language."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import main
from booklet.editions.paper import usual
from booklet.tables.language import load, printable
from booklet.tables.reader import TableFault
from booklet.tables.territories import territories, territory
from tests.cli.test_build import PATTERN

# Source: Unicode CLDR, measurement data, paperSize, as quoted in Unicode Technical Standard 35.
LETTER = "BZ CA CL CO CR GT MX NI PA PH PR SV US VE".split()


def test_the_table_is_that_of_the_cldr():
    assert {code for code, row in territories().items() if row.layout == "letter"} == set(LETTER)
    assert territory("DE").layout == territory("001").layout == "a4"
    assert {code for code, row in territories().items() if row.first == "imperial"} == {"US"}


@pytest.mark.parametrize("tag", printable())
def test_the_settings_of_a_language_agree_with_its_territory(tag: str):
    assert usual(tag) == load(tag).settings["paper"]


@pytest.mark.parametrize(
    ("tag", "market", "name"),
    [
        ("en-US", "", "letter"),
        ("en-GB", "", "a4"),
        ("en-AU", "", "a4"),
        ("de", "", "a4"),
        ("es", "", "a4"),
        ("es-419", "", "letter"),
        ("pt-BR", "", "a4"),
        ("en-US", "EU", "a4"),
        ("fr", "CA", "letter"),
        ("de", "US", "letter"),
        ("en-US", "NZ", "a4"),
    ],
)
def test_a_market_goes_before_the_language(tag: str, market: str, name: str):
    assert usual(tag, market) == name


def test_a_build_without_a_layout_takes_the_paper_of_each_edition(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    Path("ball.md").write_text(PATTERN, "utf-8")
    asked = ["build", "ball.md", "--format", "html"]
    shown = CliRunner().invoke(main, [*asked, "--language", "en-US", "--language", "en-GB"])
    assert shown.stdout.splitlines() == ["ball.en-US.letter.html", "ball.en-GB.a4.html"], shown.stderr
    shown = CliRunner().invoke(main, [*asked, "--market", "UK"])
    assert shown.stdout.splitlines() == ["ball.en-US.a4.UK.html"], shown.stderr


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("001\ta4\tmetric\nUS\ta6x\tmetric\n", r"territories\.tsv:3: no layout 'a6x'"),
        ("US\tletter\tmetric\n", "no row 001"),
        ("001\ta4\tmiles\n", r"territories\.tsv:2: no units 'miles'"),
    ],
)
def test_a_wrong_table_is_told_with_its_line(text: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "territories.tsv").write_text("territory\tlayout\tfirst\n" + text, "utf-8")
    monkeypatch.setattr("booklet.tables.reader.folder", lambda name: tmp_path)
    territories.cache_clear()
    try:
        with pytest.raises(TableFault, match=told):
            usual("en-US")
    finally:
        territories.cache_clear()
