"""What a print shop objects to: each fault planted once, beside the same file without it; hostile files end in a sentence."""

from __future__ import annotations

import contextlib
import importlib.util
import json
import random
import subprocess
import sys
import time
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name

from booklet.press.bounded import facts_of
from booklet.press.facts import Unreadable
from booklet.press.gather import gather
from booklet.press.judge import judge, size_words
from booklet.press.rules import paper_name, rules

_spec = importlib.util.spec_from_file_location("press_made", Path(__file__).with_name("made.py"))
made = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(made)
pdf, saved, MM = made.pdf, made.saved, made.MM

FULL = "0 0 0 1 k -20 -20 900 900 re f"  # runs over every edge
RGB = Dictionary(Type=Name.XObject, Subtype=Name.Image, Width=100, Height=50, ColorSpace=Name.DeviceRGB, BitsPerComponent=8)
CMYK = Dictionary(Type=Name.XObject, Subtype=Name.Image, Width=100, Height=50, ColorSpace=Name.DeviceCMYK, BitsPerComponent=8)


def codes(document: pikepdf.Pdf, purpose: str = "press", **how: object) -> set[str]:
    return {one.code for one in judge(gather(saved(document, **how)), purpose)}


def changed(change: object, **given: object) -> pikepdf.Pdf:
    document = pdf(**given)
    change(document)
    return document


def link(document: pikepdf.Pdf) -> None:
    document.pages[0].Annots = Array([Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=[50, 50, 90, 90])])


def test_a_sound_file_has_nothing_against_it() -> None:
    assert codes(pdf()) == set()


def at(width_mm: float, height_mm: float) -> str:
    return f"q {width_mm * MM} 0 0 {height_mm * MM} 60 300 cm /Im Do Q"


PLANTED = {
    "boxes-differ": lambda: pdf(sizes=[(148, 210), (148, 210), (148, 210), (148.02, 210)]),
    "boxes-nested-wrong": lambda: changed(lambda d: setattr(d.pages[1], "TrimBox", Array([-20, 0, 100, 100]))),
    "box-without-size": lambda: changed(lambda d: setattr(d.pages[1], "TrimBox", Array([0, 0, 0, 0]))),
    "size-has-no-name": lambda: pdf(size=(150, 200)),
    "bleed-missing": lambda: pdf(bleed=2.98),
    "bleed-empty": lambda: pdf("0 0 0 1 k 0 0 419.53 595.28 re f"),
    "words-cut": lambda: pdf("0 0 0 1 k BT /F 12 Tf -4 300 Td (words) Tj ET", embedded=False),
    "words-near-edge": lambda: pdf("0 0 0 1 k BT /F 12 Tf 5 300 Td (words) Tj ET", embedded=False),
    "font-not-embedded": lambda: pdf("0 0 0 1 k BT /F 12 Tf 100 300 Td (words) Tj ET", embedded=False),
    "picture-low": lambda: pdf(at(17.1, 8), picture=CMYK, pixels=bytes(20000)),
    "picture-soft": lambda: pdf(at(12.8, 6.2), picture=CMYK, pixels=bytes(20000)),
    "rgb-in-press": lambda: pdf(at(10, 5), picture=RGB, pixels=bytes(15000)),
    "spot-colour": lambda: changed(
        lambda d: [
            setattr(
                page.Resources, "ColorSpace",
                Dictionary(S=Array([Name.Separation, Name.Gold, Name.DeviceCMYK, Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 0, 1, 0], N=1)])),
            )
            for page in d.pages
        ],
        content="/S cs 1 scn 60 300 200 100 re f",
    ),
    "ink-too-much": lambda: pdf("0.9 0.8 0.7 0.62 k 60 300 200 100 re f"),
    "rich-black-text": lambda: pdf("0.7 0.6 0.5 0.9 k BT /F 12 Tf 100 300 Td (words) Tj ET", embedded=False),
    "hairline": lambda: pdf("0 0 0 1 K .2 w 60 300 m 200 300 l S"),
    "page-count": lambda: pdf(pages=6),
    "blank-page": lambda: pdf(""),
    "link-in-print": lambda: changed(link),
    "output-intent-missing": lambda: changed(lambda d: d.Root.__delitem__("/OutputIntents")),
    "script": lambda: changed(lambda d: setattr(d.Root, "OpenAction", Dictionary(S=Name.JavaScript, JS="1"))),
    "date-missing": lambda: changed(lambda d: d.docinfo.__delitem__("/ModDate")),
    "attachment": lambda: changed(lambda d: d.attachments.__setitem__("a.txt", b"words")),
    "transparent": lambda: changed(
        lambda d: [setattr(p.Resources, "ExtGState", Dictionary(G=Dictionary(ca=0.5))) for p in d.pages], content="/G gs 60 300 200 100 re f"
    ),
    "rotated": lambda: changed(lambda d: setattr(d.pages[0], "Rotate", 90)),
    "not-whole": lambda: pdf("0 0 0 1 k (a b c) w 60 300 m 200 300 l S"),
}
OTHER_USES = {
    "not-tagged": lambda: changed(lambda d: d.Root.__delitem__("/StructTreeRoot")),
    "title-missing": lambda: changed(lambda d: d.docinfo.__delitem__("/Title")),
    "language-missing": lambda: changed(lambda d: d.Root.__delitem__("/Lang")),
    "bookmarks-missing": lambda: pdf(pages=12),
}


@pytest.mark.parametrize("code", PLANTED)
def test_a_planted_fault_is_found(code: str) -> None:
    assert code in codes(PLANTED[code]())


@pytest.mark.parametrize("code", OTHER_USES)
def test_what_matters_on_a_screen_is_asked_there_only(code: str) -> None:
    document = saved(OTHER_USES[code]())
    assert code in {one.code for one in judge(gather(document), "screen")}
    assert code not in {one.code for one in judge(gather(document), "home")}


def test_every_objection_of_the_table_has_a_file_here() -> None:
    assert set(rules()) == {*PLANTED, *OTHER_USES, "encrypted", "too-many-pages"}


@pytest.mark.parametrize(
    ("document", "code"),
    [
        (lambda: pdf(FULL), "bleed-empty"),
        (lambda: pdf("0 0 0 1 K .25 w 60 300 m 200 300 l S"), "hairline"),
        (lambda: pdf("q .5 0 0 .5 0 0 cm 0 0 0 1 K .5 w 60 300 m 200 300 l S Q"), "hairline"),
        (lambda: pdf("0.9 0.8 0.7 0.6 k 60 300 200 100 re f"), "ink-too-much"),
        (lambda: pdf(at(12.6, 6.3), picture=CMYK, pixels=bytes(20000)), "picture-soft"),
        (lambda: pdf(size=(215.9, 279.4)), "size-has-no-name"),
        (lambda: pdf(pages=2), "page-count"),
        (lambda: pdf("0 0 0 1 k BT /F 12 Tf 9 300 Td (words) Tj ET", embedded=False), "words-near-edge"),
    ],
)
def test_its_neighbour_is_not(document: object, code: str) -> None:
    assert code not in codes(document())


def test_the_matrix_counts_for_lines_and_pictures_inside_forms() -> None:
    document = pdf("q 2 0 0 2 0 0 cm /Fm Do Q", picture=CMYK, pixels=bytes(20000))
    for page in document.pages:
        form = document.make_stream(b"0 0 0 1 K .1 w 1 1 m 9 9 l S q 20 0 0 10 0 0 cm /Im Do Q")
        form.Type, form.Subtype, form.BBox, form.Matrix = Name.XObject, Name.Form, Array([0, 0, 99, 99]), Array([2, 0, 0, 2, 0, 0])
        form.Resources = Dictionary(XObject=Dictionary(Im=page.Resources.XObject.Im))
        page.Resources.XObject.Fm = document.make_indirect(form)
    page = gather(saved(document)).pages[0]
    assert page.thinnest_pt == pytest.approx(0.4)
    assert [(image.width_mm, image.height_mm) for image in page.images] == [(round(80 / MM, 2), round(40 / MM, 2))]


def test_ink_of_pictures_is_read_from_their_pixels() -> None:
    document = pdf(at(8, 4), picture=CMYK, pixels=bytes([204, 204, 204, 204]) * 5000)
    assert gather(saved(document)).pages[0].ink == pytest.approx(320, abs=1)


def test_boxes_are_read_to_a_hundredth_of_a_millimetre() -> None:
    page = gather(saved(pdf(size=(99, 210)))).pages[0]
    assert page.trim == pytest.approx((0, 0, 99, 210), abs=0.005)
    assert page.bleed == pytest.approx((-3, -3, 102, 213), abs=0.005)
    assert size_words(page.trim) == "99 x 210 mm (DL leaflet)"


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        # ISO 216:2007, table 1 (A series): halves of A0, 841 x 1189, rounded down.
        ("A3", 297, 420), ("A4", 210, 297), ("A5", 148, 210), ("A6", 105, 148), ("B5", 176, 250),
        # ANSI/ASME Y14.1: A = 8.5 x 11 in, B = 11 x 17 in.
        ("Letter", 8.5 * 25.4, 11 * 25.4), ("Tabloid", 11 * 25.4, 17 * 25.4),
        # common practice, no source
        ("DL leaflet", 99, 210), ("half Letter", 5.5 * 25.4, 8.5 * 25.4),
    ],
)
def test_sizes_have_their_names_upright_and_lying(name: str, width: float, height: float) -> None:
    assert paper_name(width, height) == paper_name(height, width) == name
    assert paper_name(width + 1, height) != name


def test_an_encrypted_file_without_a_password_is_looked_at_and_said() -> None:
    assert "encrypted" in codes(pdf(), encryption=pikepdf.Encryption(owner="x", user=""))


def test_a_locked_file_is_refused_with_a_sentence() -> None:
    with pytest.raises(Unreadable, match="password"):
        gather(saved(pdf(), encryption=pikepdf.Encryption(owner="x", user="y")))


def test_only_so_many_pages_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    from booklet.press import gather as module

    monkeypatch.setattr(module, "limits", lambda: {"press_pages": 3, "press_operators": 1000, "picture_pixels": 10})
    assert "too-many-pages" in codes(pdf(pages=4))


def test_broken_bytes_end_in_facts_or_in_a_sentence() -> None:
    whole = saved(pdf(at(8, 4), picture=CMYK, pixels=bytes(20000)), compress_streams=False)
    chance = random.Random(7)
    for _ in range(150):
        data = bytearray(whole)
        for _ in range(chance.randrange(1, 30)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        if chance.random() < 0.3:
            del data[chance.randrange(len(data)) :]
        try:
            judge(gather(bytes(data)))
        except Unreadable as fault:
            assert str(fault)


def nested() -> pikepdf.Pdf:
    """A form that paints itself twice, for ever."""
    document = pdf("/Fm Do", pages=1)
    form = document.make_stream(b"/Fm Do /Fm Do")
    form.Type, form.Subtype, form.BBox = Name.XObject, Name.Form, Array([0, 0, 9, 9])
    form = document.make_indirect(form)
    form.Resources = Dictionary(XObject=Dictionary(Fm=form))
    document.pages[0].Resources.XObject = Dictionary(Fm=form)
    return document


def bomb() -> pikepdf.Pdf:
    """Three kilobytes that unpack to three gigabytes."""
    import zlib

    inner = zlib.compress(zlib.compress(bytes(3_000_000_000 // 1000)) * 1)
    document = pdf(pages=1)
    stream = document.make_stream(b"")
    stream.write(inner, filter=Array([Name.FlateDecode, Name.FlateDecode]), decode_parms=None)
    document.pages[0].Contents = stream
    return document


@pytest.mark.parametrize("document", [nested, bomb])
def test_a_file_made_to_harm_ends_in_time(document: object) -> None:
    began = time.monotonic()
    with contextlib.suppress(Unreadable):
        facts_of(saved(document()), seconds=20)
    assert time.monotonic() - began < 25


def test_a_reader_that_never_ends_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(Unreadable, match="too long"):
        facts_of(saved(pdf(pages=1)), seconds=0.01)


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "booklet", "preflight", *words], capture_output=True, text=True, timeout=120)


def test_the_command_says_it_as_a_table_as_json_and_as_a_status(tmp_path: Path) -> None:
    sound, faulty, other = tmp_path / "a.pdf", tmp_path / "b.pdf", tmp_path / "c.pdf"
    sound.write_bytes(saved(pdf()))
    faulty.write_bytes(saved(pdf(bleed=0)))
    other.write_text("not a PDF")
    done = run(str(sound))
    assert done.returncode == 0
    assert "148 x 210 mm (A5)" in done.stdout
    assert "nothing to object to" in done.stdout
    done = run(str(faulty), "--json")
    assert done.returncode == 1
    [one] = json.loads(done.stdout)
    assert [finding["code"] for finding in one["findings"]] == ["bleed-missing"]
    assert one["pages"][0]["trim"] == [0.0, 0.0, 148.0, 210.0]
    for wrong in (str(other), str(tmp_path), str(tmp_path / "d.pdf")):
        done = run(wrong)
        assert done.returncode == 2
        assert "Traceback" not in done.stderr
        assert done.stdout == ""
    assert run(str(faulty), "--for", "home").returncode == 0


def test_names_inside_a_file_cannot_steer_a_terminal(tmp_path: Path) -> None:
    document = pdf()
    document.Root.OutputIntents[0].OutputConditionIdentifier = "\x1b[31mred"
    path = tmp_path / "a.pdf"
    path.write_bytes(saved(document))
    assert "\x1b" not in run(str(path)).stdout
