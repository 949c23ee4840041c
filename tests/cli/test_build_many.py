"""`booklet build` of many editions at once: what is made, in which order, what one failure leaves alone, what is told."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from booklet.cli import build_run, main
from booklet.editions.discover import FORMS
from booklet.editions.edition import PRINTINGS
from booklet.production import FORMS as MADE
from tests.cli.test_build import PATTERN


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("ball.md").write_text(PATTERN, "utf-8")
    Path("cone.md").write_text(PATTERN.replace("Ball", "Cone"), "utf-8")
    monkeypatch.setattr(build_run, "cores", lambda: 2)
    # Where a test names no layout it means the folded booklet.
    return lambda *arguments: CliRunner().invoke(main, ["build", *arguments, *(() if "--layout" in arguments else ("--layout", "a5"))])


def test_every_format_and_use_of_the_options_can_be_made():
    assert set(FORMS) <= set(MADE)
    assert PRINTINGS[0] == "home"


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_the_product_of_all_choices_in_order(run, jobs):
    shown = run("ball.md", "cone.md", "--terms", "US", "--terms", "UK", "--layout", "a5", "--layout", "a4", "--format", "html", "--jobs", jobs)
    assert shown.exit_code == 0, shown.stderr
    expected = [
        f"{name}.en-US.{layout}{terms}.html" for name in ("ball", "cone") for terms in ("", ".UK") for layout in ("a5", "a4")
    ]
    assert shown.stdout.splitlines() == expected
    assert all(Path(name).read_bytes().rstrip().endswith(b"</html>") for name in expected)


def test_processes_and_one_process_make_the_same_bytes(run):
    for jobs in ("1", "2"):
        shown = run("ball.md", "--layout", "a5", "--layout", "a4", "--jobs", jobs, "-o", jobs)
        assert shown.exit_code == 0, shown.stderr
    assert {path.name: path.read_bytes() for path in Path("1").iterdir()} == {path.name: path.read_bytes() for path in Path("2").iterdir()}


def test_the_same_edition_twice_is_built_once(run):
    shown = run("ball.md", "ball.md", "--language", "en-US", "--language", "en-us", "--format", "txt", "--layout", "a5", "--layout", "a4")
    assert shown.stdout.splitlines() == ["ball.en-US.txt"]


def test_the_table_is_on_stderr_and_only_for_more_than_one(run):
    assert "pages" not in run("ball.md", "--format", "html").stderr
    shown = run("ball.md", "--layout", "a5", "--layout", "a4")
    head, *rows = [line for line in shown.stderr.splitlines() if not line.startswith("  ")]
    assert head.split() == ["file", "language", "layout", "pages", "size", "time"]
    assert [row.split()[:3] for row in rows] == [["ball.en-US.a5.pdf", "en-US", "a5"], ["ball.en-US.a4.pdf", "en-US", "a4"]]
    assert [int(row.split()[3]) > 1 for row in rows] == [True, True]
    assert [len(shown.stdout.splitlines())] == [2]


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_one_that_fails_leaves_the_others_alone(run, jobs):
    Path("ball.en-US.a5.html").mkdir()
    shown = run("gone.md", "ball.md", "cone.md", "--layout", "a5", "--layout", "a4", "--format", "html", "--jobs", jobs)
    assert shown.exit_code == 2
    assert shown.stdout.splitlines() == ["ball.en-US.a4.html", "cone.en-US.a5.html", "cone.en-US.a4.html"]
    assert "There is no file gone.md" in shown.stderr
    assert "ball.en-US.a5.html is a folder" in shown.stderr
    assert "not made" in shown.stderr


def test_a_worker_that_dies_takes_only_its_own_job_with_it(run, monkeypatch):
    from booklet import production

    html = production.FORMS["html"]

    def dies(job, ready, say):
        if job.edition.layout == "a4":
            os._exit(9)  # as when the system ends a process for want of memory
        return html(job, ready, say)

    monkeypatch.setitem(production.FORMS, "html", dies)
    shown = run("ball.md", "cone.md", "--layout", "a5", "--layout", "a4", "--format", "html", "--jobs", "2")
    assert shown.exit_code == 2
    assert shown.stdout.splitlines() == ["ball.en-US.a5.html", "cone.en-US.a5.html"]
    assert shown.stderr.count("ended from outside") == 2


def test_json_of_several_files(run):
    shown = run("ball.md", "gone.md", "cone.md", "--format", "html", "--json")
    found = json.loads(shown.stdout)
    assert [(one["file"], one["outputs"]) for one in found] == [
        ("ball.md", ["ball.en-US.a5.html"]), ("gone.md", []), ("cone.md", ["cone.en-US.a5.html"])
    ]
    assert all(list(one) == ["file", "problems", "outputs"] for one in found)


def test_strict_refuses_warnings_and_says_so(run):
    # A hook in letters and in millimetres that are not the same is a warning.
    Path("ball.md").write_text(PATTERN.replace("hook: 3 mm", "hook: US G (5 mm)"), "utf-8")
    assert run("ball.md", "--format", "html").exit_code == 0
    Path("ball.en-US.a5.html").unlink()
    shown = run("ball.md", "cone.md", "--format", "html", "--strict")
    assert (shown.exit_code, shown.stdout.splitlines()) == (1, ["cone.en-US.a5.html"])
    assert "not built: ball.md has 1 warning (--strict)" in shown.stderr


def test_strict_refuses_draft_languages(run, monkeypatch):
    from booklet.cli import build_plan
    from booklet.tables.language import load

    def draft(tag, terms=""):
        made = load(tag, terms)
        return made if tag != "en-US" else type(made)(**{
            **{name: getattr(made, name) for name in made.__slots__}, "settings": {**made.settings, "status": "draft"}
        })

    monkeypatch.setattr(build_plan, "load", draft)
    assert run("ball.md", "--format", "html").exit_code == 0
    shown = run("ball.md", "--format", "html", "--strict")
    assert (shown.exit_code, shown.stdout) == (1, "")
    assert "the words of en-US are a draft translation" in shown.stderr


@pytest.mark.skipif(not build_run.can_fork(), reason="no processes are forked on this system")
def test_an_interrupt_leaves_no_half_file_and_no_process(tmp_path):
    (tmp_path / "ball.md").write_text(PATTERN, "utf-8")
    root = str(Path(__file__).parents[2])
    many = [word for layout in ("a5", "a4", "letter") for word in ("--layout", layout)]
    started = subprocess.Popen(
        [sys.executable, "-m", "booklet", "build", "ball.md", *many, "--terms", "US", "--terms", "UK", "--jobs", "2"],
        cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": root},
        start_new_session=True,
    )
    started.stdout.readline()  # the first booklet is there, others are being made
    os.killpg(started.pid, signal.SIGINT)
    _, told = started.communicate(timeout=30)
    assert started.returncode == 2
    assert "stopped" in told
    assert "Traceback" not in told
    left = [path for path in tmp_path.iterdir() if path.name != "ball.md"]
    assert left
    assert len(left) < 6
    assert all(path.read_bytes().rstrip().endswith(b"%%EOF") for path in left), left
    time.sleep(0.2)
    with pytest.raises(ProcessLookupError):
        os.killpg(started.pid, 0)  # nobody of the group is alive


@pytest.mark.parametrize("name", ["ball", "cone"])
def test_plain_text(run, name):
    shown = run(f"{name}.md", "--format", "txt")
    assert shown.exit_code == 0
    text = Path(f"{name}.en-US.txt").read_text("utf-8")
    assert max(map(len, text.splitlines())) <= 72
    flat = " ".join(text.split())
    assert "Rnd 2: 6 inc (12) Work 2 single crochets in each of the next 6 stitches. Now you have 12 stitches." in flat
    assert text.index("Materials\n=") < text.index("Rnd 1:") < text.index("Fasten off") < text.index("About safety")
    assert "\n\n\n" not in text


def test_a_layout_has_the_formats_it_is_for(run):
    shown = run("ball.md", "--layout", "a5", "--layout", "phone", "--format", "html")
    assert shown.stdout.splitlines() == ["ball.en-US.a5.html", "ball.en-US.phone.html"]
    assert run("ball.md", "--layout", "phone", "-o", "out").stdout.splitlines() == [str(Path("out/ball.en-US.phone.html"))]
    shown = run("ball.md", "--layout", "phone", "--format", "pdf")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "The layout phone is for html, not for pdf." in shown.stderr
