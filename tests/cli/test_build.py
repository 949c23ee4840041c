"""`booklet build`: what is written, under which name, and what is refused before anything is written."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import main
from booklet.cli.names import output_name
from booklet.editions.edition import Edition

PATTERN = """---
title: Ball
language: en-US
hook: 3 mm
gauge: 24 sc x 26 rnds = 10 cm
yarns:
  A: oat, light (3), 100% cotton, 125 m / 50 g
notions:
  - yarn needle
made as: decoration
---

## Ball (make 1)

With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: sc around (12)
Rnd 4: dec x 6 (6)

Do not stuff. Fasten off, leaving a 15 cm tail. Close the hole.
"""


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("ball.md").write_text(PATTERN, "utf-8")
    # Where a test names no layout it means the folded booklet.
    return lambda *arguments: CliRunner().invoke(main, ["build", *arguments, *(() if "--layout" in arguments else ("--layout", "a5"))])


def left(folder="."):
    return sorted(path.name for path in Path(folder).iterdir() if path.name != "ball.md")


def test_one_path_a_line_and_the_files_are_there(run):
    shown = run("ball.md", "-o", "out", "--layout", "a5", "--layout", "letter")
    assert shown.exit_code == 0, shown.stderr
    assert shown.stdout.splitlines() == [str(Path("out/ball.en-US.a5.pdf")), str(Path("out/ball.en-US.letter.pdf"))]
    assert left("out") == ["ball.en-US.a5.pdf", "ball.en-US.letter.pdf"]
    assert all(path.read_bytes().startswith(b"%PDF-") for path in Path("out").iterdir())


def test_existing_output_is_replaced_whole(run):
    Path("ball.en-US.a5.html").write_bytes(b"x" * 5_000_000)
    shown = run("ball.md", "--format", "html")
    assert shown.exit_code == 0
    made = Path("ball.en-US.a5.html").read_bytes()
    assert made.rstrip().endswith(b"</html>")
    assert len(made) < 5_000_000
    assert b'src="data:image/svg+xml;base64,' in made
    assert left() == ["ball.en-US.a5.html"]


def test_json(run):
    shown = run("ball.md", "--format", "html", "--json")
    (one,) = json.loads(shown.stdout)
    assert list(one) == ["file", "problems", "outputs"]
    assert one["outputs"] == ["ball.en-US.a5.html"]


def test_a_pattern_with_errors_is_built_as_a_proof_only(run):
    Path("ball.md").write_text(PATTERN.replace("(12)", "(13)", 1), "utf-8")
    shown = run("ball.md", "--format", "html")
    assert (shown.exit_code, shown.stdout, left()) == (1, "", [])
    assert "total-differs" in shown.stderr
    shown = run("ball.md", "--format", "html", "--proof")
    assert (shown.exit_code, left()) == (1, ["ball.en-US.a5.proof.html"])


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (["--layout", "a55"], "Did you mean 'a5'?"),
        (["--language", "en-UX"], "There is no language 'en-UX'. Did you mean"),
        (["--language", "en-US+xx"], "There is no language 'xx'."),
        (["--choose", "eyes=safety"], "The pattern offers no choice of 'eyes'."),
        (["--choose", "eyes"], "KEY=VALUE"),
        (["--size", "large"], "There is no size 'large'."),
        (["--terms", "XX"], "'US', 'UK'"),
        (["--format", "docx"], "'pdf', 'html'"),
        (["--house", "gone.yaml"], "There is no file gone.yaml."),
    ],
)
def test_what_does_not_exist_is_refused(run, arguments, hint):
    shown = run("ball.md", *arguments)
    assert (shown.exit_code, shown.stdout, left()) == (2, "", [])
    assert hint in shown.stderr


def test_a_file_in_the_folders_place(run):
    Path("out").write_text("mine", "utf-8")
    shown = run("ball.md", "-o", "out")
    assert (shown.exit_code, Path("out").read_text("utf-8")) == (2, "mine")
    assert "out is a file" in shown.stderr
    assert run("ball.md", "-o", "out/deeper").exit_code == 2


def test_a_folder_in_the_outputs_place(run):
    Path("ball.en-US.a5.pdf").mkdir()
    Path("ball.en-US.a5.pdf/mine").write_text("mine", "utf-8")
    shown = run("ball.md")
    assert (shown.exit_code, shown.stdout, left()) == (2, "", ["ball.en-US.a5.pdf"])
    assert "is a folder" in shown.stderr
    assert left("ball.en-US.a5.pdf") == ["mine"]


def test_a_folder_that_cannot_be_written(run):
    if os.geteuid() == 0:
        target = "/proc/booklet"  # nobody can make a folder there, not even the administrator
    else:
        Path("locked").mkdir(mode=0o500)
        target = "locked"
    shown = run("ball.md", "-o", target)
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert target in shown.stderr


def test_a_write_that_fails_leaves_the_old_file_and_no_half(run, monkeypatch):
    Path("ball.en-US.a5.html").write_text("old", "utf-8")

    def full(self, data):
        with self.open("wb") as stream:
            stream.write(data[:100])
        raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_bytes", full)
    shown = run("ball.md", "--format", "html")
    assert shown.exit_code == 2
    assert "No space left on device" in shown.stderr
    assert Path("ball.en-US.a5.html").read_text("utf-8") == "old"
    assert left() == ["ball.en-US.a5.html"]


@pytest.mark.parametrize(
    ("picture", "data"),
    [
        ("gone.jpg", None),
        ("text.jpg", b"this is no picture"),
        ("../outside.jpg", b"x"),
        ("cut.png", b"\x89PNG\r\n\x1a\n\0\0"),
    ],
)
def test_a_photo_that_cannot_be_printed(run, picture, data):
    if data is not None:
        Path(picture).write_bytes(data)
    Path("ball.md").write_text(PATTERN.replace("With A.", f"![A ball]({picture})\n\nWith A."), "utf-8")
    before = left()
    shown = run("ball.md", "--format", "html")
    assert (shown.exit_code, shown.stdout, left()) == (1, "", before)
    assert "error[picture-" in shown.stderr
    assert "Traceback" not in shown.stderr


def test_scripts_and_handlers_never_reach_the_page(run):
    nasty = (
        '<script>alert(1)</script>\n\n![x](photos/x.jpg){onerror="alert(2)" style="x"}\n\n[a](javascript:alert(3))\n\n'
        '<img src=x onerror=alert(4)>\n\n<iframe src="file:///etc/passwd"></iframe>\n\n'
    )
    Path("ball.md").write_text(PATTERN.replace("With A.", nasty + "With A."), "utf-8")
    shown = run("ball.md", "--format", "html", "--proof")
    assert shown.exit_code in (0, 1)
    page = Path(left()[0]).read_text("utf-8").casefold()
    assert "<script" not in page
    assert "<iframe" not in page
    assert "javascript:" not in page.replace("&#", "").split("href=")[-1]
    assert 'href="javascript' not in page
    import re

    assert not [tag for tag in re.findall(r"<[a-z][^>]*>", page) if re.search(r"\son\w+\s*=", tag)]


def test_the_patterns_own_stdin_is_no_pattern(run):
    assert run("-").exit_code == 2


def test_names_of_outputs():
    plain = Edition(("en-US",), "US")
    assert output_name("acorn", plain, "pdf", terms="US") == "acorn.en-US.a5.pdf"
    other = Edition(
        ("de", "fr"), "UK", "imperial", "EU", "none", (("eyes", "embroidered"), ("mouth", "with")), "large / 2", True, "jis", "a4", True
    )
    assert output_name("acorn", other, "html", terms="US") == (
        "acorn.de+fr.a4.UK.imperial.EU.large-2.eyes=embroidered.mouth=with.none.jis.left-handed.proof.html"
    )


def test_rounds_in_every_language_are_for_cards_in_several(run):
    shown = run("ball.md", "--language", "en-US", "--layout", "card-a6", "--rounds-in", "all")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "en-US is one language" in shown.stderr
    shown = run("ball.md", "--language", "en-US+de", "--layout", "a5", "--rounds-in", "all")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "a5 is a booklet" in shown.stderr
    shown = run("ball.md", "--language", "he+en-US", "--layout", "card-a6", "--rounds-in", "all")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "name it after the other languages" in shown.stderr
    shown = run("ball.md", "--language", "en-US+de", "--layout", "card-a6", "--format", "html", "--rounds-in", "all")
    assert (shown.exit_code, shown.stdout.split()) == (0, ["ball.en-US+de.card-a6.rounds-in-all.html"])
