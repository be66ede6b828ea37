"""Stakes, hold points, lifts and access of a feature."""

from __future__ import annotations

from rillwright.build.holds import holds_of
from rillwright.build.lifts import access_checks, lifts_of
from rillwright.build.result import Build
from rillwright.build.stakes import stakes_of
from rillwright.feature import Feature
from rillwright.liner import Liner
from rillwright.shape import LongSection, Shape
from rillwright.stone import Stone
from rillwright.water import Water


def plan_build(
    feature: Feature,
    shape: Shape,
    water: Water,
    *,
    liner: Liner,
    stone: Stone,
    sections: tuple[LongSection, ...] | None = None,
) -> Build:
    """What is set out, what is lifted by what, what comes in where, and where the work waits.

    `sections` are the long sections by whose ground the dig is measured; None: those of the `shape`.
    """
    stakes = stakes_of(feature, shape, water, sections=shape.sections if sections is None else sections)
    return Build(
        stakes=stakes,
        lifts=lifts_of(feature, stone, liner),
        accesses=access_checks(feature),
        holds=holds_of(feature, stakes, liner=liner, stone=stone),
    )
