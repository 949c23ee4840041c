"""Whatever comes in, a person is told what is wrong: exit status 1 or 2, no traceback, nothing half-written, within two seconds."""

import os
import subprocess
import sys

import pytest

from tests.timing import children

PATTERN = "## Ball\nRnd 1: 6 sc in MR (6)\nRnd 2: {} (12)\n"
DEEP = "(" * 40 + "sc" + ")" * 40


def booklet(*arguments, folder, stdin=b""):
    before = children()
    done = subprocess.run(
        [sys.executable, "-c", "from booklet.cli import main; main()", *arguments],
        cwd=folder, input=stdin, capture_output=True, timeout=60, env={**os.environ, "NO_COLOR": "1"}, check=False,
    )  # fmt: skip
    took = children() - before
    error = done.stderr.decode("utf-8", "replace")
    assert "Traceback" not in error
    assert "Our fault" not in error, error
    return done.returncode, done.stdout.decode("utf-8"), error, took


BAD = {
    "empty": b"",
    "only a head": b"---\ntitle: Ball\n---\n",
    "no parts": b"---\ntitle: Ball\n---\n\nSome words, and no round at all.\n",
    "binary": bytes(range(256)) * 40,
    "null bytes": b"\0" * 5000,
    "not UTF-8": "## Ball\nRnd 1: 6 sc in MR (6) \xe9\xe8\n".encode("latin-1"),
    "10 MB": b"Rnd 1: 6 sc in MR (6)\n" * 480_000,
    "one line of 3 MB": b"## Ball\nRnd 1: " + b"sc, " * 750_000 + b"(6)\n",
    "a count of 10^9": PATTERN.format("1000000000 sc").encode(),
    "a count of many digits": PATTERN.format("9" * 5000 + " sc").encode(),
    "a repeat of 10^9": PATTERN.format("(sc) x 1000000000").encode(),
    "repeats of repeats": PATTERN.format("(((sc) x 1000000) x 1000000)").encode(),
    "unbalanced, and too few": PATTERN.format("(sc, (inc x 6").encode(),
    "40 brackets deep": PATTERN.format(DEEP).encode(),
    "5000 brackets": PATTERN.format("(" * 5000).encode(),
    "a range of 10^9 rounds": b"## Ball\nRnd 1: 6 sc in MR (6)\nRnds 2-1000000000: inc around (6)\n",
    "an unclosed head": b"---\ntitle: Ball\n\n## Ball\nRnd 1: 5 sc in MR (6)\n",
}


@pytest.mark.parametrize("name", BAD)
def test_check_tells(name, tmp_path):
    (tmp_path / "bad.md").write_bytes(BAD[name])
    status, out, error, took = booklet("check", "bad.md", folder=tmp_path)
    assert status in (1, 2)
    assert out == ""
    assert "error" in error.casefold()
    assert took < 2
    assert [path.name for path in tmp_path.iterdir()] == ["bad.md"]


@pytest.mark.parametrize("name", BAD)
def test_check_tells_programs(name, tmp_path):
    import json

    status, out, error, took = booklet("check", "-", "--json", folder=tmp_path, stdin=BAD[name])
    assert status in (1, 2)
    assert error == ""
    (one,) = json.loads(out)
    assert any(problem["severity"] == "error" for problem in one["problems"])
    assert all(isinstance(problem["line"], int) for problem in one["problems"])
    assert took < 2


@pytest.mark.parametrize("command", ["check", "figures", "build"])
@pytest.mark.parametrize("name", ["empty", "no parts", "binary", "repeats of repeats", "10 MB"])
def test_no_command_falls_over(command, name, tmp_path):
    (tmp_path / "bad.md").write_bytes(BAD[name])
    status, _, error, _ = booklet(command, "bad.md", folder=tmp_path)
    assert status in (1, 2)
    assert error
    assert [path.name for path in tmp_path.iterdir()] == ["bad.md"]


def test_no_head_is_a_warning_only(tmp_path):
    (tmp_path / "ball.md").write_text("## Ball\nRnd 1: 6 sc in MR (6)\n", "utf-8")
    status, _, error, _ = booklet("check", "ball.md", folder=tmp_path)
    assert status == 0
    assert "warning" in error
    assert booklet("check", "--strict", "ball.md", folder=tmp_path)[0] == 1


@pytest.mark.parametrize("file", ["gone.md", ".", "gone/gone.md", "x" * 5000])
@pytest.mark.parametrize("command", ["check", "figures", "build"])
def test_a_file_that_cannot_be_read(command, file, tmp_path):
    status, out, error, _ = booklet(command, file, folder=tmp_path)
    assert (status, out) == (2, "")
    assert error.startswith("Error: ")
    assert list(tmp_path.iterdir()) == []


def test_a_mistyped_file_gets_a_hint(tmp_path):
    (tmp_path / "acorn.md").write_text("## Ball\nRnd 1: 6 sc in MR (6)\n", "utf-8")
    assert "Did you mean acorn.md?" in booklet("check", "acrn.md", folder=tmp_path)[2]


def test_a_broken_pipe_is_no_fault(tmp_path):
    (tmp_path / "ball.md").write_text(PATTERN.format("inc x 6"), "utf-8")
    command = f"{sys.executable} -c 'from booklet.cli import main; main()' list stitches | head -1"
    done = subprocess.run(["sh", "-c", command], cwd=tmp_path, capture_output=True, check=False)
    assert done.stderr == b""
