"""What was taped at a hold point: read from the note of its tick, and whether it is to be asked about."""

from __future__ import annotations

from typing import Literal

from rillwright.errors import UnitError
from rillwright.units import parse

OFF_SHARE = 0.05  # of what is wanted; common practice, no source: further off is a slip of the hand, or another plan
_AS_READ_M = 0.0005
_PHOTO = "photo "  # how a note begins that names a picture
Taped = Literal["", "no figure", "no length", "off"]


def taped_doubt(note: str, wanted_m: float | None) -> Taped:
    """What is odd about a taped line that was ticked; empty where nothing is.

    Parameters
    ----------
    note
        What was written beside it, such as ``14' 2"``; the name of a photo before it is passed over.
    wanted_m
        What is wanted there [m]; None where a figure is only to be written down.
    """
    text = "; ".join(part for part in note.split("; ") if not part.startswith(_PHOTO)).strip()
    if not text or (wanted_m is None and not any(letter in "0123456789" for letter in text)):
        return "no figure"
    if wanted_m is None:
        return ""
    try:
        found_m = parse(text, "length").si
    except UnitError:
        return "no length"
    return "off" if abs(found_m - wanted_m) > (taped_within_m(wanted_m) or 0.0) else ""


def taped_within_m(wanted_m: float | None) -> float | None:
    """How far what was taped may lie off what is wanted before it is asked about [m]; None where nothing is wanted."""
    return None if wanted_m is None else OFF_SHARE * wanted_m + _AS_READ_M
