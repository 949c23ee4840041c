"""Cautions: by market, age, kind of piece and choice. Rules as in 16 CFR 1501, 16 CFR 1500.19, Directive 2009/48/EC Annex V."""

import pytest
from handmade import graph, notion, part, pattern, said, section

from booklet.figures.safety import assess

BALL = part([6, 12, 12, 6])
EYES = notion("safety eyes", 2, 12.0, attached="locked")


def safety(*notions, markets=("US", "EU"), steps=(), choices=(), taken=(), **fields):
    book = pattern(section("Ball", steps), notions=notions, markets=markets, choices=choices, **fields)
    return assess(book, graph(BALL, choices=taken))


def notes(found, market=None):
    return [(note.code, note.severity, note.wording) for note in found.notes if market is None or note.market == market]


def test_cuddly_toy_with_safety_eyes_in_the_eu():
    # 12 mm eyes, declared 3+: the scope note of EN 71-1 counts it as a toy for under 36 months; printing 3+ is forbidden.
    for market in ("EU", "UK"):
        found = safety(EYES, markets=(market,), made_as="cuddly toy", toy_age_months=36)
        assert notes(found) == [("counts-as-under-three", "error", None)]
    assert "EU-SP" not in [note.wording for note in found.notes]  # the 36-month text contradicts it and is not printed


def test_cuddly_toy_with_safety_eyes_in_the_us():
    # May be judged as under 3; the US text is for small parts as sold: nothing is loose here.
    found = safety(EYES, markets=("US",), made_as="cuddly toy", toy_age_months=36)
    assert notes(found) == [("may-count-as-under-three", "warning", None), ("small-parts", "note", None)]


def test_toy_with_locked_eyes_from_three_years():
    found = safety(EYES, markets=("US", "EU", "UK", "CA"), made_as="toy", toy_age_months=36)
    assert notes(found, "US") == [("small-parts", "note", None)]
    assert notes(found, "EU") == notes(found, "UK") == [("small-parts", "note", "EU-SP")]
    assert notes(found, "CA") == [("small-parts", "note", None)]
    assert found.age == "3+"


@pytest.mark.parametrize(("months", "wording"), [(36, "US-SP"), (71, "US-SP"), (72, None), (None, "US-SP")])
def test_loose_small_part_in_the_us(months, wording):
    # 16 CFR 1500.19: toys for at least 3 and less than 6 years.
    found = safety(notion("buttons", 4, 15.0, attached="loose"), markets=("US",), made_as="toy", toy_age_months=months)
    assert notes(found, "US") == [("small-parts", "note", wording)]
    if wording:
        assert found.notes[0].text == "WARNING: CHOKING HAZARD—Small parts. Not for children under 3 yrs."


@pytest.mark.parametrize("market", ["US", "EU", "UK", "CA", "AU", "NZ"])
def test_small_parts_under_three(market):
    found = safety(EYES, markets=(market,), made_as="toy", toy_age_months=12)
    assert notes(found) == [("small-parts-under-three", "error", None)]
    assert found.age == "3+"  # never an age below what the parts ask for


def test_no_market_means_all():
    assert safety(EYES, markets=(), made_as="toy").markets == ("US", "EU", "UK", "CA", "AU", "NZ")


def test_stuffed_piece_is_a_cuddly_toy_by_default():
    assert safety(EYES, notion("stuffing")).made_as == "cuddly toy"
    assert safety(EYES, steps=(said("stuff", amount="firm"),)).made_as == "cuddly toy"
    assert safety(EYES, steps=(said("stuff", amount="none"),)).made_as == ""


def test_household_piece():
    assert notes(safety(notion("yarn needle"), made_as="household")) == []
    assert notes(safety(notion("buttons", 3, 12.0), made_as="decoration")) == [("small-parts-household", "note", None)]


def test_no_data_is_no_all_clear():
    assert notes(safety(made_as="toy", toy_age_months=0)) == [("no-safety-data", "warning", None)]
    found = safety(notion("embroidery thread"), notion("stuffing"), made_as="toy", toy_age_months=0)
    assert notes(found) == [("no-small-parts-listed", "note", None)]


def test_choices_change_the_findings():
    choices = (("eyes", ("embroidered", "safety")),)
    eyes = notion("safety eyes", 2, 8.0, only_for=(("eyes", "safety"),))
    for taken, small in (("embroidered", False), ("safety", True)):
        found = safety(eyes, made_as="toy", toy_age_months=36, choices=choices, taken=(("eyes", taken),))
        assert bool(found.components) == small
    assert not safety(eyes, made_as="toy", choices=choices).components  # the first is the default


def test_eyes_that_another_choice_places_are_not_used():
    choices = (("eyes", ("embroidered", "safety")),)
    steps = (said("place.between", choices=(("eyes", "safety"),), what="the safety eyes", a=5, b=6),)
    plain = notion("safety eyes", 2, 8.0)
    assert not safety(plain, steps=steps, choices=choices, made_as="toy").components
    assert safety(plain, steps=steps, choices=choices, made_as="toy", taken=(("eyes", "safety"),)).components
    assert safety(plain, choices=choices, made_as="toy").components  # nobody says where: they are used


def test_large_eye_has_a_small_washer():
    # Cap of 40 mm, washer of 24 x 3 mm.
    found = safety(notion("safety eyes", 2, 40.0), made_as="toy").components[0]
    assert (found.small_part, found.basis) == (True, "washer")


def test_large_knob_and_unknown_things():
    knob = safety(notion("knob", 1, None, shape="sphere", dimensions=(("diameter", 60.0),)), made_as="toy").components[0]
    assert (knob.small_part, knob.verdict) == (False, "clear")
    found = safety(notion("zibbits", 2, 50.0), made_as="toy", toy_age_months=36)
    assert (found.components[0].verdict, found.components[0].small_part) == ("unknown", True)
    assert "component-unknown" in [note.code for note in found.notes]
    assert not safety(notion("zibbits"), made_as="toy").components


def test_sizes_that_are_not_given_count_as_small():
    assert safety(notion("buttons", 3), made_as="toy").components[0].verdict == "unknown"
    assert safety(notion("buttons", 3), made_as="toy").components[0].small_part


def test_tools_and_threads_do_not_come_off():
    found = safety(notion("yarn needle"), notion("stitch markers", 4, 20.0), notion("black embroidery thread", None, 500.0), made_as="toy")
    assert found.components == ()


@pytest.mark.parametrize(
    ("name", "code", "severity"),
    [("magnet", "magnet-in-toy", "error"), ("button cell", "battery-in-toy", "warning"), ("pipe cleaners", "sharp-in-toy", "warning"),
     ("glass beads", "glass-in-toy", "note")],
)  # fmt: skip
def test_other_hazards(name, code, severity):
    found = safety(notion(name, 1, 8.0), made_as="toy", toy_age_months=36)
    assert (code, severity, None) in notes(found)
    if code in ("glass-in-toy", "sharp-in-toy"):
        assert found.age == "8+"


def test_thirty_six_months_exactly():
    # Not "under 36 months" in the US and the EU; the Australian and New Zealand standards go up to and including 36 months.
    assert notes(safety(EYES, markets=("US",), made_as="toy", toy_age_months=36)) == [("small-parts", "note", None)]
    assert notes(safety(EYES, markets=("AU",), made_as="toy", toy_age_months=36)) == [
        ("small-parts-at-three", "warning", None),
        ("small-parts", "note", None),
    ]
    assert notes(safety(EYES, markets=("NZ",), made_as="toy", toy_age_months=48)) == [("small-parts", "note", None)]


def test_declared_age_is_kept_where_it_is_higher():
    assert safety(EYES, made_as="toy", toy_age_months=96).age == "8+"
    assert safety(notion("stuffing"), made_as="toy", toy_age_months=0).age == "0+"
    assert safety(notion("stuffing"), made_as="toy").age is None
