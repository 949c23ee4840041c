"""Paths as typed in, bytes out, or a refusal that names the path; what the bytes mean is not asked here."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click


def read_input(file: str) -> bytes:
    """The bytes of a file, or of standard input for `-`. A file that cannot be read is refused (exit status 2)."""
    from booklet.tables.limits import limits

    most = limits()["file_bytes"] + 1  # one more than is allowed: enough for `source` to see that the file is too large
    return sys.stdin.buffer.read(most) if file == "-" else _read(file, most, "the pattern file")


def read_pdf(file: str) -> bytes:
    """The bytes of a PDF; refused where it cannot be read, or is larger than the limits (exit status 2)."""
    from booklet.tables.limits import limits

    most = limits()["press_bytes"]
    data = _read(file, most + 1, "a PDF")
    if len(data) > most:
        raise Refused(f"{file} is larger than {most // 1_000_000} MB.")
    return data


def _read(file: str, most: int, what: str) -> bytes:
    try:
        with open(file, "rb") as stream:  # noqa: PTH123 - pathlib costs `check` a millisecond
            return stream.read(most)
    except IsADirectoryError as fault:
        raise Refused(f"{file} is a folder; give {what} in it.") from fault
    except FileNotFoundError as fault:
        raise Refused(f"There is no file {file}.{_like(file)}") from fault
    except (OSError, ValueError) as fault:
        raise Refused(f"{file} cannot be read: {getattr(fault, 'strerror', None) or fault}.") from fault


def house_file(pattern: str, given: str | None) -> bytes | None:
    """The house file: the one that was asked for, else house.yaml beside the pattern, else none."""
    if given is not None:
        return read_input(given)
    if pattern == "-":
        return None
    beside = os.path.join(os.path.dirname(pattern), "house.yaml")  # noqa: PTH118, PTH120
    return read_input(beside) if os.path.isfile(beside) else None  # noqa: PTH113


def output_folder(folder: str) -> Path:
    """The folder that results go to, made if need be. Refused where it cannot be written (exit status 2)."""
    path = Path(folder)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError as fault:
        raise Refused(f"{folder} is a file; give a folder with -o.") from fault
    except OSError as fault:
        raise Refused(f"The folder {folder} cannot be made: {fault.strerror}.") from fault
    if not os.access(path, os.W_OK | os.X_OK):
        raise Refused(f"The folder {folder} cannot be written to.")
    return path


def free_for_writing(path: Path) -> None:
    """Refused where a folder stands in the file's place (exit status 2)."""
    if path.is_dir():
        raise Refused(f"{path} is a folder; nothing was written. Move it away, or give another folder with -o.")


def write_whole(path: Path, data: bytes) -> None:
    """Write a file under another name first, then put it in its place: it is there whole or not at all."""
    free_for_writing(path)
    half = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        half.write_bytes(data)
        half.replace(path)
    except OSError as fault:
        raise Refused(f"{path} cannot be written: {fault.strerror}.") from fault
    finally:
        half.unlink(missing_ok=True)  # an interrupt too leaves no half file


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, whole or not at all; refused where it has come to be there meanwhile."""
    half = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        half.write_bytes(data)
        # A link, not a rename: it fails where the name is taken, so that nobody's file can be replaced.
        os.link(half, path)
    except FileExistsError as fault:
        raise Refused(f"{path} is there already and stays as it is; give another folder.") from fault
    except OSError as fault:
        raise Refused(f"{path} cannot be written: {fault.strerror}.") from fault
    finally:
        half.unlink(missing_ok=True)


class Refused(click.ClickException):
    """What was asked for cannot be done; exit status 2."""

    exit_code = 2

    def __init__(self, message: str) -> None:
        from booklet.reports.cells import harmless

        super().__init__(harmless(message))


def _like(file: str) -> str:
    from booklet.cli.close import closest

    folder, name = os.path.split(file)
    try:
        found = closest(name, os.listdir(folder or "."))  # noqa: PTH208
    except OSError:
        return ""
    return f" Did you mean {os.path.join(folder, found)}?" if found else ""  # noqa: PTH118
