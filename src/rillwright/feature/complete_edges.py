"""Edges of liner, completed: rims with what lies under and over them, and what goes through the liner."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.feature.filling import Filling
from rillwright.feature.levels import Origin, Surface
from rillwright.feature.model import Rim
from rillwright.feature.model_edges import Penetration
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import RimSaid
from rillwright.feature.schema_edges import PenetrationSaid
from rillwright.feature.yaml_text import Location
from rillwright.sources import default, fill


def rim(said: RimSaid, index: int, body: str, location: Location, levels: Levels) -> Rim | None:
    """One place on a rim; None (and problems noted) if it cannot be."""
    ground = levels.resolve(said.ground, Surface.GROUND, (*location, "ground"))
    if ground is None:
        return None
    id = said.id or f"r{index + 1}"
    settlement = _settlement(said, f"rims/{id}.settlement", levels.filling)
    if settlement >= 1:
        allowed = "less than 100 %"
        levels.filling.wrong((*location, "settlement"), "fill cannot settle by all of its height", allowed=allowed)
        return None
    return Rim(
        id=id,
        body=body,
        ground=ground,
        berm_m=said.berm.si if said.berm else 0.0,
        settlement=settlement,
        at=None if said.at is None else (said.at[0].si, said.at[1].si),
        fill=said.fill or "",
        cover=said.cover or "",
    )


def _settlement(said: RimSaid, path: str, filling: Filling) -> float:
    """The share by which a berm settles [-]: as typed, by the kind of its fill, or as is usual; 0 without one."""
    if said.berm is None or said.berm.si <= 0:
        return 0.0
    if said.settlement is None and said.fill is not None:
        share = fill(said.fill).settles.value
        filling.computed("pond.settlement", share, unit=default("pond.settlement").unit, path=path)
        return share
    return filling.value(said.settlement, "pond.settlement", path)


def penetrations(
    said: Sequence[PenetrationSaid], through: str, location: Location, levels: Levels
) -> tuple[Penetration, ...]:
    """What goes through the liner of one body or reach, `through` its path."""
    found = []
    for index, row in enumerate(said):
        level = levels.resolve(row.level, Surface.LINER, (*location, index, "level"), origin=Origin.PLANNED)
        if level is not None:
            found.append(
                Penetration(
                    id=row.id or f"{through.partition('/')[2]}-{row.kind}{index + 1}",
                    kind=row.kind,
                    through=through,
                    level=level,
                    at=None if row.at is None else (row.at[0].si, row.at[1].si),
                    flange=row.flange,
                )
            )
    return tuple(found)
