"""Sizes of units as files of sites name them."""

from __future__ import annotations

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import shown

# The US survey foot is 1200/3937 m, retired at the end of 2022; from memory. The others are definitions.
SIZES_M = {
    "m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": 0.3048, "us ft": 1200.0 / 3937.0, "in": 0.0254,
    "yd": 0.9144, "mile": 1609.344,
}  # fmt: skip
SAID = ("m", "ft", "us ft", "in", "mm")  # what a person may say of a file that does not


def size_m(unit: str | None, *, file: str) -> float:
    """Size [m] of the unit that a person says a file is in, where the file itself says none.

    Raises
    ------
    InputError
        If nobody says, or it is none.
    """
    if unit is None:
        message = "does not say in which unit it is; say it"
        raise InputError(Problem(message=message, file=file, field="unit", allowed=", ".join(SAID)))
    if unit not in SAID:
        raise InputError(Problem(message="unknown unit", file=file, found=shown(unit), allowed=", ".join(SAID)))
    return SIZES_M[unit]


def named(size: float) -> str:
    """The name of a unit by its size [m]; empty where it has none."""
    return next((name for name, known in SIZES_M.items() if known == size), "")


def agreed(named: str, unit: str | None, *, file: str) -> tuple[float, tuple[str, ...]]:
    """Size [m] of the unit that a file names, and a remark where a person says another: the file's own counts."""
    if unit is None or unit == named:
        return SIZES_M[named], ()
    return SIZES_M[named], (f"{file} says that it is in {named}; that counts, not {unit}",)
