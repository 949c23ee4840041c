"""The four ways of printing, on a small booklet: boxes, inks, claims, bytes; looked at by programs of others."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pytest

from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.outputs.pdf_boxes import page_boxes
from booklet.press.finish import finish
from booklet.press.gather import gather
from booklet.press.impose import impose, source_of
from booklet.press.inks import inks, profile
from booklet.press.judge import judge
from booklet.press.sheets import saddle
from booklet.press.stamp import Stamper
from tests.built import built

VALIDATOR = Path(sys.prefix) / "validator"
JARS = "jaxb-api jaxb-runtime jaxb-core jaxb-impl istack-commons-runtime txw2 javax.activation".split()


def needs(program: str) -> None:
    if shutil.which(program) is None:
        pytest.skip(f"{program} IS NOT HERE: run .ci/validator.sh; the press file was not looked at by it")


@pytest.fixture(scope="module", autouse=True)
def dated() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SOURCE_DATE_EPOCH", "1767225600")
        yield


def home(name: str, paper: str, tag: str = "en-US") -> bytes:
    from booklet.tables.language import load

    # The same editions as in tests of other folders, so that they are made once.
    units = "both" if tag == "en-US" else load(tag).settings["units"]
    return built(f"{name}/{name}", Edition((tag,), load(tag).terms, units, layout=paper)).data


@pytest.fixture(scope="module")
def a5() -> bytes:
    return home("acorn", "a5")


@pytest.fixture(scope="module")
def letter() -> bytes:
    return home("acorn", "letter")


@pytest.fixture(scope="module")
def press(a5: bytes) -> bytes:
    made = finish(a5, "press")
    assert made.against == ()
    return made.data


def test_home_is_what_was_built(a5: bytes) -> None:
    assert finish(a5, "home").data == a5


def test_boxes_of_a_press_file_to_a_hundredth_of_a_millimetre(press: bytes, letter: bytes) -> None:
    # ISO 216: A5 is 148 x 210. Bleed 3 mm and 1/8 inch, marks 7 mm: common practice, no source.
    for page in page_boxes(press):
        assert page.trim == (0, 0, 148, 210)
        assert page.bleed == (-3, -3, 151, 213)
        assert page.media == (-10, -10, 158, 220)
    for page in page_boxes(finish(letter, "press").data):
        assert page.trim == pytest.approx((0, 0, 215.9, 279.4), abs=0.01)
        assert page.bleed == pytest.approx((-3.175, -3.175, 219.075, 282.575), abs=0.01)


def test_a_screen_file_has_no_bleed_but_links_and_bookmarks(a5: bytes) -> None:
    made = finish(a5, "screen").data
    facts, before = gather(made), gather(a5)
    assert all(page.media == page.bleed == page.trim for page in page_boxes(made))
    assert facts.links == before.links
    assert facts.outlines
    assert facts.tagged
    assert len(made) < len(a5)
    assert max(image.dpi for page in facts.pages for image in page.images if image.space == "DeviceRGB") < 160
    assert [one for one in judge(facts, "screen") if one.severity != "note"] == []


def test_a_press_file_holds_inks_only_and_text_on_k_alone(press: bytes) -> None:
    facts = gather(press)
    assert {space for page in facts.pages for space in page.spaces} <= {"DeviceCMYK", "DeviceGray", "Separation/All"}
    assert not any(page.rich_text for page in facts.pages)
    assert 0 < max(page.ink for page in facts.pages) <= 300.5
    assert facts.links == 0
    assert facts.fonts_missing == ()
    assert [one for one in judge(facts, "press") if one.severity == "error"] == []


def test_pdf_x_is_claimed_with_all_that_belongs_to_it_and_not_where_a_check_fails(a5: bytes, press: bytes) -> None:
    with pikepdf.open(io.BytesIO(press)) as document:
        # ISO 15930-7:2010: version 1.6, output intent, Trapped, dates, identifiers in the metadata, uncompressed.
        assert document.pdf_version == "1.6"
        [intent] = document.Root.OutputIntents
        assert str(intent.S) == "/GTS_PDFX"
        assert intent.DestOutputProfile.read_bytes()[12:20] == b"prtrCMYK"
        assert str(document.docinfo["/Trapped"]) == "/False"
        assert "/ID" in document.trailer
        text = document.Root.Metadata.read_raw_bytes().decode()
        for word in ("PDF/X-4", "DocumentID", "VersionID", "RenditionClass", "CreateDate", "ModifyDate", "MetadataDate"):
            assert word in text, word
    with pikepdf.open(io.BytesIO(a5)) as document:
        for page in document.pages:
            page.obj.TrimBox = page.obj.BleedBox = page.obj.MediaBox
        out = io.BytesIO()
        document.save(out)
    faulty = finish(out.getvalue(), "press")
    assert "bleed-missing" in {one.code for one in faulty.against}
    with pikepdf.open(io.BytesIO(faulty.data)) as document:
        assert "PDF/X-4" not in document.Root.Metadata.read_bytes().decode()


@pytest.mark.parametrize("printing", ["screen", "press", "archive"])
def test_the_same_bytes_each_time(a5: bytes, printing: str) -> None:
    assert finish(a5, printing).data == finish(a5, printing).data


def test_greys_are_k_alone_and_no_colour_takes_more_ink_than_the_profile_allows() -> None:
    assert inks(0, 0, 0) == inks(0.067, 0.067, 0.067) == (0, 0, 0, 1)
    assert inks(1, 1, 1) == (0, 0, 0, 0)
    assert inks(0.5, 0.5, 0.5)[:3] == (0, 0, 0)
    steps = [number / 5 for number in range(6)]
    assert max(sum(inks(r, g, b)) for r in steps for g in steps for b in steps) <= 3.01
    # A pure red of the screen is magenta and yellow on paper, a blue cyan and magenta: common practice, no source.
    cyan, magenta, yellow, _ = inks(1, 0, 0)
    assert min(magenta, yellow) > 0.9 > 0.2 > cyan
    assert profile()[36:40] == b"acsp"  # ICC.1: the signature of every profile


def leaflet_for_press(name: str) -> bytes:
    return finish(home("pebble", name), "press", layout(name).folds).data


def test_qpdf_finds_nothing(a5: bytes, press: bytes, tmp_path: Path) -> None:
    needs("qpdf")
    source, line = source_of(a5), "Licensed to Åse Müller · order A-17"
    files = {
        "press": press,
        "screen": finish(a5, "screen").data,
        "archive": finish(a5, "archive").data,
        "leaflet": home("pebble", "leaflet-dl"),
        "leaflet-press": leaflet_for_press("leaflet-a6"),
        "sheets": impose(a5, saddle(source.pages, source.trim, (297, 210), 0.6, "short"), source.bleed),
        "stamped": Stamper(a5, [line]).copy(line, "A-17"),
    }
    for name, data in files.items():
        path = tmp_path / f"{name}.pdf"
        path.write_bytes(data)
        done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, timeout=60)
        assert done.returncode == 0, done.stdout + done.stderr


def apart(data: bytes, number: int, theirs: Path) -> float:
    """How far a page lies from another program's picture of it, 0 to 255; slightly blurred, since both smooth edges in their own way."""
    import pypdfium2
    from PIL import Image, ImageChops, ImageFilter, ImageStat

    drawn = Image.open(theirs).convert("L")
    ours = pypdfium2.PdfDocument(data)[number - 1].render(scale=1).to_pil().convert("L").resize(drawn.size)
    blurred = [image.filter(ImageFilter.GaussianBlur(2)) for image in (drawn, ours)]
    return ImageStat.Stat(ImageChops.difference(*blurred)).mean[0]


@pytest.mark.parametrize("name", ["leaflet-dl", "leaflet-a6", "card-a6"])
def test_ghostscript_draws_cards_and_leaflets_as_pdfium_does(name: str, tmp_path: Path) -> None:
    needs("gs")
    for printing, most in (("home", 3.5), ("press", 6.0)):
        data = home("pebble", name) if printing == "home" else leaflet_for_press(name)
        path = tmp_path / f"{printing}.pdf"
        path.write_bytes(data)
        pictures = [tmp_path / f"{printing}-{number}.png" for number in (1, 2)]
        how = ["-dTextAlphaBits=4", "-dGraphicsAlphaBits=4", "-r72", "-sDEVICE=png16m", "-o", tmp_path / f"{printing}-%d.png"]
        whole = ["-dUseCropBox"] if printing == "home" else []  # viewers open on the trimmed page
        subprocess.run(["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", *whole, *how, path], check=True, timeout=120)
        assert [apart(data, number, picture) < most for number, picture in enumerate(pictures, 1)] == [True, True]
        assert apart(data, 1, pictures[1]) > most  # of the other side it is not


def test_ghostscript_draws_what_pdfium_draws_and_separates_text_to_k(press: bytes, tmp_path: Path) -> None:
    needs("gs")
    from PIL import Image, ImageStat

    path = tmp_path / "press.pdf"
    path.write_bytes(press)
    common = ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-dFirstPage=1", "-dLastPage=3", "-r72"]
    subprocess.run([*common, "-sDEVICE=png16m", "-o", tmp_path / "gs-%d.png", path], check=True, timeout=120)
    subprocess.run([*common, "-sDEVICE=tiffsep", "-o", tmp_path / "sep-%d.tif", path], check=True, timeout=120)
    for number in (1, 2, 3):
        assert apart(press, number, tmp_path / f"gs-{number}.png") < 6  # of 255: they simulate inks differently
    # Page 3 holds words and no picture; ink anywhere but on K can only be the accent of its labels.
    plates = {name: Image.open(tmp_path / f"sep-3({name}).tif").convert("L") for name in ("Cyan", "Magenta", "Yellow", "Black")}
    covered = {name: 255 - ImageStat.Stat(plate).mean[0] for name, plate in plates.items()}
    assert covered["Black"] > 3 * max(covered["Cyan"], covered["Magenta"], covered["Yellow"])
    corner = [plate.crop((0, 0, 30, 30)).getextrema()[0] for plate in plates.values()]
    assert max(corner) < 200  # crop marks stand on every plate
    summed = [
        sum(255 - value for value in values) / 2.55
        for values in zip(*(Image.open(tmp_path / f"sep-1({name}).tif").convert("L").tobytes() for name in plates), strict=True)
    ]
    # Crop marks are 400 %; of all else the most is what the profile allows.
    assert sorted(summed)[int(len(summed) * 0.98)] <= 302


def validated(files: list[tuple[str, Path]]) -> str:
    if not (VALIDATOR / "Validate.class").is_file() or shutil.which("java") is None:
        pytest.skip("THE VALIDATOR veraPDF IS NOT HERE: run .ci/validator.sh; PDF/UA and PDF/A were not validated")
    path = os.pathsep.join(map(str, [VALIDATOR, VALIDATOR / "engine.jar", *(f"/usr/share/java/{jar}.jar" for jar in JARS)]))
    words = [word for flavour, file in files for word in (flavour, str(file))]
    done = subprocess.run(["java", "-cp", path, "Validate", *words], capture_output=True, text=True, timeout=300)
    return done.stdout if done.stdout.count("\n") >= len(files) else done.stdout + done.stderr


class Files:
    """Files for the validator, each with what it should hold."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.listed = folder, list[tuple[str, Path]]()

    def add(self, flavour: str, name: str, data: bytes) -> None:
        path = self.folder / f"{name}.pdf"
        path.write_bytes(data)
        self.listed.append((flavour, path))

    def hold(self) -> None:
        said = validated(self.listed)
        assert said.count("holds ") == len(self.listed), said[:3000]


def test_verapdf_finds_every_layout_pdf_ua_and_an_archive_pdf_a(a5: bytes, press: bytes, tmp_path: Path) -> None:
    from booklet.editions.discover import papers

    files = Files(tmp_path)
    archive = finish(a5, "archive").data
    files.add("2a", "archive", archive)
    files.add("ua1", "archive", archive)
    files.add("ua1", "press", press)
    files.add("ua1", "screen", finish(a5, "screen").data)
    line = "Licensed to Åse Müller · order A-17"
    files.add("ua1", "stamped", Stamper(a5, [line]).copy(line, "A-17"))
    files.add("2a", "stamped-archive", Stamper(archive, [line]).copy(line, "A-17"))
    for name in papers():
        files.add("ua1", name, home("acorn", name))
    files.hold()


def test_verapdf_finds_every_language_pdf_ua(tmp_path: Path) -> None:
    """Each further language once, the layouts in turn: every pair would take minutes."""
    from booklet.editions.discover import papers
    from booklet.tables.language import printable

    files = Files(tmp_path)
    for number, tag in enumerate(tag for tag in printable() if tag != "en-US"):
        name = papers()[number % len(papers())]
        files.add("ua1", f"{tag}.{name}", home("pebble", name, tag))
    # Leaflets, whose pages are put together from panels, in the scripts that differ most, and one that holds all of them.
    for name, tag in (("leaflet-dl", "he"), ("leaflet-a6", "ja"), ("leaflet-a6", "de"), ("card-a6", "he"), ("card-dl", "ja")):
        files.add("ua1", f"{tag}.{name}", home("pebble", name, tag))
    several = Edition(("en-US", "de", "ja", "he"), "US", units="both", layout="leaflet-dl", rounds_in="all")
    files.add("ua1", "several", built("pebble/pebble", several).data)
    files.hold()


def test_the_validator_can_fail(a5: bytes, tmp_path: Path) -> None:
    with pikepdf.open(io.BytesIO(a5)) as document:
        del document.Root.Lang
        document.save(tmp_path / "a.pdf")
    assert "broken ua1" in validated([("ua1", tmp_path / "a.pdf")])
