"""What stands and lies about the work, completed: footings, paving, buildings, trees, buried services."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rillwright.feature.levels import XY, Level, Surface
from rillwright.feature.model_site import Building, Footing, Paving, ServiceLine, Tree
from rillwright.feature.references import LevelRef
from rillwright.feature.resolve import Levels
from rillwright.feature.schema_site import SiteSaid
from rillwright.feature.yaml_text import Location
from rillwright.units import Quantity

_AREA_M2 = 1e-4  # an edge that goes round less than this is no area


def footings(said: SiteSaid, levels: Levels) -> tuple[Footing, ...]:
    """Footings with the levels of their foot."""
    found = []
    for index, row in enumerate(said.footings):
        base = levels.resolve(row.base, Surface.GROUND, ("site", "footings", index, "base"))
        if base is not None:
            found.append(Footing(id=row.id or f"f{index + 1}", line=_points(row.line), base=base))
    return tuple(found)


def paving(said: SiteSaid, levels: Levels) -> tuple[Paving, ...]:
    """Paved areas with the levels of the foot of their base."""
    found = []
    for index, row in enumerate(said.paving):
        place = ("site", "paving", index)
        base = levels.resolve(row.base, Surface.GROUND, (*place, "base"))
        outline = _area(row.outline, (*place, "outline"), levels)
        if base is not None:
            found.append(Paving(id=row.id or f"paved{index + 1}", outline=outline, base=base))
    return tuple(found)


def buildings(said: SiteSaid, levels: Levels) -> tuple[Building, ...]:
    """Buildings, with the foot of their footings where it is known."""
    found = []
    for index, row in enumerate(said.buildings):
        place = ("site", "buildings", index)
        outline = _area(row.outline, (*place, "outline"), levels)
        base = _maybe(row.base, (*place, "base"), levels)
        found.append(Building(id=row.id or f"house{index + 1}", outline=outline, base=base))
    return tuple(found)


def trees(said: SiteSaid) -> tuple[Tree, ...]:
    """Trees with the diameter of their trunk: as said, or girth over pi."""
    found = []
    for index, row in enumerate(said.trees):
        across = row.trunk.si if row.trunk is not None else 0.0
        if row.girth is not None:
            across = row.girth.si / math.pi
        at = (row.at[0].si, row.at[1].si)
        found.append(Tree(id=row.id or f"tree{index + 1}", at=at, trunk_m=across, note=row.note or ""))
    return tuple(found)


def service_lines(said: SiteSaid, levels: Levels) -> tuple[ServiceLine, ...]:
    """Buried services as they were marked."""
    found = []
    for index, row in enumerate(said.service_lines):
        found.append(
            ServiceLine(
                id=row.id or f"service{index + 1}",
                kind=row.kind,
                line=_points(row.line),
                depth_m=None if row.depth is None else row.depth.si,
                top=_maybe(row.top, ("site", "service_lines", index, "top"), levels),
            )
        )
    return tuple(found)


def _maybe(said: LevelRef | None, location: Location, levels: Levels) -> Level | None:
    return None if said is None else levels.resolve(said, Surface.GROUND, location)


def _points(said: Sequence[Sequence[Quantity]]) -> tuple[XY, ...]:
    return tuple((point[0].si, point[1].si) for point in said)


def _area(said: Sequence[Sequence[Quantity]], location: Location, levels: Levels) -> tuple[XY, ...]:
    """The corners of an area; one that goes round nothing or crosses itself is a problem with its place."""
    import shapely

    points = _points(said)
    ring = shapely.Polygon(points)
    if not ring.is_valid or ring.area < _AREA_M2:
        levels.filling.wrong(
            location, "this edge goes round no area, or crosses itself", allowed="corners one after the other round it"
        )
    return points
