"""Japanese: a small face made of the optional package at first use, kept in the cache, asked for only when a text needs it."""

from __future__ import annotations

import io
from importlib import metadata
from pathlib import Path

import pypdfium2
import pytest
from fontTools.ttLib import TTFont

from booklet.outputs import pdf_large_fonts
from booklet.outputs.pdf import write_pdf
from booklet.outputs.pdf_coverage import covered
from booklet.outputs.pdf_fonts import MissingGlyphs, faces, faces_for
from booklet.outputs.pdf_large_fonts import cache_folder, prepare

TEXT = "細編み6目、わの作り目"


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "a cache"))
    return cache_folder()


@pytest.fixture
def without_package(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> metadata.Distribution:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(pdf_large_fonts.metadata, "distribution", missing)


def test_japanese_is_printed_and_can_be_copied_out(cache: Path) -> None:
    html = f'<html lang="ja"><head><title>T</title></head><body><p>{TEXT}</p><p><b>太字</b></p></body></html>'
    made = write_pdf(html, {})
    text = pypdfium2.PdfDocument(made.data)[0].get_textpage().get_text_range()
    assert TEXT in text
    assert "太字" in text
    assert len(list(cache.glob("NotoSansJP-*.ttf"))) == 2
    assert write_pdf(html, {}).data == made.data  # the second time from the cache


def test_a_made_face_is_static_small_and_has_what_was_asked_for(cache: Path) -> None:
    made = prepare(TEXT)
    assert [(one.face.family, one.face.weight) for one in made] == [("Noto Sans JP", 400), ("Noto Sans JP", 700)]
    for one in made:
        font = TTFont(io.BytesIO(one.data))
        assert "glyf" in font and "fvar" not in font and "gvar" not in font
        assert set(TEXT) | {" ", "a", "0"} <= {chr(code) for code in covered(one.data)}
        assert len(one.data) < 60_000
    assert made[0].data != made[1].data


def test_the_same_text_gives_the_same_bytes_without_the_cache(cache: Path) -> None:
    first = prepare(TEXT)
    for path in cache.iterdir():
        path.unlink()
    assert prepare(TEXT) == first


def test_nothing_is_made_for_text_that_our_own_faces_have(without_package: None, cache: Path) -> None:
    assert faces_for("<p>Häkeln, вязание, πλέξη ☐ ★ 3 × ½</p>", {}) == ()
    assert not cache.exists()


def test_without_the_package_the_signs_and_the_command_are_named(without_package: None) -> None:
    with pytest.raises(MissingGlyphs) as caught:
        faces_for("<p>編 and み</p>", {})
    assert caught.value.characters == ("み", "編")
    assert caught.value.extra == "ja"
    assert 'pip install "pattern-booklet[ja]"' in str(caught.value)


def test_the_package_is_not_offered_for_what_it_cannot_print(without_package: None) -> None:
    with pytest.raises(MissingGlyphs) as caught:
        faces_for("<p>\N{MUSICAL SYMBOL G CLEF}</p>", {})
    assert caught.value.extra == ""


def test_of_a_mixed_text_only_the_signs_that_nobody_has_are_named() -> None:
    with pytest.raises(MissingGlyphs) as caught:
        faces_for("<p>編み \N{MUSICAL SYMBOL G CLEF}</p>", {})
    assert caught.value.characters == ("\N{MUSICAL SYMBOL G CLEF}",)
    assert caught.value.extra == ""


def test_a_cache_that_cannot_be_written_is_no_fault(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "a file"))
    assert len(prepare("編")) == 2


def test_the_cache_forgets_its_oldest_faces(monkeypatch: pytest.MonkeyPatch, cache: Path) -> None:
    monkeypatch.setattr(pdf_large_fonts, "KEPT", 2)
    prepare("編")
    prepare("目")
    assert len(list(cache.iterdir())) == 2


def test_every_face_made_on_demand_names_the_extra_that_brings_it() -> None:
    on_demand = [face for face in faces() if not face.file]
    assert on_demand
    extras = set(metadata.metadata("pattern-booklet").get_all("Provides-Extra"))
    assert {face.extra for face in on_demand} <= extras
    for face in on_demand:
        name, version = face.package.split()
        assert any(line.startswith(f"{name}=={version}") for line in metadata.requires("pattern-booklet"))
