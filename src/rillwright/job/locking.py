"""One writer to a job's folder at a time. The system holds the lock, so a program that died holds none."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rillwright.errors import Busy, OutputError

LOCK_FILE = "job.lock"
PATIENCE_S = 10.0
_PAUSE_S = 0.01


@contextmanager
def locked(folder: Path, *, patience_s: float = PATIENCE_S) -> Iterator[None]:
    """Hold the folder's lock; the file `job.lock` says who holds it and may lie about afterwards.

    Raises
    ------
    Busy
        If another program holds it for longer than `patience_s` [s].
    OutputError
        If the folder cannot be written.
    """
    file = folder / LOCK_FILE
    try:
        handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be written to: {error.strerror or error}; nothing was written") from error
    try:
        _wait(handle, folder, patience_s)
        try:
            _sign(handle)
            yield
        finally:
            _release(handle)
    finally:
        os.close(handle)


def _wait(handle: int, folder: Path, patience_s: float) -> None:
    until = time.monotonic() + patience_s
    while not _take(handle):
        if time.monotonic() >= until:
            raise Busy(f"{folder}: another program ({_holder(handle)}) is writing there; nothing was written")
        time.sleep(_PAUSE_S)


def _sign(handle: int) -> None:
    """Who holds it, for whoever waits; a full disk does not matter here."""
    try:
        os.ftruncate(handle, 0)
        os.pwrite(handle, f"process {os.getpid()}\n".encode(), 0) if hasattr(os, "pwrite") else None
    except OSError:
        return


def _holder(handle: int) -> str:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        return os.read(handle, 80).decode("utf-8", "replace").strip() or "unknown"
    except OSError:
        return "unknown"


if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30  # a byte beyond what is written, so that others may read who holds it

    def _take(handle: int) -> bool:
        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _release(handle: int) -> None:
        os.lseek(handle, _FAR, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _take(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _release(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_UN)
