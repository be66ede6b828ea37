"""One number that went into a quantity."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """A named number in SI `unit`, so that a reader can follow how a quantity came about."""

    name: str
    value: float
    unit: str
