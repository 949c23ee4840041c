"""What the work on finished pages costs: the press file against the building of the same booklet, 32 pages on sheets, a thousand copies.

Each piece of work is done in a process of its own, so that its peak of memory can be told. The limits are those of the orders:
32 pages on sheets in a second, fifty copies a second; the ratio and the memory are ours.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
OTTER = ROOT / "examples/harbour-otter/otter.md"

TELL = """
import resource, sys, time
from pathlib import Path
given, folder = sys.argv[1], Path(sys.argv[2])
def tell(begin, more=""):
    used = resource.getrusage(resource.RUSAGE_SELF)
    print(f"{time.process_time() - begin:.3f} {used.ru_maxrss / 1024:.0f} {more}")  # kB, as Linux counts
"""
BUILD = """
from booklet import pipeline
from booklet.editions.edition import Edition
begin = time.process_time()
file = Path(given)
made = pipeline.build(pipeline.understand(file.read_bytes(), file.name), Edition(("en-US",), "US", layout="a5"), file.parent)
(folder / "otter.pdf").write_bytes(made.data)
tell(begin, made.pages)
"""
PRESS = """
from booklet.press.finish import finish
data = (folder / "otter.pdf").read_bytes()
begin = time.process_time()
made = finish(data, "press")
tell(begin, len(made.data) / len(data))
"""
SHEETS = """
import io, pikepdf
from booklet.press.impose import impose, source_of
from booklet.press.sheets import saddle
with pikepdf.open(folder / "otter.pdf") as pages:
    assert len(pages.pages) >= 32
    del pages.pages[32:]
    out = io.BytesIO()
    pages.save(out)
data = out.getvalue()
begin = time.process_time()
source = source_of(data)
made = impose(data, saddle(source.pages, source.trim, (297, 210), 0.6, "short"), source.bleed)
tell(begin, source.pages)
"""
COPIES = """
from booklet.press.stamp import Stamper
data, number = (folder / "otter.pdf").read_bytes(), int(given)
lines = [f"Licensed to Buyer {k} - order A-{k}" for k in range(number)]
begin = time.process_time()
stamper = Stamper(data, lines)
for k, line in enumerate(lines):
    (folder / "copy.pdf").write_bytes(stamper.copy(line, f"A-{k}"))
tell(begin)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("press")


def run(code: str, given: object, folder: Path) -> tuple[float, float, float]:
    """Processor seconds of the work, megabytes of the whole process at its highest, and a number of its own."""
    done = subprocess.run([sys.executable, "-c", TELL + code, str(given), folder], capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 0, done.stderr
    seconds, peak, *more = map(float, done.stdout.split())
    return seconds, peak, more[0] if more else 0.0


@pytest.fixture(scope="module")
def built(folder: Path) -> tuple[float, float, float]:
    return run(BUILD, OTTER, folder)


def test_a_press_file_takes_a_fraction_of_its_building(built: tuple[float, float, float], folder: Path) -> None:
    seconds, peak, larger = run(PRESS, "", folder)
    print(
        f"building {built[2]:.0f} pages {built[0]:.2f} s, {built[1]:.0f} MB; for the press {seconds:.2f} s, {peak:.0f} MB: "
        f"{seconds / built[0]:.2f} of the building, the file {larger:.2f} times as large"
    )
    assert seconds < built[0]
    assert peak < 600


def test_32_pages_are_on_sheets_within_a_second(built: tuple[float, float, float], folder: Path) -> None:
    seconds, peak, pages = run(SHEETS, "", folder)
    print(f"{pages:.0f} pages on sheets {seconds:.2f} s, {peak:.0f} MB")
    assert pages == 32
    assert seconds < 1
    assert peak < 300


def test_copies_go_by_the_hundred_and_a_thousand_take_no_more_memory_than_fifty(built: tuple[float, float, float], folder: Path) -> None:
    few, small, _ = run(COPIES, 50, folder)
    many, large, _ = run(COPIES, 1000, folder)
    print(f"50 copies {few:.2f} s, {small:.0f} MB; 1000 copies {many:.2f} s, {1000 / many:.0f} a second, {large:.0f} MB")
    assert 1000 / many > 50
    assert large - small < 30
