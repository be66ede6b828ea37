"""Reduced points as exchange points."""

from __future__ import annotations

from rillwright.exchange.point import ExchangePoint
from rillwright.survey import Survey


def points_of_survey(survey: Survey) -> tuple[ExchangePoint, ...]:
    """The points of a survey that have a place, with their levels [m]; doubts about them go into the note."""
    return tuple(
        ExchangePoint(
            id=p.id,
            easting_m=p.at[0],
            northing_m=p.at[1],
            level_m=p.level.m,
            surface=p.level.surface,
            note="" if p.state in ("confirmed", "held") else ": ".join(filter(None, (p.state, p.why))),
        )
        for p in survey.points
        if p.at is not None
    )
