"""The path of a pattern and new bytes for it in, the file changed whole or not at all; what the bytes say is decided elsewhere."""

from __future__ import annotations

import os
import stat

import click

from booklet.cli.files import Refused


def may_change(file: str) -> str:
    """The real path of a file that may be rewritten; refused (exit status 2) for standard input, links that lead out, and locked files."""
    if file == "-":
        raise Refused("Standard input cannot be mended in place; --diff shows what would be changed.")
    folder = os.path.realpath(os.path.dirname(file) or ".")  # noqa: PTH120
    path = os.path.realpath(file)
    if os.path.dirname(path) != folder:  # noqa: PTH120
        raise Refused(f"{file} is a link that leads out of its folder; mend the file that it leads to.")
    try:
        about = os.stat(path)  # noqa: PTH116
    except OSError as fault:
        raise Refused(f"{file} cannot be read: {fault.strerror}.") from fault
    if not stat.S_ISREG(about.st_mode):
        raise Refused(f"{file} is no ordinary file and stays as it is.")
    # The bits are asked too: whoever runs this as the machine's administrator may write everything, but did not mean to.
    if not about.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise Refused(f"{file} may only be read, and stays as it is.")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise Refused(f"{file} stays as it is: nothing can be written in its folder.")
    return path


def change(file: str, path: str, old: bytes, new: bytes) -> None:
    """Put new bytes in a file's place under its own mode. Refused where the file is not what was read any more."""
    half = os.path.join(os.path.dirname(path), f".{os.path.basename(path)}.{os.getpid()}.part")  # noqa: PTH118, PTH119, PTH120
    try:
        with open(path, "rb") as stream:  # noqa: PTH123
            now = stream.read(len(old) + len(new) + 1)
            about = os.fstat(stream.fileno())
        if now == new:
            return
        if now != old:
            raise Refused(f"{file} was changed by somebody else meanwhile, and stays as it is.")
        with open(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:  # noqa: PTH123
            stream.write(new)
            _like(stream.fileno(), about)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(half, path)  # noqa: PTH105
    except OSError as fault:
        raise Refused(f"{file} cannot be written: {fault.strerror}; it stays as it was.") from fault
    finally:
        if os.path.lexists(half):
            os.unlink(half)  # noqa: PTH108
    _keep_name(os.path.dirname(path))  # noqa: PTH120


def _like(descriptor: int, about: os.stat_result) -> None:
    """Give a new file the mode of the old one, and its owner where that is allowed."""
    if hasattr(os, "fchown") and (about.st_uid, about.st_gid) != (os.geteuid(), os.getegid()):
        try:
            os.fchown(descriptor, about.st_uid, about.st_gid)
        except OSError:
            click.echo("the mended file belongs to you now", err=True)
    if hasattr(os, "fchmod"):
        os.fchmod(descriptor, stat.S_IMODE(about.st_mode))


def _keep_name(folder: str) -> None:
    """The new name reaches the disk too; a system that cannot do that for folders is none the worse."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError:
        pass
    finally:
        os.close(descriptor)
