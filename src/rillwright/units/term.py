"""One number that went into a quantity."""

from __future__ import annotations

from msgspec import Struct


class Term(Struct, frozen=True, kw_only=True):
    """A named number in SI `unit`, so that a reader can follow how a quantity came about."""

    name: str
    value: float
    unit: str
