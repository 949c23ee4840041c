"""The faces of fonts/: they can be made again byte for byte, they are what their line says, and they have what we print."""

from __future__ import annotations

import importlib.util
import os
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest
from fontTools.ttLib import TTFont

from booklet.outputs.pdf_coverage import NotAFont, covered
from booklet.outputs.pdf_fonts import FontTableFault, face_bytes, faces, known_characters

FONTS = Path(__file__).resolve().parents[2] / "fonts"
SHIPPED = [face for face in faces() if face.file]

# Making all takes most of a minute; by default one of a variable font, one of a static font and the drawn signs are made again.
# ALL_FONTS=1 makes all of them.
SOME = {"literata/LiterataDisplay-SemiBold.ttf", "alegreya-sans/AlegreyaSans-Bold.ttf", "signs/BookletSigns-Regular.ttf"}
MADE_AGAIN = [face for face in SHIPPED if face.file in SOME or os.environ.get("ALL_FONTS") == "1"]


def load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"fonts_{name}", FONTS / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("face", MADE_AGAIN, ids=lambda face: face.file)
def test_a_face_is_made_again_byte_for_byte(face) -> None:
    make = load("make")
    (line,) = [one for one in make.faces() if one.file == face.file]
    data = make.signs() if line.source == "signs.py" else make.make_face(line)
    assert data == face_bytes(face.file)


@pytest.mark.parametrize("face", SHIPPED, ids=lambda face: face.file)
def test_a_face_is_what_its_line_says(face) -> None:
    font = TTFont(FONTS / face.file)
    assert "glyf" in font  # TrueType outlines
    assert not {"fvar", "gvar", "CFF ", "STAT"} & set(font.keys())  # static
    assert font["OS/2"].usWeightClass == face.weight
    assert font["OS/2"].fsType == 0  # may be embedded without limit (OpenType 1.9, OS/2)
    assert bool(font["OS/2"].fsSelection & 1) == (face.style == "italic")
    assert font["name"].getBestFamilyName() == face.family
    assert font["post"].italicAngle == 0 or face.style == "italic"


@pytest.mark.parametrize("face", SHIPPED, ids=lambda face: face.file)
def test_every_face_has_a_licence_beside_it_that_reserves_no_name(face) -> None:
    text = (FONTS / face.file).parent.joinpath("OFL.txt").read_text("utf-8")
    assert "SIL Open Font License, Version 1.1" in text
    assert "with Reserved Font Name" not in text


@pytest.mark.parametrize("face", [f for f in SHIPPED if f.package != "own"], ids=lambda face: face.file)
def test_a_text_face_has_the_scripts_and_features_that_layouts_use(face) -> None:
    characters = {chr(code) for code in covered(face_bytes(face.file))}
    wanted = "AZaz09 äöüßéèêçñåøæœłžčșțğışĳ ΑΩαωάώ АЯаяёїў ấợ «»„“”‘’–—…·•° ½¼¾⅓⅛ ×≈±≤≥ →←↑↓ □■△▲◇◆▼ €£ ′″"
    assert not set(wanted) - characters
    features = {record.FeatureTag for record in TTFont(FONTS / face.file)["GSUB"].table.FeatureList.FeatureRecord}
    assert {"liga", "lnum", "onum", "tnum", "pnum", "smcp", "frac"} <= features
    kerning = {record.FeatureTag for record in TTFont(FONTS / face.file)["GPOS"].table.FeatureList.FeatureRecord}
    assert "kern" in kerning


def test_the_signs_of_the_readme_are_there() -> None:
    row = re.search(r"`Booklet Signs` \|[^|]*\|([^,]*),", (FONTS / "README.md").read_text("utf-8"))[1]
    signs = {sign for sign in row if not sign.isspace()}
    assert len(signs) == 18
    assert {ord(sign) for sign in signs} <= known_characters()


@pytest.mark.parametrize("face", SHIPPED, ids=lambda face: face.file)
def test_our_reading_of_a_font_agrees_with_the_font_library(face) -> None:
    assert covered(face_bytes(face.file)) == frozenset(TTFont(FONTS / face.file).getBestCmap())


@pytest.mark.parametrize("data", [b"", b"no font", face_bytes(SHIPPED[0].file)[:300], b"\0" * 64])
def test_what_is_no_font_is_said_to_be_none(data: bytes) -> None:
    with pytest.raises(NotAFont):
        covered(data)


def test_the_fonts_stay_a_modest_download() -> None:
    assert sum(len(face_bytes(face.file)) for face in SHIPPED) < 2_500_000


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("a.ttf\tA\tbold\tnormal\town\t\t\t", "not a face"),
        ("a.ttf\tA\t400\tslanted\town\t\t\t", "not a face"),
        ("a.ttf\tA\t400\tnormal\town\t\t\t", "there is no file fonts/a.ttf"),
        ("a.ttf", "not a face"),
    ],
)
def test_a_wrong_line_of_the_table_is_reported_with_its_number(tmp_path, monkeypatch, line: str, what: str) -> None:
    from booklet.outputs import pdf_fonts

    table = (FONTS / "faces.tsv").read_text("utf-8").splitlines()[:3]
    (tmp_path / "faces.tsv").write_text("\n".join([*table, line]), "utf-8")
    monkeypatch.setattr(pdf_fonts, "folder", lambda name: tmp_path)
    faces.cache_clear()
    try:
        with pytest.raises(FontTableFault, match=f"faces.tsv:4: {what}"):
            faces()
    finally:
        faces.cache_clear()
