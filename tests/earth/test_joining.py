"""Soil where streams join: the ridge that is open at the mouth, by hand and against the meshes. Invented."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.feature.joining import joined

from rillwright.earth import move_earth
from rillwright.feature import Feature
from rillwright.shape import finish, shape, surface
from rillwright.sources import default, soil


def fill_m3(feature: Feature) -> float:
    found: float = move_earth(feature, shape(feature), surface=surface(feature)).berm_fill_m3
    return found


def test_the_ridge_over_the_mouth_is_left_out_once() -> None:
    """As two ponds' streams they have it, joined they have not: its section over the width of the edge that comes in.

    The bank's top stands 9 in over the bed there; the ground under the edge is that of the surface, read off it.
    """
    feature = joined()
    apart = replace(feature, streams=tuple(replace(one, joins=None) for one in feature.streams))
    top = feature.foot_m(feature.stream("side"), feature.stream("side").falls[-1]) + 9 * 0.0254
    edge = surface(feature).rims[0].points
    near = [point for point in edge if point.water == "reaches/meeting" and point.at[0] < 0.0]
    ground = sum(point.ground_m for point in sorted(near, key=lambda p: abs(p.at[1] - 4.4))[:2]) / 2
    high, side = top - ground, min(default("earth.berm_side").number, soil("loam").up_per_across)
    wide = 0.8 + 2 * 9 * 0.0254 / default("earth.bank_side").number
    ridge = high * (default("earth.berm_crest").number + high / side) * wide
    assert ridge > 0.1
    assert fill_m3(apart) - fill_m3(feature) == pytest.approx(ridge, rel=0.1)


def test_quantities_and_meshes_agree() -> None:
    """Settled, the meshes hold a tenth less than what is placed: within a fifth, as on the examples."""
    feature = joined()
    meshes = sum(part.fill_m3 for part in finish(feature, surface(feature)).earth)
    assert fill_m3(feature) == pytest.approx(meshes, rel=0.2)
