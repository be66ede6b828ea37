"""Reading and writing files so that nothing is lost: read whole or refused, written whole or not at all."""

from __future__ import annotations

import codecs
import os
import tempfile
from pathlib import Path

from rillwright.errors import InputError, OutputError, Problem

LARGEST_FILE = 50_000_000  # bytes


def read_text(path: Path, *, file: str) -> str:
    """The text of a file, by the name `file` in messages.

    Raises
    ------
    InputError
        If it is not there, is no file, is too large, or is not UTF-8 text.
    """
    try:
        return read_bytes(path, file=file).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = "is not text in UTF-8"
        raise InputError(Problem(message=message, file=file, found=f"byte {error.start}: {error.reason}")) from error


def read_bytes(path: Path, *, file: str, most: int = LARGEST_FILE) -> bytes:
    """What a file of up to `most` bytes holds, by the name `file` in messages.

    Raises
    ------
    InputError
        If it is not there, is no file, or is too large.
    """
    try:
        if path.is_dir():
            raise InputError(Problem(message="is a folder, not a file", file=file))
        size = path.stat().st_size
        if size > most:
            allowed = f"up to {most:,} bytes"
            raise InputError(
                Problem(message="is too large to be read", file=file, found=f"{size:,} bytes", allowed=allowed)
            )
        return path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(Problem(message="is not there", file=file)) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(Problem(message=f"could not be read: {reason}", file=file)) from error


def mark_of(path: Path) -> bytes:
    """The byte order mark with which a file begins, or nothing: `read_text` leaves it out, who writes puts it back."""
    try:
        with path.open("rb") as file:
            return codecs.BOM_UTF8 if file.read(len(codecs.BOM_UTF8)) == codecs.BOM_UTF8 else b""
    except OSError:
        return b""


def write_whole(path: Path, content: bytes, *, over: bool) -> None:
    """Write a file so that it is either the old one or the whole new one, whenever the power goes.

    Raises
    ------
    OutputError
        If it exists and `over` is false, or cannot be written.
    """
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=f".{path.name}.", delete=False) as partial:
            try:
                partial.write(content)
                partial.flush()
                os.fsync(partial.fileno())
                partial.close()
                _put(Path(partial.name), path, over=over)
            except BaseException:
                partial.close()
                Path(partial.name).unlink(missing_ok=True)
                raise
    except OSError as error:
        raise OutputError(f"{path}: could not be written: {error.strerror or error}") from error


def _put(partial: Path, path: Path, *, over: bool) -> None:
    if path.is_dir():
        raise OutputError(f"{path}: is a folder")
    mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    partial.chmod(mode)
    if over:
        os.replace(partial, path)
        return
    try:
        os.link(partial, path)  # fails where the name is taken, even by somebody at this very moment
    except FileExistsError as error:
        raise OutputError(f"{path}: is there already and is not written over") from error
    except OSError:  # a disk without links
        if path.exists():
            raise OutputError(f"{path}: is there already and is not written over") from None
        os.replace(partial, path)
        return
    partial.unlink()


def inside(folder: Path, name: str, *, such_as: str) -> Path:
    """The path of a file that a job names; it lies in the job's folder.

    Raises
    ------
    InputError
        If it does not.
    """
    path = folder / name
    try:
        path.resolve().relative_to(folder.resolve())
    except (ValueError, OSError) as error:
        allowed = f"a path below the job's folder, such as {such_as}"
        raise InputError(Problem(message="lies outside the job's folder", file=name, allowed=allowed)) from error
    return path
