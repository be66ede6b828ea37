"""Where the work lies in plan, and the edges of its liner with their tops."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.feature import XY, Feature
from rillwright.shape.ground_amiss import files_amiss
from rillwright.shape.island_edge import island_lines
from rillwright.shape.natural import natural_ground, placed_levels
from rillwright.shape.plan_faults import plan_faults
from rillwright.shape.rims import pieces_of, rim_lines
from rillwright.shape.surface_result import RimLine, Surface

if TYPE_CHECKING:
    from rillwright.ground import GroundData


def surface(feature: Feature, ground: GroundData | None = None) -> Surface:
    """The edges of the liner as they run, their tops and their ground, and what every body and stream takes up in plan.

    Parameters
    ----------
    feature : Feature
        Outlines, courses, rims and banks.
    ground : GroundData or None
        Levels of the job's files [m]; those of the feature that have a place are joined to them.

    Returns
    -------
    Surface
        Edges, levels and places [m].

    References
    ----------
    Offsets of outlines and union of polygons: closed form. How tops run between rims is common practice, no source.
    """
    natural = natural_ground(feature, ground)
    pieces = pieces_of(feature)
    rims = (*rim_lines(pieces, natural), *island_lines(feature, natural))
    remarks = list(natural.remarks)
    remarks += [
        f"rims of {body.id} without a place are spread evenly along its edge"
        for body in feature.bodies
        if any(rim.at is None for rim in body.rims)
    ]
    return Surface(
        rims=rims,
        footprints=tuple((piece.path, _outline(piece.area)) for piece in pieces),
        guessed_m=sum(_guessed_m(rim) for rim in rims),
        remarks=tuple(remarks),
        ground_faults=natural.faults,
        ground_agreed=natural.agreed,
        ground_amiss=files_amiss(placed_levels(feature), ground, natural.model),
        plan_faults=plan_faults(feature, pieces),
    )


def _outline(area: Any) -> tuple[XY, ...]:
    import shapely

    corners = shapely.get_coordinates(shapely.orient_polygons(area).exterior)[:-1]
    return tuple((float(x), float(y)) for x, y in corners)


def _guessed_m(rim: RimLine) -> float:
    """Length [m] of an edge of which an end or both is a guess, half counted where one is."""
    ring = [*rim.points, rim.points[0]] if rim.closed else list(rim.points)
    return sum(
        float(np.hypot(b.at[0] - a.at[0], b.at[1] - a.at[1]))
        * 0.5
        * ((a.ground_is == "guess") + (b.ground_is == "guess"))
        for a, b in pairwise(ring)
    )
