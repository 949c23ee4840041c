"""Layouts: found by their folder, their settings read and checked."""

import pytest

import booklet.editions.discover as discover
from booklet.editions.discover import layout, layouts, papers
from booklet.tables.reader import TableFault


def test_paper_sizes():
    # ISO 216: A4 is 210 x 297 mm, A5 is 148 x 210 mm. ANSI/ASME Y14.1, size A (letter): 8.5 x 11 in, 1 in = 25.4 mm.
    assert (layout("a4").width_mm, layout("a4").height_mm) == (210, 297)
    assert (layout("a5").width_mm, layout("a5").height_mm) == (148, 210)
    assert (layout("letter").width_mm, layout("letter").height_mm) == pytest.approx((8.5 * 25.4, 11 * 25.4))


@pytest.mark.parametrize("name", papers())
def test_settings_are_possible(name):
    made = layout(name)
    text = made.width_mm - made.margins.inner - made.margins.outer
    high = made.height_mm - made.margins.top - made.margins.bottom
    # What print-shops ask for at least: common practice, no source.
    assert made.bleed_mm >= 3 or made.bleed_mm == 0
    # The words beside the rounds of a card may be smaller; its rounds are not.
    assert 9 <= made.body_pt <= 11 or (name.startswith("large-print") and made.body_pt >= 18) or (made.card_sides and made.body_pt >= 8)
    assert made.line_pt >= 1.2 * made.body_pt
    for wide, tall in (made.chart_mm, made.photo_mm):
        assert wide <= text + 0.01
        assert tall <= high
    if made.bleed_mm == 0:
        # Nothing runs off the page: the cover picture stands between the margins.
        assert made.cover_mm[0] <= text + 0.01
        return
    # The cover picture reaches the edge of the untrimmed sheet: from the left edge, or from where the text begins.
    assert made.cover_mm[0] in (
        pytest.approx(made.width_mm + 2 * made.bleed_mm),
        pytest.approx(made.width_mm + made.bleed_mm - made.margins.inner),
    )


def test_a_folded_booklet_has_whole_sheets():
    assert layout("a5").multiple == 4
    assert layout("a4").multiple == 1


def test_an_unknown_layout():
    with pytest.raises(KeyError):
        layout("a3")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("width = 148", 'width = "wide"'),
        ("width = 148", ""),
        ("width = 148", "width = -1"),
        ("[paper]", "[papier]"),
        ("top = 18", "top = 18\ncolour = 3"),
        ("photo = [116, 87]", "photo = [116]"),
        ("[paper]", "[paper"),
    ],
)
def test_a_wrong_setting_is_said_with_its_file(tmp_path, monkeypatch, old, new):
    text = (discover.folder("layouts") / "a5" / "layout.toml").read_text("utf-8")
    assert old in text
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "layout.toml").write_text(text.replace(old, new, 1), "utf-8")
    monkeypatch.setattr(discover, "folder", lambda name: tmp_path)
    layouts.cache_clear()
    layout.cache_clear()
    try:
        with pytest.raises(TableFault, match=r"mine/layout\.toml"):
            layout("mine")
    finally:
        layouts.cache_clear()
        layout.cache_clear()
