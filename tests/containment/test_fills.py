"""Fill under an edge of liner, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from rillwright.containment import RimFill, RimProfile, SparePoint
from rillwright.containment.fills import rim_fills
from rillwright.ground import GroundData, Tin, tin_of
from rillwright.shape import RimLine, RimPoint, Surface
from rillwright.units import Band

SQUARE = ((0.0, 0.0), (2.0, 0.0), (4.0, 0.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0), (0.0, 4.0), (0.0, 2.0))
CREST = 0.3


def falling(per_m: float) -> Tin:
    """Ground at 1.0 at y = 2, and so much lower for every metre towards y = 0."""
    xyz = np.array([(x, y, 1.0 + per_m * (y - 2.0)) for x in (-9.0, 13.0) for y in (-9.0, 13.0)])
    return tin_of(GroundData(name="ground", xyz=xyz, sigma_m=0.0))


def edge(per_m: float, *, ground_is: str = "between") -> RimLine:
    points = tuple(
        RimPoint(
            at=at, along_m=2.0 * i, top_m=1.45, sigma_m=0.0, ground_m=1.0 + per_m * (at[1] - 2.0), ground_is=ground_is,
            fill_m=0.5 - per_m * (at[1] - 2.0), settles_m=0.05, water="ponds/pond", station_m=None, by="rims/low",
        )
        for i, at in enumerate(SQUARE)
    )  # fmt: skip
    return RimLine(path="ponds/pond", kind="outer", closed=True, points=points)


def filled(rim: RimLine, tin: Tin | None) -> tuple[RimFill, ...]:
    wet = tuple(
        SparePoint(
            at=point.at, along_m=point.along_m, top_m=Band.exact(point.top_m), water_m=Band(1.3, 1.25, 1.4),
            spare_m=Band.exact(0.15), path=point.by, water=point.water, case="stopped", holding="while running",
        )
        for point in rim.points
    )  # fmt: skip
    profile = RimProfile(path=rim.path, kind="outer", closed=True, length_m=16.0, points=wet, lowest=0)
    surface = Surface(rims=(rim,), footprints=(("ponds/pond", SQUARE),), guessed_m=0.0)
    return rim_fills(surface, (profile,), tin, crest_m=CREST)


def test_on_level_ground_it_is_the_edge_as_built_over_the_ground() -> None:
    """1.45 finished and 0.05 that settles, over 1.0; water at 1.25 to 1.4."""
    (found,) = filled(edge(0.0), falling(0.0))
    assert found.high_m == pytest.approx(0.5)
    assert (found.held_m.low, found.held_m.value, found.held_m.high) == pytest.approx((0.25, 0.3, 0.4))


def test_where_the_ground_falls_away_it_is_higher_on_the_outer_side_of_the_crest() -> None:
    """Along y = 0 the ground lies at 0.8, and 0.3 m farther out at 0.77: 1.5 - 0.77, and 1.3 - 0.77."""
    (found,) = filled(edge(0.1), falling(0.1))
    assert found.at == (2.0, 0.0)
    assert found.high_m == pytest.approx(0.73)
    assert found.held_m.value == pytest.approx(0.53)


def test_without_a_surface_of_the_ground_it_is_that_under_the_edge() -> None:
    (found,) = filled(edge(0.1), None)
    assert found.high_m == pytest.approx(0.7)


def test_nothing_is_said_of_ground_that_is_a_guess() -> None:
    assert filled(edge(0.1, ground_is="guess"), falling(0.1)) == ()
