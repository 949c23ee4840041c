"""Many large photographs: the peak of memory while all are prepared, in a process of its own."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = """
import random, resource, sys
from pathlib import Path
from PIL import Image
from booklet import pipeline
from booklet.editions.edition import Edition
folder = Path(sys.argv[1])
path = folder / "p.md"
understood = pipeline.understand(path.read_bytes(), "p.md")
made = pipeline.build(understood, Edition(("en-US",), "US"), folder)
print(made.pages, len(made.data), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="memory of a process is read the way of Linux here")
def test_24_photos_of_24_megapixels_are_built_within_a_gigabyte(tmp_path: Path) -> None:
    from PIL import Image

    noise = Image.effect_noise((600, 400), 80).convert("RGB").resize((6000, 4000))
    noise.save(tmp_path / "0.jpg", "JPEG", quality=90)
    for number in range(1, 24):
        (tmp_path / f"{number}.jpg").write_bytes((tmp_path / "0.jpg").read_bytes())
    photos = "\n\n".join(f"![Photo {number}]({number}.jpg)" for number in range(24))
    text = f"---\ntitle: Ball\nlanguage: en-US\nhook: 3 mm\n---\n\n## Ball\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n\n{photos}\n"
    (tmp_path / "p.md").write_text(text, "utf-8")
    done = subprocess.run([sys.executable, "-c", SCRIPT, str(tmp_path)], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr[-2000:]
    pages, size, peak_kib = map(int, done.stdout.split())
    assert pages > 8
    assert size > 1_000_000  # the photographs are in it
    assert peak_kib < 1_000_000
    print(f"\n24 photographs: {peak_kib / 1024:.0f} MiB at the peak, {size / 1e6:.1f} MB, {pages} pages")
