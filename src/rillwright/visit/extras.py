"""The optional answer that is more than one word: a machine of one's own."""

from __future__ import annotations

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.units import Quantity, parse

_ALLOWED = "width, reach, lift at radius: 3 ft, 9 ft, 600 lb at 6 ft"


class OwnMachine(Struct, frozen=True, kw_only=True):
    """A machine by the plate and the chart that it carries, as typed."""

    width: Quantity
    reach: Quantity
    lift: Quantity
    lift_at: Quantity


def own_machine(typed: str) -> OwnMachine:
    """The machine that '3 ft, 9 ft, 600 lb at 6 ft' says. Raises InputError."""
    parts = [part.strip() for part in typed.split(",")]
    lift, at, radius = (parts[-1] if len(parts) == 3 else "").partition(" at ")
    if not at:
        raise InputError(Problem(message="is no machine", found=repr(typed[:60]), allowed=_ALLOWED))
    said = OwnMachine(
        width=parse(parts[0], "length"),
        reach=parse(parts[1], "length"),
        lift=parse(lift, "mass"),
        lift_at=parse(radius, "length"),
    )
    if min(said.width.si, said.reach.si, said.lift.si, said.lift_at.si) <= 0.0:
        raise InputError(Problem(message="each has to be more than nothing", found=repr(typed[:60]), allowed=_ALLOWED))
    return said
