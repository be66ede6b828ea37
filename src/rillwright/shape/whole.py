"""The whole shape of a feature."""

from __future__ import annotations

from rillwright.feature import Body, Feature
from rillwright.shape.budget import height_budget
from rillwright.shape.metered import by_meter
from rillwright.shape.pond import pond_shape
from rillwright.shape.result import PondShape, Shape
from rillwright.shape.section import long_section


def shape(feature: Feature) -> Shape:
    """Long sections, height budgets and bodies by depth of a feature, these by the fill meter where it was read."""
    bodies = {body.id: pond_shape(body, feature.liner) for body in feature.bodies}
    return Shape(
        sections=tuple(long_section(feature, stream, *bodies[stream.into]) for stream in feature.streams),
        budgets=tuple(height_budget(feature, stream) for stream in feature.streams),
        ponds=tuple(_filled(feature, body, bodies[body.id][0]) for body in feature.bodies),
    )


def _filled(feature: Feature, body: Body, pond: PondShape) -> PondShape:
    readings = [one for one in feature.filled if one.body == body.id]
    return by_meter(pond, readings, waterline_m=body.waterline.m)
