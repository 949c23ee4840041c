"""The accent colour: WCAG 2.1's formula with its own published numbers, and what is done to yarns that are too pale."""

import pytest

from booklet.pages.colour import COMFORTABLE, GREYS, READABLE, accent, contrast, darkened, luminance


def test_luminance_of_the_primaries_is_that_of_the_definition():
    # WCAG 2.1, definition of relative luminance: L = 0.2126 R + 0.7152 G + 0.0722 B
    assert luminance("#ff0000") == pytest.approx(0.2126)
    assert luminance("#00ff00") == pytest.approx(0.7152)
    assert luminance("#0000ff") == pytest.approx(0.0722)
    assert luminance("#000000") == 0


def test_black_on_white_is_21_to_1():
    # WCAG 2.1, note 1 of contrast ratio: from 1 to 21
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#123456", "#123456") == 1


def test_the_well_known_greys_about_the_limit():
    # #777777 on white gives 4.48 : 1 and fails by a hair, #767676 gives 4.54 : 1 and holds: the usual example for
    # success criterion 1.4.3, in W3C's "Understanding SC 1.4.3" among others (from memory).
    assert round(contrast("#777777", "#ffffff"), 2) == 4.48
    assert round(contrast("#767676", "#ffffff"), 2) == 4.54


@pytest.mark.parametrize("pale", ["#ecdfc6", "#ffff00", "#ffffff", "#d69b2d", "#9fd3c7", "#777777"])
def test_a_pale_yarn_is_darkened_until_it_can_be_read(pale):
    dark = darkened(pale)
    assert contrast(dark, "#ffffff") >= READABLE
    # and no further than needed: one step lighter would fail
    assert contrast(dark, "#ffffff") < READABLE + 0.35 or dark == pale


def test_a_dark_yarn_stays_as_it_is():
    assert darkened("#2f5d7c") == "#2f5d7c"


def test_the_accent_is_a_yarn_and_its_tint_takes_black_text():
    made = accent([("#8a5a3c", 60), ("#ecdfc6", 20), ("#2f5d7c", 30)])
    assert contrast(made.ink, "#ffffff") >= READABLE
    assert contrast("#000000", made.tint) >= COMFORTABLE
    assert sum(band.share for band in made.bands) == pytest.approx(1, abs=1e-3)


def test_the_bands_are_shares_of_the_metres():
    made = accent([("#8a5a3c", 30), ("", 10)])
    assert [(band.fill, band.share) for band in made.bands] == [("#8a5a3c", 0.75), (GREYS[1], 0.25)]


def test_without_colours_the_booklet_is_black_and_white():
    made = accent([("", 10), ("blue", 5)])
    red, green, blue = (int(made.ink[place : place + 2], 16) for place in (1, 3, 5))
    assert max(red, green, blue) - min(red, green, blue) < 10
    assert accent([]).bands == ()
