"""How long things take, in ratios of one run: `make bench`. Never part of the ordinary tests.

Whole processes are compared, in turn (A B A B …), and their medians: what else the machine does hits both alike.
"""

import atexit
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples" / "harbour-otter" / "otter.md"
BOOKLET = [sys.executable, "-c", "from booklet.cli import main; main()"]
RUNS = 9
# Compiled modules are kept, as they are after the first run of an installed program; in a folder of the bench's own.
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"} | {
    "PYTHONPYCACHEPREFIX": tempfile.mkdtemp(prefix="booklet-bench-"),
    "NO_COLOR": "1",
}
atexit.register(shutil.rmtree, ENVIRONMENT["PYTHONPYCACHEPREFIX"], ignore_errors=True)


def took(command):
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, check=False, cwd=ROOT, env=ENVIRONMENT)
    spent = time.perf_counter() - start
    assert done.returncode == 0, done.stderr.decode()
    return spent


def ratio(what, ours, theirs, aim, runs=RUNS):
    """Medians of interleaved runs, printed; one warming run of each goes before."""
    took(ours), took(theirs)
    pairs = [(took(ours), took(theirs)) for _ in range(runs)]
    a, b = (statistics.median(column) for column in zip(*pairs, strict=True))
    tell(f"{what}: {a * 1000:.0f} ms / {b * 1000:.0f} ms = {a / b:.2f} (aim: at most {aim}, {'met' if a / b <= aim else 'MISSED'})")
    return a / b


def tell(line):
    print(f"\n  {line}", flush=True)


def test_check_against_importing_click():
    assert ratio("check of the demo / import click", [*BOOKLET, "check", str(DEMO)], [sys.executable, "-c", "import click"], 3) < 6


@pytest.mark.parametrize("stitches", [3_000, 100_000])
def test_graph_building(stitches):
    """One part in plain rounds of 100 stitches: settling and building, the reading of the words apart."""
    from booklet.graph.build import build
    from booklet.graph.settle import settle
    from booklet.notation.read import read_pattern
    from booklet.pattern.resolve import resolve
    from booklet.source.read import read
    from booklet.tables.language import load

    rounds = stitches // 100
    text = f"## Tube\nWorked in a spiral.\nRnd 1: 100 sc in MR (100)\nRnds 2-{rounds}: (47 sc, inc, dec) x 2 (100)\n"
    pattern, _ = resolve(read(text.encode(), "tube.md")[0])
    candidates = read_pattern(pattern, load("en-US"))
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        built = build(pattern, settle(pattern, candidates), 0, ())
        times.append(time.perf_counter() - start)
    (part,) = built.graph.parts
    assert part.stitches() == rounds * 100
    best = statistics.median(times)
    speed = part.stitches() / best
    tell(f"graph of {part.stitches()} stitches: {best * 1000:.1f} ms, {speed:,.0f} stitches a second (aim: 3,000 in 20 ms)")
    assert part.stitches() / best > 3_000 / 0.040


def test_reading_and_proving():
    """All of `check` but the start of the process."""
    from booklet import pipeline

    data = DEMO.read_bytes()
    pipeline.understand(data, str(DEMO))  # tables are read once
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        understood = pipeline.understand(data, str(DEMO))
        times.append(time.perf_counter() - start)
    stitches = sum(part.stitches() * part.make for part in understood.graph.parts)
    tell(f"understanding the demo ({stitches} stitches): {statistics.median(times) * 1000:.0f} ms")


ALONE = """
import sys, warnings
warnings.simplefilter("ignore")
import weasyprint
weasyprint.HTML(filename=sys.argv[1]).write_pdf(sys.argv[2], pdf_variant="pdf/ua-1")
"""
SEALED = '<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">\n<fontconfig><cachedir>{}</cachedir></fontconfig>\n'
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")


@pytest.fixture(scope="module")
def finished(tmp_path_factory):
    """The finished HTML of the demo in the layout a5, with its pictures, drawings and fonts as files beside it."""
    from booklet import pipeline
    from booklet.editions.discover import layout
    from booklet.editions.edition import Edition
    from booklet.outputs.pdf_fonts import faces, font_css

    folder = tmp_path_factory.mktemp("finished")
    understood = pipeline.understand(DEMO.read_bytes(), str(DEMO))
    edition = Edition(("en-US",), "US", "imperial")
    page, files, _ = pipeline.set_pages(understood, edition, layout("a5"), DEMO.parent, pipeline.Shared())
    css = font_css()
    for face in faces():
        css = css.replace(f'"{face.url}"', f'"{(ROOT / "fonts" / face.file).as_uri()}"') if face.file else css
    for name, data in files.items():
        (folder / name).write_bytes(data)
    (folder / "page.html").write_text(page.replace("<head>", f"<head><style>{css}</style>", 1), "utf-8")
    (folder / "fonts.conf").write_text(SEALED.format(folder / "cache"), "utf-8")
    return folder


def test_build_against_the_engine_alone(finished, monkeypatch):
    """Both without the machine's own fonts, which only cost time to be looked through."""
    monkeypatch.setitem(ENVIRONMENT, "FONTCONFIG_FILE", str(finished / "fonts.conf"))
    ours = [*BOOKLET, "build", str(DEMO), "--layout", "a5", "-o", str(finished / "out")]
    alone = [sys.executable, "-c", ALONE, str(finished / "page.html"), str(finished / "alone.pdf")]
    assert ratio("build of the demo (a5) / WeasyPrint alone on the same HTML", ours, alone, 1.25, runs=7) < 2.5
    made = finished / "out" / "otter.en-US.a5.pdf"
    tell(f"sizes: {made.stat().st_size // 1000} kB / {(finished / 'alone.pdf').stat().st_size // 1000} kB")


def test_build_against_a_browser(finished):
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        tell("NOT MEASURED: there is no Chromium on this machine (looked for: " + ", ".join(BROWSERS) + ")")
        pytest.skip("no Chromium on this machine")
    ours = [*BOOKLET, "build", str(DEMO), "--layout", "a5", "-o", str(finished / "out")]
    target = f"--print-to-pdf={finished / 'browser.pdf'}"
    theirs = [browser, "--headless", "--no-sandbox", "--disable-gpu", target, (finished / "page.html").as_uri()]
    ratio("build of the demo (a5) / headless Chromium printing the same HTML", ours, theirs, 1, runs=7)
