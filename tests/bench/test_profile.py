"""The profile for the press is what its measurements and the named program give: slow, so it stands with the benches."""

from __future__ import annotations

import runpy
import shutil
from pathlib import Path

import pytest

PRESS = Path(__file__).resolve().parents[2] / "shared" / "press"


def test_the_profile_is_made_from_its_measurements_byte_for_byte() -> None:
    """Argyll's colprof 2.3.1 and the FOGRA39L measurements of Debian's icc-profiles-free are the outside check."""
    maker = runpy.run_path(str(PRESS / "make_profile.py"), run_name="made")
    if shutil.which("colprof") is None or not maker["MEASURED"].is_file():
        pytest.skip("colprof or the measurements ARE NOT HERE: apt-get install icc-profiles-free argyll; coated.icc was not made again")
    assert maker["made"]() == (PRESS / "coated.icc").read_bytes()
