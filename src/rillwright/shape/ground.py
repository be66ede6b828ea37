"""The ground along a stream: straight between the levels that are known."""

from __future__ import annotations

import itertools

from msgspec import Struct

from rillwright.feature import XY, Body, Feature, Join, Stream, Surface, beside
from rillwright.shape.result import Line

_OF_GROUND = (Surface.GROUND, Surface.MARK)


class Ground(Struct, frozen=True, kw_only=True):
    """(station, level) [m] of the ground; whether an end of it is a guess; between which stations [m] it is none."""

    line: Line
    guessed: bool
    known: tuple[float, float] | None


def ground_line(feature: Feature, stream: Stream, *, far_m: float) -> Ground:
    """The ground from the head of a stream to station `far_m` [m].

    Known are the ground at the head, points with a place within two stream widths of the path, and rims with a place
    within two widths of the stream's end. Without them: the head of the bed, and the mean of the rims.
    """
    body = feature.body(stream.into)
    known = {0.0: stream.head_ground.m} if stream.head_ground is not None else {}
    for place, level in _placed(feature, body):
        station, aside = project(stream, place)
        if aside <= 2.0 * stream.width_m:
            known[station] = level
    guessed = not (known and min(known) <= stream.width_m and max(known) >= stream.length_m - 2.0 * stream.width_m)
    between = (min(known), max(known)) if len(known) > 1 else None
    known.setdefault(0.0, stream.head.m)
    if max(known) < stream.length_m:
        known[stream.length_m] = _rim_mean_m(body) if stream.joins is None else _beside_m(feature, stream.joins)
    known.setdefault(far_m, known[max(known)])
    return Ground(line=tuple(sorted(known.items())), guessed=guessed, known=between)


def _beside_m(feature: Feature, joins: Join) -> float:
    """Level of the ground [m] beside the stream that another joins, where that comes in."""
    on = feature.stream(joins.stream)
    line = ground_line(feature, on, far_m=on.length_m).line
    for (one, low), (other, high) in itertools.pairwise(line):
        if joins.station_m <= other:
            return low + (high - low) * (joins.station_m - one) / (other - one)
    return line[-1][1]


def project(stream: Stream, place: XY) -> tuple[float, float]:
    """Station [m] of the nearest point of the path, stretched to the stream's length, and the distance aside [m]."""
    return beside(stream.path, place, length_m=stream.length_m)


def _placed(feature: Feature, body: Body) -> list[tuple[XY, float]]:
    points = [mark for mark in feature.marks if mark.role == "point" and mark.level.surface in _OF_GROUND]
    marks = [(mark.at, mark.level.m) for mark in points]
    rims = [(rim.at, rim.ground.m) for rim in body.rims]
    return [(place, level) for place, level in (*marks, *rims) if place is not None]


def _rim_mean_m(body: Body) -> float:
    levels = [rim.ground.m for rim in body.rims]
    return sum(levels) / len(levels) if levels else body.waterline.m
