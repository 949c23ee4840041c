"""sdist and wheel carry the three folders and the licences, and an installed wheel works far away from the checkout.

The fresh environment borrows the libraries of this one through a .pth file: to install them anew would take half a minute
and prove nothing about our wheel. Our own package cannot be borrowed that way, since .pth files of a borrowed folder
(the editable install is one) are not read; the test makes sure.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("layouts", "fonts", "shared")


def run(*command: object, folder: Path, **environment: str) -> str:
    kept = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "FONTCONFIG_FILE")}
    done = subprocess.run(
        [str(word) for word in command], cwd=folder, env={**kept, **environment}, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def files_of(folder: str) -> set[str]:
    """What is in a folder of the checkout, apart from what git ignores."""
    found = (path for path in (ROOT / folder).rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return {path.relative_to(ROOT).as_posix() for path in found}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist and the wheel made from it, both by the build tools that are installed here."""
    folder = tmp_path_factory.mktemp("built")
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", folder, ROOT, folder=folder)
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    (found,) = built.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def environment(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of programs of a fresh environment with the wheel."""
    folder = tmp_path_factory.mktemp("fresh place")
    run(sys.executable, "-m", "venv", "--without-pip", folder / "venv", folder=folder)
    programs = folder / "venv" / ("Scripts" if os.name == "nt" else "bin")
    run(sys.executable, "-m", "pip", "--python", programs / "python", "install", "--quiet", "--no-index", "--no-deps",
        "--disable-pip-version-check", wheel, folder=folder)  # fmt: skip
    (packages,) = (folder / "venv").rglob("site-packages")
    (packages / "borrowed.pth").write_text(sysconfig.get_paths()["purelib"] + "\n", "utf-8")
    return programs


def test_the_sdist_holds_everything_that_the_wheel_is_made_from(built: Path) -> None:
    (sdist,) = built.glob("*.tar.gz")
    with tarfile.open(sdist) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert {"pyproject.toml", "LICENSE", "booklet/__init__.py"} <= names
    for folder in FOLDERS:
        assert files_of(folder) <= names
    assert not any(name.startswith((".venv", "build/", ".git/")) for name in names)


def test_the_wheel_lists_the_three_folders_the_command_and_the_licences(wheel: Path) -> None:
    assert wheel.name.startswith("pattern_booklet-")
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        info = next(name.split("/")[0] for name in names if ".dist-info/" in name)
        entry_points = archive.read(f"{info}/entry_points.txt").decode()
        metadata = archive.read(f"{info}/METADATA").decode()
    for folder in FOLDERS:
        assert {f"booklet/_data/{name}" for name in files_of(folder)} <= names
    assert {name.split("/")[0] for name in names} == {"booklet", info}
    assert "booklet = booklet.cli:main" in entry_points
    licences = {f"{info}/licenses/LICENSE", *(f"{info}/licenses/{p}" for p in files_of("fonts") if p.endswith("OFL.txt"))}
    assert licences <= names
    assert len(licences) == 5
    assert "Name: pattern-booklet\n" in metadata
    assert "requires-dist: weasyprint==70.0\n" in metadata.lower()


def test_the_installed_wheel_finds_its_own_folders(environment: Path, tmp_path: Path) -> None:
    program = "import booklet; from booklet.resources import folder, NAMES; print(booklet.__file__, *map(folder, NAMES), sep='\\n')"
    places = run(environment / "python", "-c", program, folder=tmp_path).splitlines()
    assert len(places) == 4
    for place in places:
        assert Path(place).is_relative_to(environment.parent), place


TITLE = """
import hashlib, sys
from booklet.outputs.pdf import write_pdf
made = write_pdf('<html lang="en"><head><title>T</title></head><body><h1>A title ☐</h1></body></html>', {})
print(made.page_count, hashlib.sha256(made.data).hexdigest())
"""


def test_wheel_and_checkout_print_the_same_bytes(environment: Path, tmp_path: Path) -> None:
    from_wheel = run(environment / "python", "-c", TITLE, folder=tmp_path)
    assert from_wheel == run(sys.executable, "-c", TITLE, folder=tmp_path)
    assert from_wheel.startswith("1 ")


@pytest.mark.skipif(not importlib.util.find_spec("booklet.cli.build"), reason="there is no `booklet build` yet")
def test_the_installed_command_builds_a_booklet_in_another_folder(environment: Path, tmp_path: Path) -> None:
    pattern = next((ROOT / "examples" / "acorn").glob("*.md"))
    printed = run(environment / "booklet", "build", pattern, "-o", tmp_path / "out", "--layout", "a5", folder=tmp_path)
    (made,) = (Path(line) for line in printed.splitlines())
    assert (tmp_path / made).read_bytes().startswith(b"%PDF-")
    of_checkout = Path(sys.executable).with_name("booklet")
    run(of_checkout, "build", pattern, "-o", tmp_path / "again", "--layout", "a5", folder=tmp_path)
    assert (tmp_path / "again" / made.name).read_bytes() == (tmp_path / made).read_bytes()
