"""By how much to build something higher, as it can be set out with a rod: never less than it lacks."""

from __future__ import annotations

import math

from rillwright.units import parse

_ON_ROD = {"us": parse("1/8 in", "length").si, "metric": parse("1 mm", "length").si}
_LEAST = {"us": parse("1/8 in", "length").si, "metric": parse("3 mm", "length").si}  # what a rod is read to, about
_HAIR = 1e-6


def to_set_out_m(lacks_m: float, system: str) -> float:
    """What lacks so much [m] up to the next mark of the reader's rod [m]; nothing where nothing lacks."""
    if lacks_m <= 0.0:
        return 0.0
    step = _ON_ROD.get(system, _ON_ROD["metric"])
    return max(math.ceil(lacks_m / step - _HAIR) * step, _LEAST.get(system, step))
