"""The tables of shared/sizes and shared/safety."""

import re

import pytest

from booklet.figures.cylinder import MEASURES
from booklet.tables import markets, safety, sizes
from booklet.tables.reader import rows


# Outside check: Craft Yarn Council, Standard Yarn Weight System, as printed in Crochet World, October 2018, p. 64.
@pytest.mark.parametrize(
    ("number", "gauge", "hook"),
    [(1, (21, 32), (2.25, 3.5)), (2, (16, 20), (3.5, 4.5)), (3, (12, 17), (4.5, 5.5)), (4, (11, 14), (5.5, 6.5)),
     (5, (8, 11), (6.5, 9)), (6, (6, 9), (9, 16))],
)  # fmt: skip
def test_yarn_categories(number, gauge, hook):
    weight = sizes.weights()[number]
    assert (weight.gauge, weight.hook_mm) == (gauge, hook)


def test_lace_is_not_checked():
    # Older prints count double crochets there.
    assert sizes.weights()[0].gauge is None
    assert set(sizes.weights()) == set(range(8))


# Outside check: two yarn shops' conversion charts agree on these (Tangled Yarn; matifs.com).
@pytest.mark.parametrize(("mm", "us"), [(2.25, "B-1"), (3.5, "E-4"), (4, "G-6"), (5, "H-8"), (5.5, "I-9"), (6.5, "K-10½"), (8, "L-11")])
def test_hooks(mm, us):
    assert next(hook.us for hook in sizes.hooks() if hook.mm == mm) == us


def test_hooks_go_up():
    found = [hook.mm for hook in sizes.hooks()]
    assert found == sorted(set(found))


# Outside check: texts of 15 U.S.C. 1278 and 16 CFR 1500.19; of Directive 2009/48/EC Annex V in national law.
@pytest.mark.parametrize(
    ("code", "language", "text"),
    [
        ("US-SP", "en", "WARNING: CHOKING HAZARD—Small parts. Not for children under 3 yrs."),
        ("US-SB-IS", "en", "WARNING: CHOKING HAZARD—This toy is a small ball. Not for children under 3 yrs."),
        ("EU-SP", "en", "Warning. Not suitable for children under 36 months. Small parts. Choking hazard."),
        ("EU-SP", "de-DE", "Achtung. Nicht für Kinder unter 36 Monaten geeignet. Kleine Teile. Erstickungsgefahr."),
        ("EU-SP", "fr", "Attention. Ne convient pas aux enfants de moins de 36 mois. Petits éléments. Danger d'étouffement."),
    ],
)
def test_prescribed_texts(code, language, text):
    assert safety.wording(code, language).text == text


def test_a_text_is_as_well_verified_as_its_weakest_part():
    assert safety.wording("EU-SP", "en").verified == "ok"
    assert safety.wording("EU-SP", "de").verified == "seen"
    assert safety.wording("EU-SP", "fr").verified == "memory"
    assert safety.wording("EU-SP", "xx") is None


def test_every_wording_names_source_and_day():
    for row in rows("safety/wordings.tsv"):
        assert row.cells["source"] and re.fullmatch(r"\d{4}-\d\d-\d\d|not re-checked", row.cells["checked_on"])
        assert set(row.cells["market"].split()) <= set(markets.codes())


def test_own_sentences_promise_nothing():
    for row in rows("safety/notes.tsv"):
        assert not re.search(r"\b(safe|safely|verified|passed|compliant|CE|UKCA)\b", row.cells["text"])
    assert "laboratory" in safety.note_text("caution")


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("safety eyes", "safety_eye"), ("black safety eyes", "safety_eye"), ("Safety Eye", "safety_eye"), ("buttons", "button"),
        ("wooden beads", "bead"), ("small glass beads", "glass_bead"), ("jingle bell", "bell"), ("stuffing", "stuffing"),
        ("polyester stuffing", "stuffing"), ("yarn needle", "needle"), ("stitch markers", "marker"), ("safety pin", "brooch"),
        ("black embroidery thread", "thread"), ("eyes", "eye"), ("pipe cleaners", "wire"), ("crochet hook", "hook"),
        ("button cell", "battery"),
    ],
)  # fmt: skip
def test_notions_are_recognised(name, kind):
    assert safety.notion_kind(name).kind == kind


def test_what_is_not_known_is_not_guessed():
    assert safety.notion_kind("zibbits") is None
    assert safety.notion_kind("") is None


def test_shapes_have_the_measures_of_the_cylinder():
    for row in rows("safety/notions.tsv"):
        shape, default = row.cells["shape"], row.cells["default"].split()
        if row.cells["role"] == "component" and shape != "unknown":
            assert len(default) == len(MEASURES[shape]), row
