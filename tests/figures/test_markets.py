"""Markets and rules are tables: every number has a source, every rule reads, and a file more is a market more."""

import shutil
from pathlib import Path

import pytest

from booklet import pipeline, resources
from booklet.diagnostics.codes import codes as known_codes
from booklet.tables import markets, reader, rules, safety
from booklet.tables.reader import TableFault

SHARED = Path(reader.folder("shared"))
ALL = ("US", "EU", "UK", "CA", "AU", "NZ")

INVENTED = """name	value	unit	bound	from	to	status	source	edition	looked_up
order	7					house			not re-checked
name	Elsewhere					house			not re-checked
languages	en					house			not re-checked
traits	sentence soft-counts soft-forbidden					house			not re-checked
under-three	48	months	<			ok	Toy Act of Elsewhere	1st	2026-11-24
cord.free	90	mm	<=	0	48	ok	Toy Act of Elsewhere	1st	2026-11-24
torque	0.5	N·m	>=			ok	Toy Act of Elsewhere	1st	2026-11-24
pull	70	N	>=			ok	Toy Act of Elsewhere	1st	2026-11-24
"""


def test_the_six_markets():
    assert markets.codes() == ALL


@pytest.mark.parametrize("code", ALL)
def test_every_number_has_a_source_and_says_when_it_was_looked_up(code):
    found = markets.market(code)
    assert found.name
    assert found.languages
    for limit in found.limits:
        assert limit.source
        assert limit.unit
        assert limit.looked_up == markets.NOT_RECHECKED or limit.looked_up[:2] == "20"


# Outside check: 16 CFR 1501.4 figure 1, 1501.1, 1500.19; SOR/2011-17 schedule 1; EN 71-1 clauses 5.4 and 8 by authorities' guides.
@pytest.mark.parametrize(
    ("code", "name", "months", "value", "unit"),
    [
        ("US", "cylinder.across", None, 31.75, "mm"), ("US", "cylinder.deep", None, 57.15, "mm"), ("US", "under-three", None, 36, "months"),
        ("US", "labelled", None, 72, "months"), ("US", "small-ball", None, 44.45, "mm"), ("US", "pull", 12, 10, "lbf"),
        ("US", "pull", 24, 15, "lbf"), ("US", "torque", 40, 4, "in·lbf"), ("US", "cord.noose", 6, 300, "mm"),
        ("EU", "cylinder.across", None, 31.7, "mm"), ("EU", "cylinder.deep", None, 57.1, "mm"), ("EU", "torque", None, 0.34, "N·m"),
        ("EU", "pull", None, 90, "N"), ("EU", "pull.small", None, 50, "N"), ("EU", "cord.noose", 6, 220, "mm"),
        ("EU", "cord.noose", 20, 300, "mm"), ("EU", "loop", 20, 380, "mm"), ("EU", "cord.thick", 20, 1.5, "mm"), ("EU", "symbol", None, 10, "mm"),
        ("UK", "loop", 20, 380, "mm"), ("CA", "cylinder.across", None, 31.7, "mm"), ("CA", "bag.told-perimeter", None, 356, "mm"),
        ("CA", "press", None, 4.45, "N"),
    ],
)  # fmt: skip
def test_limits(code, name, months, value, unit):
    limit = markets.market(code).limit(name, months)
    assert (limit.value, limit.unit) == (value, unit)


def test_up_to_and_including_thirty_six_months():
    assert not markets.market("US").limit("under-three").kept(36)
    assert markets.market("AU").limit("under-three").kept(36)


def test_rules_have_a_code_a_page_and_a_text():
    found = rules.rules()
    numbers = {rule.rule for rule in found}
    assert {f"R{n:02}" for n in range(1, 31)} | {"R04a"} <= numbers
    for rule in found:
        if rule.about != "page" and rule.code not in ("mark-box", "state-label"):
            assert rule.code in known_codes(), rule.code
        name = f"{rule.code}.{rule.text}" if rule.text else rule.code
        assert safety.note_text(name, names="x") or rule.wording
        assert not rule.wording or safety.wording(rule.wording) is not None, rule.wording
        assert rule.source


@pytest.fixture
def more_markets(tmp_path, monkeypatch):
    """The same tables with one file more, as somebody would add it who knows no Python."""
    shutil.copytree(SHARED, tmp_path / "shared")
    (tmp_path / "shared" / "safety" / "markets" / "XX.tsv").write_text(INVENTED, "utf-8")
    real = resources.folder

    def folder(name):
        return tmp_path / "shared" if name == "shared" else real(name)

    def clear():
        for function in (markets.codes, markets.market):
            function.cache_clear()

    clear()
    for module in (reader, markets):
        monkeypatch.setattr(module, "folder", folder)
    yield tmp_path / "shared" / "safety" / "markets" / "XX.tsv"
    monkeypatch.undo()
    clear()


PATTERN = """---
title: Bear
made as: {made}
toy-age: 3+
markets: {market}
notions:
  - safety eyes: {{shape: mushroom, diameter: 12 mm, length: 15 mm, attached: locked}}
  - tail: {{length: 100 mm, attached: sewn}}
---
"""


def assessed(**values):
    found = pipeline.understand(PATTERN.format(**values).encode(), "bear.md")
    assert "not-a-market" not in [problem.code for problem in found.problems]
    return found.figures.safety


def test_a_market_more_is_a_file_more(more_markets):
    assert markets.codes() == (*ALL, "XX")
    soft = {note.rule: note for note in assessed(made="cuddly toy", market="XX").notes}
    assert (soft["R11"].limit.value, soft["R11"].limit.source) == (90, "Toy Act of Elsewhere")
    hard = {note.rule: note for note in assessed(made="toy", market="XX").notes}
    assert hard["R02"].code == "small-parts-under-three"  # its limit is four years
    assert dict(dict(hard["R02"].more)["twist-pull"])["pull"] == "70 N"


def test_a_wrong_row_is_reported_with_its_line(more_markets):
    more_markets.write_text(INVENTED.replace("\t90\t", "\tninety\t"), "utf-8")
    with pytest.raises(TableFault, match=r"XX\.tsv:7"):
        markets.market("XX")
    more_markets.write_text(INVENTED.replace("\tok\t", "\tsure\t"), "utf-8")
    with pytest.raises(TableFault, match=r"XX\.tsv:6"):
        markets.market("XX")
