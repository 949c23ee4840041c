"""Comes in: measurements of coated paper (Debian's icc-profiles-free). Goes out: coated.icc beside this file. Not run by the program.

    apt-get install icc-profiles-free argyll
    python shared/press/make_profile.py

The same measurements and the same version of colprof (2.3.1) give the same bytes.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

MEASURED = Path("/usr/share/color/icc/FOGRA39L.ti3")  # zlib licence, see LICENSE.txt
# Medium tables; at most 300 % of ink and 95 % of K; K rises evenly. -nc leaves the measurements out of the file.
HOW = ["-qm", "-bl", "-l300", "-L95", "-kr", "-nc", "-C", "zlib licence", "-D", "Coated paper, ISO 12647-2, 300 % ink"]


def made() -> bytes:
    """The profile, with a fixed date instead of the clock's (ICC.1:2001-04, 6.1.5: bytes 24 to 35 of the header)."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(MEASURED, Path(folder) / "coated.ti3")
        subprocess.run(["colprof", *HOW, "coated"], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        data = bytearray((Path(folder) / "coated.icc").read_bytes())
    data[24:36] = b"".join(number.to_bytes(2, "big") for number in (2026, 1, 1, 0, 0, 0))
    return bytes(data)


if __name__ == "__main__":
    target = Path(__file__).with_name("coated.icc")
    target.write_bytes(made())
    sys.stdout.write(f"{target.stat().st_size} bytes\n")
