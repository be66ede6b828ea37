"""What can be shot on built work: each place of a feature by path and surface, with the level planned there."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from rillwright.feature.levels import Surface
from rillwright.feature.model import Body, BodyKind, Feature, Reach, Stream
from rillwright.feature.paths import ElementPath

_QUARTERS = ("north", "east", "south", "west")


class Quarter(Struct, frozen=True):
    """One of four places on a body's outline: its part of a path, its words, and how far clockwise from up it lies."""

    id: str
    words: str
    turn_rad: float


def quarters(feature: Feature, body: Body) -> tuple[Quarter, ...]:
    """Four places round a body, clockwise: by the compass where north was said, else by the stream that ends in it.

    A body without a stream is told by the sheet.
    """
    north = feature.site.north_rad
    if north is not None:
        return _four([(word, word) for word in _QUARTERS], north)
    ends = (one.path[-1] for one in feature.streams if one.into == body.id and one.joins is None and one.path)
    end = next(ends, None)
    if end is None:
        return _four([(side, f"{side} of the plan") for side in ("top", "right", "foot", "left")], 0.0)
    middle = [sum(axis) / len(body.outline) for axis in zip(*body.outline, strict=True)]
    named = [("stream", "side of the stream"), ("left", "left looking downstream"), ("far", "far from the stream")]
    named.append(("right", "right looking downstream"))
    return _four(named, math.atan2(end[0] - middle[0], end[1] - middle[1]))


def _four(named: list[tuple[str, str]], start_rad: float) -> tuple[Quarter, ...]:
    return tuple(Quarter(id, words, start_rad + 0.5 * math.pi * i) for i, (id, words) in enumerate(named))


class Place(Struct, frozen=True, kw_only=True):
    """A place on one surface, and its planned level above the datum [m]; None where nothing is planned.

    `judged`: a level as built there takes the plan's place. `settles_m` [m] is what its fill will yet go down.
    """

    path: ElementPath
    surface: Surface
    planned_m: float | None
    judged: bool = False
    settles_m: float = 0.0


def places(feature: Feature) -> tuple[Place, ...]:
    """All places of a feature that can be shot, bodies first, then streams from the head down: every stake is one.

    Dig and liner lie under the bed by the layers that the feature names: gravel, liner, underlay. A rim is planned as
    it is to be built, before its fill settles.
    """
    found: list[Place] = []
    for body in feature.bodies:
        found += _of_body(feature, body)
    for stream in feature.streams:
        found += _of_stream(feature, stream)
    for lap in feature.laps:
        path = ElementPath("laps", lap.id, "upturn")
        found.append(Place(path=path, surface=Surface.LINER, planned_m=lap.upturn.m, judged=True))
    return tuple(found)


def _stack(
    feature: Feature, path: ElementPath, bed_m: float, gravel_m: float, *, judged: bool = False
) -> Iterator[Place]:
    """Bed, liner and dig, one under the other."""
    yield Place(path=path, surface=Surface.BED, planned_m=bed_m, judged=judged)
    yield Place(path=path, surface=Surface.LINER, planned_m=bed_m - gravel_m)
    yield Place(path=path, surface=Surface.DIG, planned_m=bed_m - gravel_m - feature.liner.under_m)


def _of_body(feature: Feature, body: Body) -> Iterator[Place]:
    water = ElementPath("ponds", body.id, "waterline")
    yield Place(path=water, surface=Surface.WATER, planned_m=body.waterline.m)
    yield Place(path=water, surface=Surface.LINER, planned_m=body.waterline.m)
    yield from _stack(feature, ElementPath("ponds", body.id, "floor"), body.waterline.m - body.depth_m, body.gravel_m)
    if body.kind is BodyKind.POND and body.shelf_width_m > 0.0:
        yield from _stack(feature, ElementPath("ponds", body.id, "shelf"), body.waterline.m - body.shelf_depth_m, 0.0)
    yield from _quarters(feature, body)
    for rim in body.rims:
        top = ElementPath("rims", rim.id, "top")
        planned = rim.ground.m + rim.berm_m
        settles = rim.berm_m * rim.settlement
        for surface in (Surface.GROUND, Surface.LINER):
            yield Place(path=top, surface=surface, planned_m=planned, judged=True, settles_m=settles)
        yield Place(path=top, surface=Surface.WATER, planned_m=body.waterline.m)
    if body.overflow is not None:
        sill = ElementPath("ponds", body.id, "overflow")
        for surface in (Surface.LINER, Surface.STONE_TOP):
            yield Place(path=sill, surface=surface, planned_m=body.overflow.level.m)
        yield Place(path=sill, surface=Surface.WATER, planned_m=body.waterline.m)


def _quarters(feature: Feature, body: Body) -> Iterator[Place]:
    """The quarter points of waterline, shelf edges and floor, where a body's stakes stand.

    Those of the compass can be shot before and after north is said: what was shot there stays what it is.
    """
    for quarter in dict.fromkeys((*(one.id for one in quarters(feature, body)), *_QUARTERS)):
        edge = ElementPath("ponds", body.id, f"waterline_{quarter}")
        yield Place(path=edge, surface=Surface.WATER, planned_m=body.waterline.m)
        yield Place(path=edge, surface=Surface.LINER, planned_m=body.waterline.m)
        yield Place(path=edge, surface=Surface.DIG, planned_m=body.waterline.m - feature.liner.under_m)
        if body.kind is BodyKind.POND and body.shelf_width_m > 0.0:
            for side in ("outer", "inner"):
                path = ElementPath("ponds", body.id, f"shelf_{side}_{quarter}")
                yield from _stack(feature, path, body.waterline.m - body.shelf_depth_m, 0.0)
        path = ElementPath("ponds", body.id, f"floor_{quarter}")
        yield from _stack(feature, path, body.waterline.m - body.depth_m, body.gravel_m)


def _plunge(feature: Feature, stream: Stream, reach: Reach) -> Iterator[Place]:
    """The floor of a plunge pool, and the bed where it ends."""
    pool = stream.plunge_in(reach)
    if pool is not None:
        lip_m = reach.bed_at_m(reach.station_m + pool.length_m)
        for part, level_m in (("plunge_floor", reach.bed_start.m - pool.depth_m), ("plunge_lip", lip_m)):
            yield from _stack(feature, ElementPath("reaches", reach.id, part), level_m, reach.gravel_m)


def _of_stream(feature: Feature, stream: Stream) -> Iterator[Place]:
    above: Reach | None = None
    for link in stream.links:
        if isinstance(link, Reach):
            above = link
            for part, level in (("start", link.bed_start), ("end", link.bed_end)):
                path = ElementPath("reaches", link.id, part)
                yield from _stack(feature, path, level.m, link.gravel_m, judged=True)
                yield Place(path=path, surface=Surface.WATER, planned_m=None)
            yield from _plunge(feature, stream, link)
            continue
        crest = ElementPath("falls", link.id, "crest")
        yield Place(path=crest, surface=Surface.STONE_TOP, planned_m=link.crest.m, judged=True)
        yield Place(path=crest, surface=Surface.WATER, planned_m=None)
        if above is not None:  # liner and dig as they pass under the stone, at the end of the bed above
            yield from list(_stack(feature, crest, above.bed_end.m, above.gravel_m))[1:]
