"""Metres in the whole units in which heights are shared out."""

from __future__ import annotations

from rillwright.fit.problem import Unit

PER_M: dict[Unit, float] = {"1/16 in": 16 / 0.0254, "1 mm": 1000.0}


def unit_of(system: str) -> Unit:
    """The whole unit in which a system's heights are shared out."""
    return "1/16 in" if system == "us" else "1 mm"


def counted(length_m: float, unit: Unit) -> int:
    """A length [m] in whole units."""
    return round(length_m * PER_M[unit])
