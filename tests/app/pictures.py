"""The smallest pictures, one of each kind that is kept, and what only looks like one. All are made up."""

from __future__ import annotations

import base64
import struct
import zlib


def _part(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def png(red: int = 27, green: int = 107, blue: int = 134, side: int = 1) -> bytes:
    """A square of one colour, `side` pixels wide (PNG, ISO/IEC 15948)."""
    rows = (b"\0" + bytes((red, green, blue)) * side) * side
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    parts = (_part(b"IHDR", head), _part(b"IDAT", zlib.compress(rows)), _part(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


_WEBP = "UklGRiQAAABXRUJQVlA4IBgAAAAwAQCdASoBAAEAAgA0JaQAA3AA/vuUAAA="  # one pixel
_HEIC = struct.pack(">I", 24) + b"ftypheic\0\0\0\0mif1heic" + b"\0" * 40  # a head without its picture
PICTURES = {
    "jpg": b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0\xff\xd9",  # a head without its picture
    "png": png(),
    "webp": base64.b64decode(_WEBP),
    "heic": _HEIC,
}
NO_PICTURES = {
    "nothing": b"",
    "text": b"not a picture",
    "a page": b"<!doctype html><script>alert(1)</script>",
    "a drawing": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
    "GIF": b"GIF89a" + b"\0" * 20,
    "a sound": b"RIFF\0\0\0\0WAVE",
    "a film": struct.pack(">I", 20) + b"ftypisom\0\0\0\0mp41",
    "a box cut short": b"\0\0\0\x18ftyp",
    "a paper": b"%PDF-1.7",
}
