"""Numbers and units of an edition."""

import pytest

from booklet.pages import measures
from booklet.tables.language import page_words

METRIC, IMPERIAL, BOTH = (measures.Style(units, ".", page_words("en-US")) for units in ("metric", "imperial", "both"))


@pytest.mark.parametrize(
    ("mm", "metric", "imperial"),
    [
        (8, "8 mm", "¼ in"),  # 8 / 25.4 = 0.31
        (62, "6.2 cm", "2½ in"),  # 2.44
        (140, "14 cm", "5½ in"),  # 5.51
        (254, "25 cm", "10 in"),
        (600, "60 cm", "24 in"),  # 23.62
        (150, "15 cm", "6 in"),  # 5.91
        (1, "1 mm", "¼ in"),  # never "0 in"
    ],
)
def test_lengths(mm, metric, imperial):
    assert measures.length(mm, METRIC).replace("\u00a0", " ") == metric
    assert measures.length(mm, IMPERIAL).replace("\u00a0", " ") == imperial
    assert measures.length(mm, BOTH).replace("\u00a0", " ") == f"{metric} ({imperial})"


def test_yarn_in_yards_and_ounces():
    # 1 yd = 0.9144 m, 1 oz = 28.349523125 g (international agreement of 1959)
    assert measures.yarn_length(125, IMPERIAL) == "137\u00a0yd"
    assert measures.mass(50, IMPERIAL) == "1.8\u00a0oz"
    assert measures.yarn_length(4.14, METRIC) == "4.1\u00a0m"


def test_a_hook_is_always_in_millimetres():
    assert measures.tool(2.5, IMPERIAL) == "2.5\u00a0mm"


def test_decimal_comma_and_groups():
    german = measures.Style("metric", ",", {**page_words("en-US"), "number_group": "\u202f"})
    assert measures.length(62, german) == "6,2\u00a0cm"
    assert measures.count(4312, german) == "4\u202f312"
    assert measures.count(4312, METRIC) == "4,312"
