"""Bands from what a value may be as well."""

from __future__ import annotations

from rillwright.units import Band


def band_of(value: float, *others: float) -> Band:
    """The band that `value` and what it may be as well span [its unit]."""
    return Band(value, min(value, *others), max(value, *others))
