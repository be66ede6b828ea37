"""A rectangle of liner with the underlay that goes under it."""

from __future__ import annotations

import math

from rillwright.feature import Feature
from rillwright.liner.result import Sheet
from rillwright.sources import default
from rillwright.units import Term

UNDERLAY = "underlay felt"
_HAIR = 1e-6  # of a step: a side that is a whole number of steps is ordered as it is


def sheets_of(
    feature: Feature, *, id: str, path: str, length_m: float, width_m: float, because: tuple[Term, ...]
) -> tuple[Sheet, ...]:
    """The piece of liner `length_m` by `width_m` [m] and its underlay, with the terms that they come from."""
    spec = feature.liner
    step = (default("liner.order_us") if feature.system == "us" else default("liner.order_metric")).number
    order = up_m(length_m, step), up_m(width_m, step)
    area = order[0] * order[1]
    liner, underlay = spec.mass_kgm2, spec.underlay_kgm2
    return (
        Sheet(
            id=id,
            kind="liner",
            name=spec.name,
            path=path,
            length_m=length_m,
            width_m=width_m,
            order_m=order,
            mass_kg=area * liner,
            because=(*because, Term(name="liner's mass by area", value=liner, unit="kg/m2")),
        ),
        Sheet(
            id=f"u-{id.removeprefix('l-')}",
            kind="underlay",
            name=UNDERLAY,
            path=path,
            length_m=length_m,
            width_m=width_m,
            order_m=order,
            mass_kg=area * underlay,
            because=(*because, Term(name="underlay's mass by area", value=underlay, unit="kg/m2")),
        ),
    )


def up_m(side_m: float, step_m: float) -> float:
    """A side [m] as it is ordered: up to the next whole number of steps [m]."""
    return math.ceil(side_m / step_m - _HAIR) * step_m
