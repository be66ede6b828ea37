"""A rectangle of liner with the underlay that goes under it."""

from __future__ import annotations

from rillwright.feature import LinerSpec
from rillwright.liner.result import Sheet
from rillwright.units import Term

UNDERLAY = "underlay felt"


def sheets_of(
    spec: LinerSpec, *, id: str, path: str, length_m: float, width_m: float, because: tuple[Term, ...]
) -> tuple[Sheet, ...]:
    """The piece of liner `length_m` by `width_m` [m] and its underlay, with the terms that they come from."""
    area = length_m * width_m
    liner, underlay = spec.mass_kgm2, spec.underlay_kgm2
    return (
        Sheet(
            id=id,
            kind="liner",
            name=spec.name,
            path=path,
            length_m=length_m,
            width_m=width_m,
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
            mass_kg=area * underlay,
            because=(*because, Term(name="underlay's mass by area", value=underlay, unit="kg/m2")),
        ),
    )
