"""Pictures: brought to their printed size, stripped, deterministic; what cannot be used is said and left out."""

import io
import os

import pytest
from PIL import Image

from booklet.outputs.pictures import DPI, _read, prepare
from booklet.pages.book import Picture


def file(size=(1200, 900), kind="JPEG", mode="RGB", colour="#446688", **options) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size, colour).save(out, kind, **options)
    return out.getvalue()


def opened(made) -> Image.Image:
    return Image.open(io.BytesIO(made.data))


PLAIN = Picture("a.jpg", "a picture")


def test_a_picture_has_300_dots_an_inch_at_its_printed_size():
    made, said = prepare(file((4000, 3000)), PLAIN, (100, 100))
    assert (made.width_mm, made.height_mm) == (100, 75)
    assert opened(made).size == (round(100 / 25.4 * DPI), round(75 / 25.4 * DPI))
    assert said == ()


def test_a_tall_picture_keeps_within_the_height():
    made, _ = prepare(file((3000, 4000)), PLAIN, (100, 80))
    assert (made.width_mm, made.height_mm) == (60, 80)


def test_a_cover_is_cropped_to_its_box():
    made, _ = prepare(file((4000, 3000)), PLAIN, (50, 80), crop=True)
    assert (made.width_mm, made.height_mm) == (50, 80)
    width, height = opened(made).size
    assert width / height == pytest.approx(50 / 80, rel=0.01)


def test_the_width_that_is_asked_for_is_taken():
    made, _ = prepare(file((4000, 3000)), PLAIN._replace(width_mm=40.0), (100, 80))
    assert made.width_mm == 40


def test_exif_is_obeyed_and_dropped():
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.3: to be turned by 90 degrees
    exif[0x010F] = "a camera"
    made, _ = prepare(file((1600, 800), exif=exif.tobytes()), PLAIN, (50, 200))
    image = opened(made)
    assert image.height == pytest.approx(2 * image.width, abs=2)
    assert b"a camera" not in made.data
    assert not image.getexif()


def test_a_telephones_heic_is_read_upright_in_its_colours():
    """Written by the reference library libheif (HEIC, ISO/IEC 23008-12), turned as a telephone stores it."""
    heif = pytest.importorskip("pillow_heif", reason="HEIC IS NOT TESTED: pillow-heif is not installed")
    image = Image.new("RGB", (1600, 800), "#446688")
    image.paste("#cc3333", (0, 0, 800, 800))  # lies left in the file: on top once it is turned
    out = io.BytesIO()
    heif.from_pillow(image).save(out, quality=95)
    made, said = prepare(out.getvalue(), PLAIN._replace(path="a.heic"), (50, 200))
    assert said == ()
    left, right = (opened(made).getpixel((x, 100)) for x in (50, opened(made).width - 50))
    assert left == pytest.approx((0xCC, 0x33, 0x33), abs=12)
    assert right == pytest.approx((0x44, 0x66, 0x88), abs=12)
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.3: to be turned by 90 degrees
    out = io.BytesIO()
    heif.from_pillow(image).save(out, quality=95, exif=exif.tobytes())
    made, _ = prepare(out.getvalue(), PLAIN._replace(path="a.heic"), (50, 200))
    turned = opened(made)
    plain = opened(prepare(file((1600, 800), exif=exif.tobytes()), PLAIN, (50, 200))[0])
    assert turned.size == plain.size


def test_a_damaged_heic_is_said():
    heif = pytest.importorskip("pillow_heif", reason="HEIC IS NOT TESTED: pillow-heif is not installed")
    out = io.BytesIO()
    heif.from_pillow(Image.new("RGB", (640, 480), "#446688")).save(out)
    for data in (out.getvalue()[:300], out.getvalue()[:-200], b"\0\0\0\x18ftypheic" + b"\xff" * 400):
        made, said = prepare(data, PLAIN._replace(path="a.heic"), (50, 50))
        assert made is None
        assert [one.code for one in said] == ["picture-not-readable"]


def test_the_same_bytes_give_the_same_bytes_without_colour_subsampling():
    data = file((900, 600), kind="PNG")
    one, _ = prepare(data, PLAIN, (60, 60))
    two, _ = prepare(data, PLAIN, (60, 60))
    assert one == two
    assert opened(one).layer[0][1:3] == (1, 1)  # 4:4:4: one sampling for all components


def test_transparency_becomes_white_paper():
    made, _ = prepare(file((600, 600), "PNG", "RGBA", (255, 0, 0, 0)), PLAIN, (20, 20))
    assert min(opened(made).getpixel((5, 5))) > 250


def test_a_coarse_picture_is_said_with_its_dots():
    made, said = prepare(file((300, 300)), PLAIN, (100, 100))
    assert made is not None
    assert [found.code for found in said] == ["picture-coarse"]
    assert dict(said[0].values)["dpi"] == 76  # 300 px on 100 mm


def test_an_enormous_picture_is_measured_before_it_is_opened():
    # 10,000 x 10,000 pixels of one bit are some kilobytes.
    data = file((10_000, 10_000), "PNG", "1", 1)
    assert len(data) < 100_000
    made, said = prepare(data, PLAIN, (100, 100))
    assert made is None
    assert [found.code for found in said] == ["picture-too-large"]


@pytest.mark.parametrize("data", [b"", b"not a picture", file()[:400], file(kind="PNG")[:60]])
def test_what_is_no_picture_is_said_without_a_traceback(data):
    made, said = prepare(data, PLAIN, (100, 100))
    assert made is None
    assert [found.code for found in said] == ["picture-not-readable"]


def test_nothing_outside_the_folder_is_read(tmp_path):
    home = tmp_path / "pattern"
    home.mkdir()
    (tmp_path / "secret.jpg").write_bytes(file())
    (home / "inside.jpg").write_bytes(file())
    (home / "link.jpg").symlink_to(tmp_path / "secret.jpg")
    assert _read(Picture("inside.jpg", ""), home)[1] is None
    outside = ["../secret.jpg", str(tmp_path / "secret.jpg"), "link.jpg", "sub/../../secret.jpg", "."]
    for path in [*outside, "file:///etc/passwd", "https://example.org/a.jpg", "a\0b.jpg", "x" * 5000]:
        data, problem = _read(Picture(path, ""), home)
        assert data == b""
        assert problem.code in ("picture-missing", "picture-not-readable"), path


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_is_no_file(tmp_path):
    os.mkfifo(tmp_path / "pipe.jpg")
    assert _read(Picture("pipe.jpg", ""), tmp_path)[1].code == "picture-missing"
