"""Prescribed texts, letter by letter, and what must never be printed."""

import re

import pytest

from booklet.tables import safety
from booklet.tables.reader import rows

# Outside check: 15 U.S.C. 1278 and 16 CFR 1500.19(b), as reprinted in label guides; SOR/2011-17 s. 4.
WHOLE = {
    ("US-SP", "en"): "WARNING: CHOKING HAZARD—Small parts. Not for children under 3 yrs.",
    ("US-SB-IS", "en"): "WARNING: CHOKING HAZARD—This toy is a small ball. Not for children under 3 yrs.",
    ("US-SB-HAS", "en"): "WARNING: CHOKING HAZARD—Toy contains a small ball. Not for children under 3 yrs.",
    ("US-MB-IS", "en"): "WARNING: CHOKING HAZARD—This toy is a marble. Not for children under 3 yrs.",
    ("US-MB-HAS", "en"): "WARNING: CHOKING HAZARD—Toy contains a marble. Not for children under 3 yrs.",
    ("US-BL", "en"): "WARNING: CHOKING HAZARD—Children under 8 yrs. can choke or suffocate on uninflated or broken balloons. "
    "Adult supervision required. Keep uninflated balloons from children. Discard broken balloons at once.",
    ("EU-SP", "en"): "Warning. Not suitable for children under 36 months. Small parts. Choking hazard.",
    ("EU-CORD", "en"): "Warning. Not suitable for children under 36 months. Long cord. Strangulation hazard.",
    ("EU-LONG", "en"): "Warning. Long cord. Strangulation hazard.",
    ("EU-SB", "en"): "Warning. Not suitable for children under 36 months. Small ball. Choking hazard.",
    ("CA-BAG", "en"): "PLASTIC BAGS CAN BE DANGEROUS. TO AVOID DANGER OF SUFFOCATION, KEEP THIS BAG AWAY FROM BABIES AND CHILDREN.",
    ("CA-BAG", "fr"): "LES SACS DE PLASTIQUE PEUVENT ÊTRE DANGEREUX. POUR ÉVITER LE DANGER DE SUFFOCATION, NE LAISSEZ PAS CE SAC "
    "À LA PORTÉE DES BÉBÉS NI DES ENFANTS.",
}
# Outside check: national texts of Directive 2009/48/EC Annex V (word, sentence, whether both were seen in an official text).
NATIONAL = {
    "de": ("Achtung", "Nicht für Kinder unter 36 Monaten geeignet", True),
    "fr": ("Attention", "Ne convient pas aux enfants de moins de 36 mois", True),
    "es": ("Advertencia", "No conviene para niños menores de 36 meses", True),
    "it": ("Avvertenza", "Non adatto a bambini di età inferiore a 36 mesi", True),
    "nl": ("Waarschuwing", "Niet geschikt voor kinderen jonger dan 36 maanden", False),
    "da": ("Advarsel", "Ikke egnet til børn under 36 måneder", False),
    "sv": ("Varning", "Inte lämplig för barn under 36 månader", False),
    "pt": ("Atenção", "Contra-indicado para crianças com menos de 36 meses", False),
    "pl": ("Ostrzeżenie", "Nieodpowiednie dla dzieci w wieku poniżej 36 miesięcy", False),
    "fi": ("Varoitus", "Ei sovellu alle 36 kuukauden ikäisille lapsille", False),
}


@pytest.mark.parametrize(("code", "language"), WHOLE)
def test_whole_texts(code, language):
    assert safety.wording(code, language).text == WHOLE[code, language]


@pytest.mark.parametrize("language", NATIONAL)
def test_national_texts(language):
    word, sentence, official = NATIONAL[language]
    text = safety.wording("EU-SP", language).text
    assert text.startswith(f"{word}. {sentence}. ")
    states = {row.cells["code"]: row.cells["verified"] for row in rows("safety/wordings.tsv") if row.cells["language"] == language}
    assert (states["EU-SP.word"] == states["EU-SP.sentence"] == "ok") == official


def test_a_word_alone_is_no_text():
    assert safety.wording("EU-SP", "lt") is None


def test_several_languages_on_one_panel():
    found = dict(safety.panel("EU-SP", ("en", "de", "fr", "nl", "lt")))
    assert found["de"].text.startswith("Achtung. ")
    assert found["nl"].verified != "ok"
    assert found["lt"] is None


def test_nothing_promises_anything():
    """No sentence says safe, tested or compliant, and none names a mark; the instruction to have it tested is not one."""
    for file in ("safety/notes.tsv", "safety/wordings.tsv"):
        for row in rows(file):
            text = row.cells["text"].replace("has it tested", "").replace("NE LAISSEZ PAS CE SAC", "")  # French for "this"
            assert not re.search(r"\b(safe|safely|safest|tested|compliant|certified|approved|CE|UKCA)\b", text), row
