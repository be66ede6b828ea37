"""One number that went into a quantity."""

from __future__ import annotations

from msgspec import Struct


class Term(Struct, frozen=True, kw_only=True):
    """A named number in SI `unit`, so that a reader can follow how a quantity came about.

    `kind` is "earth" for a volume of soil, which is told in other units than one of water.
    """

    name: str
    value: float
    unit: str
    kind: str = ""
