"""Where the three folders are, in a checkout, in a wheel, and when somebody lost one."""

from __future__ import annotations

import importlib.util
import shutil
import sys
from pathlib import Path
from types import ModuleType

import pytest

from booklet import resources

SOURCE = Path(resources.__file__)


def installed(folder: Path) -> ModuleType:
    """resources.py as if it stood in another place."""
    package = folder / "booklet"
    package.mkdir(parents=True)
    path = shutil.copy(SOURCE, package)
    spec = importlib.util.spec_from_file_location("resources_elsewhere", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_in_a_checkout_the_folders_stand_beside_the_package(tmp_path: Path) -> None:
    (tmp_path / "pyproject.toml").touch()
    (tmp_path / "shared").mkdir()
    assert installed(tmp_path).folder("shared") == tmp_path / "shared"


def test_in_a_wheel_they_are_inside_it_even_if_others_stand_beside(tmp_path: Path) -> None:
    module = installed(tmp_path)
    (tmp_path / "shared").mkdir()
    (tmp_path / "pyproject.toml").touch()
    (tmp_path / "booklet" / "_data" / "shared").mkdir(parents=True)
    assert module.folder("shared") == tmp_path / "booklet" / "_data" / "shared"


def test_somebody_elses_folder_is_not_taken(tmp_path: Path) -> None:
    module = installed(tmp_path)
    (tmp_path / "fonts").mkdir()
    with pytest.raises(module.FolderMissing) as caught:
        module.folder("fonts")
    assert str(tmp_path / "booklet" / "_data" / "fonts") in str(caught.value)
    assert str(tmp_path / "fonts") in str(caught.value)


def test_only_our_three_folders_have_a_name(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="layouts, fonts, shared"):
        resources.folder("tests")
