"""Who may come in: devices paired by a code that is good once. A token is kept by its digest alone."""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
import tempfile
import threading
import time
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from rillwright.errors import InputError, OutputError, Problem

FOLDER = ".rillwright"
FILE = "devices.json"
CODE_LASTS_S = 3600.0
LONGEST_NAME = 40
MOST_DEVICES = 200


class Device(Struct, frozen=True, kw_only=True):
    """A device that was paired: its name, SHA-256 of its token, and when that was."""

    name: str
    digest: str
    paired: str


class Paired(Struct, frozen=True, kw_only=True):
    """A device's own token, told once and kept nowhere here."""

    name: str
    token: str


class Access:
    """The devices of a served folder. Their file may be changed by another process at any time."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / FOLDER / FILE
        self._lock = threading.Lock()
        self._seen: tuple[tuple[int, int, int], tuple[Device, ...]] | None = None
        self._code: tuple[str, float] | None = None  # digest, and until when

    def devices(self) -> tuple[Device, ...]:
        """Those paired. Raises InputError if their file cannot be read."""
        try:
            status = self.file.stat()
        except FileNotFoundError:
            return ()
        except OSError as error:
            raise InputError(Problem(message=f"could not be read: {error.strerror}", file=str(self.file))) from error
        key = (status.st_ino, status.st_size, status.st_mtime_ns)
        seen = self._seen
        if seen is None or seen[0] != key:
            seen = self._seen = (key, _read(self.file))
        return seen[1]

    def who(self, token: str) -> str | None:
        """The name of the device whose token it is. Every device is compared, each in constant time."""
        digest, found = _digest(token), None
        for device in self.devices():
            if hmac.compare_digest(device.digest, digest):
                found = device.name
        return found

    def new_code(self) -> str:
        """A code by which one device can be paired, within the hour; the one before it is void."""
        code = secrets.token_urlsafe(16)
        with self._lock:
            self._code = (_digest(code), time.monotonic() + CODE_LASTS_S)
        return code

    def pair(self, code: str, name: str) -> Paired | None:
        """A token for the device that shows the code; None if that is not good, or not any more.

        Raises
        ------
        InputError
            If the name cannot be used, or there are too many devices; the code stays good.
        OutputError
            If the device cannot be noted; then it is not paired.
        """
        with self._lock:
            good = self._code
            if good is None or time.monotonic() > good[1] or not hmac.compare_digest(good[0], _digest(code)):
                return None
            devices = self.devices()
            name = _free(_name(name), {device.name for device in devices})
            if len(devices) >= MOST_DEVICES:
                raise InputError(
                    Problem(message="too many devices are paired: withdraw some", allowed=f"{MOST_DEVICES}")
                )
            token = secrets.token_urlsafe(32)
            now = datetime.now().astimezone().isoformat(timespec="seconds")
            self._write((*devices, Device(name=name, digest=_digest(token), paired=now)))
            self._code = None
        return Paired(name=name, token=token)

    def withdraw(self, name: str) -> bool:
        """Let a device in no more; False if there is none of that name. Raises OutputError if it cannot be noted."""
        with self._lock:
            devices = self.devices()
            left = tuple(device for device in devices if device.name != name)
            if len(left) < len(devices):
                self._write(left)
        return len(left) < len(devices)

    def _write(self, devices: tuple[Device, ...]) -> None:
        rows = [{"name": each.name, "digest": each.digest, "paired": each.paired} for each in devices]
        content = json.dumps({"devices": rows}, indent=1).encode()
        try:
            self.file.parent.mkdir(mode=0o700, exist_ok=True)
            handle, partial = tempfile.mkstemp(dir=self.file.parent, prefix=".devices-")  # for its owner alone
            try:
                with os.fdopen(handle, "wb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                os.replace(partial, self.file)
            except BaseException:
                Path(partial).unlink(missing_ok=True)
                raise
        except OSError as error:
            raise OutputError(f"{self.file}: could not be written: {error.strerror or error}") from error


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def _read(file: Path) -> tuple[Device, ...]:
    try:
        rows = json.loads(file.read_bytes())["devices"]
        return tuple(Device(name=str(r["name"]), digest=str(r["digest"]), paired=str(r["paired"])) for r in rows)
    except (OSError, ValueError, KeyError, TypeError) as error:
        message = "is no list of devices: nobody but this machine is let in. Put it away, and pair again"
        raise InputError(Problem(message=message, file=str(file))) from error


def _name(said: str) -> str:
    name = " ".join(said.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        allowed = f"1 to {LONGEST_NAME} characters, all of them printable"
        raise InputError(Problem(message="is no name for a device", field="name", allowed=allowed))
    return name


def _free(name: str, taken: set[str]) -> str:
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{name} {number}"
    return found
