"""The whole shape of a feature."""

from __future__ import annotations

from rillwright.feature import Feature
from rillwright.shape.budget import height_budget
from rillwright.shape.pond import pond_shape
from rillwright.shape.result import Shape
from rillwright.shape.section import long_section


def shape(feature: Feature) -> Shape:
    """Long sections, height budgets and bodies by depth of a feature."""
    bodies = {body.id: pond_shape(body, feature.liner) for body in feature.bodies}
    return Shape(
        sections=tuple(long_section(feature, stream, *bodies[stream.into]) for stream in feature.streams),
        budgets=tuple(height_budget(feature, stream) for stream in feature.streams),
        ponds=tuple(pond for pond, _ in bodies.values()),
    )
