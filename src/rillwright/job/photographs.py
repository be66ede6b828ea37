"""Photos of a job: told by their first bytes, kept under files/ by their SHA-256, listed in the feature file."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, OutputError, Problem
from rillwright.job.files import read_bytes, write_whole
from rillwright.job.opening import Edit, Job
from rillwright.job.saving import save

LARGEST_PHOTO = 20_000_000  # bytes; a phone's own are a fifth to a half of it
FOLDER = "files"
_LISTED = ("photos",)
_NAME = re.compile(rf"{FOLDER}/([0-9a-f]{{64}})\.([a-z]{{3,4}})")
_ALLOWED = "a JPEG, PNG, WebP or HEIC picture"
_HEIC = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"}
_MOST_BRANDS = 128  # bytes of a list that rarely has more than six


class PhotoKind(Struct, frozen=True, kw_only=True):
    """A kind of picture; one that is not `shown` is kept, and handed out as a file."""

    suffix: str
    media_type: str
    shown: bool = True


class Photo(Struct, frozen=True, kw_only=True):
    """A photo that lies in a job's folder: its name there without `files/`, its kind, and its size [bytes]."""

    name: str
    kind: PhotoKind
    size: int


JPEG = PhotoKind(suffix="jpg", media_type="image/jpeg")
PNG = PhotoKind(suffix="png", media_type="image/png")
WEBP = PhotoKind(suffix="webp", media_type="image/webp")
HEIC = PhotoKind(suffix="heic", media_type="image/heic", shown=False)
KINDS = (JPEG, PNG, WEBP, HEIC)


def kind_of(content: bytes) -> PhotoKind | None:
    """The kind of a picture by its first bytes, whatever it is called; None for what is none.

    JPEG begins with its start of image and a marker (ISO/IEC 10918-1), PNG with its signature (ISO/IEC 15948), WebP is
    a RIFF form (RFC 9649), HEIC says its brands in its first box (ISO/IEC 23008-12).
    """
    if content[:3] == b"\xff\xd8\xff":
        return JPEG
    if content[:8] == b"\x89PNG\r\n\x1a\n":
        return PNG
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return WEBP
    return HEIC if content[4:8] == b"ftyp" and _brands(content) & _HEIC else None


def _brands(content: bytes) -> set[bytes]:
    end = min(int.from_bytes(content[:4], "big"), _MOST_BRANDS)
    return {content[8:12], *(content[at : at + 4] for at in range(16, end, 4))}


def photo_name(content: bytes) -> str:
    """The path that a picture has in a job's folder.

    Raises
    ------
    InputError
        If it is empty, too large, or no picture of these kinds.
    """
    if not content:
        raise InputError(Problem(message="is empty", field="photo"))
    if len(content) > LARGEST_PHOTO:
        raise InputError(Problem(message="is too large", field="photo", found=_mb(len(content)), allowed=largest()))
    kind = kind_of(content)
    if kind is None:
        message = "is no picture that can be kept, whatever its name says"
        raise InputError(Problem(message=message, field="photo", allowed=_ALLOWED))
    return f"{FOLDER}/{hashlib.sha256(content).hexdigest()}.{kind.suffix}"


def largest() -> str:
    """The bound in words."""
    return f"up to {_mb(LARGEST_PHOTO)}"


def _mb(size: int) -> str:
    return f"{-(-size // 100_000) / 10:g} MB"


def keep_photo(job: Job, content: bytes, *, who: str = "") -> Job:
    """The job with one more photo: its file first, then its line. One that is there already is kept once.

    Raises
    ------
    InputError
        If it is no picture that can be kept.
    OutputError
        If the feature file was changed by another hand since it was read, or nothing can be written.
    """
    name = photo_name(content)
    put_photo(job.path.parent, name, content)
    if name in job.document.said.photos:
        return job
    before = job.document.text
    added = job.with_document(job.document.with_entry(_LISTED, name))
    edit = Edit(location=_LISTED, typed=name, before=before)
    return save(replace(added, edits=(*job.edits, edit)), who=who)


def put_photo(folder: Path, name: str, content: bytes) -> None:
    """Write a picture to its path in a job's folder. Raises OutputError."""
    path = folder / name
    try:
        path.parent.mkdir(exist_ok=True)
        if path.is_file() and path.read_bytes() == content:
            return
    except OSError as error:
        raise OutputError(f"{path}: could not be written: {error.strerror or error}") from error
    write_whole(path, content, over=True)


def photos_of(job: Job) -> tuple[Photo, ...]:
    """The photos that the job's file lists and that lie there whole."""
    found = []
    for name in job.document.said.photos:
        try:
            found.append(read_photo(job, name.removeprefix(f"{FOLDER}/"))[0])
        except InputError:
            continue
    return tuple(found)


def read_photo(job: Job, name: str) -> tuple[Photo, bytes]:
    """A photo and what it holds, by its name without `files/`.

    Only what the job's file lists, and what is the picture that its name says: a name is a digest, so that nothing else
    of this machine can be had by one.

    Raises
    ------
    InputError
        If there is no such photo.
    """
    listed = f"{FOLDER}/{name}"
    missing = InputError(Problem(message="there is no such photo here", found=repr(name[:80])))
    match = _NAME.fullmatch(listed)
    if match is None or listed not in job.document.said.photos:
        raise missing
    content = read_bytes(job.path.parent / listed, file=listed)
    kind = kind_of(content)
    if kind is None or kind.suffix != match[2] or hashlib.sha256(content).hexdigest() != match[1]:
        raise missing
    return Photo(name=name, kind=kind, size=len(content)), content
