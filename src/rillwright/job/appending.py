"""Rows added to shots.csv so that what was acknowledged is on the disk, whenever the power goes."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct

from rillwright.errors import OutputError
from rillwright.job.shot_file import SHOT_FILE, added_to, sheet_of
from rillwright.survey import SHOTS_HEADER, Shot, ShotSheet, Unread, read_shots, write_shot


class Added(Struct, frozen=True, kw_only=True):
    """What was written: the rows that are new, those that were there already, and what is to be said about it."""

    new: tuple[Shot, ...]
    known: tuple[Shot, ...]
    sheet: ShotSheet
    notes: tuple[str, ...] = ()


def add_rows(folder: Path, rows: Sequence[Shot]) -> Added:
    """Add rows to the folder's shots.csv, whose lock the caller holds, and return once the disk has them.

    A row that stands there already, cell by cell, is not written again: what is sent twice arrives once. A last line
    that was cut off in writing is put aside first.

    Raises
    ------
    InputError
        If a row cannot be written, or shots.csv is no file of shots.
    OutputError
        If the disk does not take them; then none is written, and the file is what it was.
    """
    notes = mended(folder / SHOT_FILE, lambda: sheet_of(folder).unread)
    sheet = sheet_of(folder)
    uuids = {shot.uuid for shot in sheet.shots}
    new: list[Shot] = []
    known: list[Shot] = []
    lines: list[str] = []
    for row in rows:
        line = write_shot(row)
        written = _as_read(line)
        there = written.uuid in uuids and written.cells in {s.cells for s in (*sheet.shots, *new) if s.uuid == row.uuid}
        (known if there else new).append(written)
        if not there:
            uuids.add(written.uuid)
            lines.append(line)
    if lines:
        append(folder / SHOT_FILE, "".join(lines).encode("utf-8"), header=SHOTS_HEADER)
    grown = added_to(folder, sheet, new) if lines else sheet
    return Added(new=tuple(new), known=tuple(known), sheet=grown, notes=notes)


def _as_read(line: str) -> Shot:
    return read_shots(SHOTS_HEADER + line, file=SHOT_FILE).shots[0]


def append(file: Path, content: bytes, *, header: str) -> None:
    """Written and with the disk, or not at all."""
    fresh = not file.exists()
    try:
        handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o644)
    except OSError as error:
        raise _not_written(file, error) from error
    try:
        size = os.fstat(handle).st_size
        if size == 0:
            content = header.encode() + content
        try:
            _write_all(handle, content)
            os.fsync(handle)
        except OSError as error:
            os.ftruncate(handle, size)  # gives room back rather than asking for it
            raise _not_written(file, error) from error
    finally:
        os.close(handle)
    if fresh:
        sync_folder(file.parent)


def _write_all(handle: int, content: bytes) -> None:
    view = memoryview(content)
    while view:
        view = view[os.write(handle, view) :]


def _not_written(file: Path, error: OSError) -> OutputError:
    what = "reading" if file.name == SHOT_FILE else "tick"
    if error.errno in (errno.ENOSPC, errno.EDQUOT if hasattr(errno, "EDQUOT") else errno.ENOSPC):
        return OutputError(
            f"{file}: the disk is full, and the {what} was NOT written. Nothing of before is lost. Note the {what} "
            "on paper, make room, and enter it again"
        )
    return OutputError(f"{file}: the {what} was NOT written: {error.strerror or error}. Nothing of before is lost")


def sync_folder(folder: Path) -> None:
    """Make a new name in the folder outlast a power cut, where the system offers it."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def mended(file: Path, unread: Callable[[], Sequence[Unread]]) -> tuple[str, ...]:
    """End a last line that lacks only its end; put one that was cut off aside. Nothing acknowledged is touched."""
    if not file.exists() or file.stat().st_size == 0:
        return ()
    with file.open("rb") as stream:
        stream.seek(-1, os.SEEK_END)
        if stream.read(1) == b"\n":
            return ()
        stream.seek(0)
        content = stream.read()
    start = content.rfind(b"\n") + 1
    torn = unread()
    try:
        if not torn or not torn[-1].torn:
            with file.open("ab") as stream:
                stream.write(b"\n")
                stream.flush()
                os.fsync(stream.fileno())
            return ()
        aside = _free(file.with_name(f"{file.stem}-cut-off.csv"))
        with aside.open("xb") as stream:
            stream.write(content[start:])
            stream.flush()
            os.fsync(stream.fileno())
        with file.open("r+b") as stream:
            stream.truncate(start)
            os.fsync(stream.fileno())
    except OSError as error:
        raise _not_written(file, error) from error
    said = f"the last line of {file.name} was cut off in writing, before it was acknowledged; it lies in {aside.name}"
    again = "Read that point again." if file.name == SHOT_FILE else "Tick it again."
    return (f"{said}. {again}",)


def _free(file: Path) -> Path:
    number, found = 1, file
    while found.exists():
        number += 1
        found = file.with_name(f"{file.stem}-{number}{file.suffix}")
    return found
