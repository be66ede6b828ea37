"""A last fall over a buried reservoir comes down on what covers it, not on the water under that (definition)."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.shape.sample import buried

from rillwright.feature import BodyKind, Feature, Rim
from rillwright.shape import shape
from rillwright.units import Band
from rillwright.water import water

COVER_M = 0.15


def covered(kind: BodyKind) -> Feature:
    """The same basin as a reservoir or as a pond, its rim 0.15 m over its waterline."""
    given = buried()
    (body,) = given.bodies
    top = replace(body.waterline, m=body.waterline.m + COVER_M)
    rim = Rim(id="court", body=body.id, ground=top, berm_m=0.0, settlement=0.1)
    return replace(given, bodies=(replace(body, kind=kind, rims=(rim,)),))


def last(kind: BodyKind) -> tuple[Band, float, float]:
    """Height seen [m], throw [m], speed where it lands [m/s]."""
    feature = covered(kind)
    crest = water(feature, shape(feature)).crests[-1]
    assert crest.throw_m is not None
    assert crest.impact_ms is not None
    return crest.fall_height_m, crest.throw_m.value, crest.impact_ms


def test_the_last_fall_ends_on_the_cover() -> None:
    feature = covered(BodyKind.RESERVOIR)
    height, throw_m, speed_ms = last(BodyKind.RESERVOIR)
    crest = feature.falls[-1].crest.m
    assert height.value == pytest.approx(crest - feature.bodies[0].waterline.m - COVER_M)
    open_height, open_throw, open_speed = last(BodyKind.POND)
    assert open_height.value - height.value == pytest.approx(COVER_M, abs=0.01)  # held while running: at its waterline
    assert throw_m < open_throw
    gained = math.sqrt(open_speed**2 - speed_ms**2)  # what a drop of 0.15 m more adds, by energy
    assert gained == pytest.approx(math.sqrt(2.0 * 9.80665 * (open_height.value - height.value)), rel=0.02)


def test_the_height_budget_says_the_same() -> None:
    feature = covered(BodyKind.RESERVOIR)
    (budget,) = shape(feature).budgets
    seen = feature.falls[-1].crest.m - feature.bodies[0].waterline.m - COVER_M
    assert budget.steps[-1].fall_height_m == pytest.approx(seen)
