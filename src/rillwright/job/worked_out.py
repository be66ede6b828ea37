"""A number that was worked out, as it is told when it is touched."""

from __future__ import annotations

from msgspec import Struct


class WorkedOut(Struct, frozen=True, kw_only=True):
    """One number: as `Told` of tracing, with the element whose values `wanted` move it."""

    what: str
    value: str = ""
    band: str = ""
    came: tuple[str, ...]
    path: str = ""
    wanted: tuple[str, ...] = ()
