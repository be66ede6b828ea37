"""Where a fall lands: on which water, how long and how wide what lies there is, how far its splash goes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import XY, Body, Fall, FallKind, Feature, Reach, Stream
from rillwright.hydraulics import splash_reach, splash_share
from rillwright.sources import STANDARD_GRAVITY_MS2, default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.result import CrestWater, SheetWater
from rillwright.water.stream_result import Splash


class Landing(Struct, frozen=True, kw_only=True):
    """What lies where a fall lands [m]: water, its length from the crest's face, liner beside the fall's middle."""

    pool: Band
    length: float
    beside: float
    on_cover: bool = False


def landings(
    feature: Feature,
    crests: Iterable[CrestWater],
    *,
    depths: Mapping[str, Band],
    running: Mapping[str, Band],
) -> dict[str, Landing]:
    """Where each fall lands, by fall: from the depth of the water on beds, and the running levels of bodies [m]."""
    if not feature.falls:
        return {}
    bank, held = default("earth.bank_side").number, default("liner.held").number
    waters = {crest.fall: crest for crest in crests}
    found = {}
    for stream in feature.streams:
        for fall in stream.falls:
            below = feature.below(stream, fall)
            if isinstance(below, Reach) and fall.id in depths:
                found[fall.id] = _in_plunge(
                    fall, waters[fall.id], _on_bed(feature, stream, below, depths[fall.id], bank=bank)
                )
            elif below is None:
                thrown = waters[fall.id].throw_m
                found[fall.id] = _in_body(
                    feature, stream, thrown.value if thrown else 0.0, running[stream.into], held=held
                )
    return found


def _on_bed(feature: Feature, stream: Stream, below: Reach, pool: Band, *, bank: float) -> Landing:
    """Beside it lies half of the bed, its bank, by its side or `bank` up to one across, and what is lined beyond for
    splash."""
    side = bank if below.side_up_per_across is None else below.side_up_per_across
    beside = 0.5 * below.width_m + below.bank_m / side
    if below.stream == stream.id:
        return Landing(pool=pool, length=below.length_m, beside=beside + stream.splash_m)
    return Landing(pool=pool, length=below.width_m, beside=beside + feature.stream(below.stream).splash_m)


def _in_plunge(fall: Fall, crest: CrestWater, bed: Landing) -> Landing:
    """The same, as deep and as long as the plunge pool in that bed, if the sheet lands in it."""
    pool = fall.plunge
    if pool is None or (crest.throw_m is not None and crest.throw_m.high > pool.length_m):
        return bed
    return replace(bed, pool=bed.pool + Band.exact(pool.depth_m), length=pool.length_m)


def _in_body(feature: Feature, stream: Stream, throw_m: float, running: Band, *, held: float) -> Landing:
    """Beside it lies water, out to the outline, and the liner `held` [m] under the edge stone."""
    body = feature.body(stream.into)
    (x, y), (dx, dy) = _mouth(stream)
    length = _way_m((x, y), (dx, dy), body.outline) or body.width_m
    at = (x + throw_m * dx, y + throw_m * dy)
    sides = [_way_m(at, side, body.outline) for side in ((-dy, dx), (dy, -dx))]
    beside = min((side for side in sides if side), default=0.5 * body.width_m) + held
    if body.cover_m is not None:
        return Landing(pool=Band.exact(0.0), length=length, beside=beside, on_cover=True)
    return Landing(pool=_depth_m(body, throw_m, running), length=length, beside=beside)


def _depth_m(body: Body, throw_m: float, running: Band) -> Band:
    """Water of a pond so far out from its edge [m]: over its shelf, or over its floor."""
    floor = body.shelf_depth_m if throw_m < body.shelf_width_m else body.depth_m
    return Band(*(max(floor + level - body.waterline.m, 0.0) for level in (running.value, running.low, running.high)))


def _mouth(stream: Stream) -> tuple[XY, XY]:
    """Where a stream ends, and the way that it goes there."""
    (ax, ay), (bx, by) = stream.path[-2:]
    long = math.hypot(bx - ax, by - ay)
    return (bx, by), ((bx - ax) / long, (by - ay) / long)


def _way_m(start: XY, way: XY, outline: tuple[XY, ...]) -> float:
    """How far it is from a place straight on to where an outline is left for good [m]; 0 where it is never met."""
    farthest = 0.0
    for (ax, ay), (bx, by) in zip(outline, (*outline[1:], outline[0]), strict=True):
        across = way[0] * (by - ay) - way[1] * (bx - ax)
        if across == 0.0:
            continue
        along = ((ax - start[0]) * (by - ay) - (ay - start[1]) * (bx - ax)) / across
        share = ((ax - start[0]) * way[1] - (ay - start[1]) * way[0]) / across
        if along > 0.0 and 0.0 <= share <= 1.0:
            farthest = max(farthest, along)
    return farthest


def splashes(feature: Feature, crests: Iterable[CrestWater], places: Mapping[str, Landing]) -> tuple[Splash, ...]:
    """How far each fall splashes beside itself, and what is lined there; none of a slide, or where nothing falls."""
    if not feature.falls:
        return ()
    shares = default("splash.on_stone").band, default("splash.in_water").band
    falls = {fall.id: fall for fall in feature.falls}
    return tuple(_splashes(falls, crests, places, shares))


def _splashes(
    falls: Mapping[str, Fall], crests: Iterable[CrestWater], places: Mapping[str, Landing], shares: tuple[Band, Band]
) -> Iterator[Splash]:
    for crest in crests:
        fall, place = falls[crest.fall], places.get(crest.fall)
        if place is None or fall.kind is FallKind.SLIDE or not crest.sheets:
            continue
        reach = _stack_m(crest, shares[0]) if fall.kind is FallKind.STACKED else _sheet_m(crest, place, shares)
        yield Splash(
            fall=crest.fall,
            path=crest.path,
            reach_m=reach,
            lined_m=max(place.beside - 0.5 * fall.crest_width_m, 0.0),
            pool_m=place.pool,
            lands_on="cover" if place.on_cover else "stack" if fall.kind is FallKind.STACKED else "water",
        )


def _sheet_m(crest: CrestWater, place: Landing, shares: tuple[Band, Band]) -> Band:
    """Of thrown sheets, the one that splashes farthest [m]: less far where it lands in water."""
    found = [_one_m(sheet, place.pool, shares) for sheet in crest.sheets if sheet.impact_ms]
    return max(found, key=lambda band: band.value)


def _one_m(sheet: SheetWater, pool: Band, shares: tuple[Band, Band]) -> Band:
    on_stone, in_water = shares
    wanted = sheet.pool_depth_m.value if sheet.pool_depth_m is not None else 0.0

    def at(pool_m: float, stone: float, water: float) -> float:
        share = splash_share(pool_m, wanted, on_stone=stone, in_water=water)
        return splash_reach(sheet.impact_ms or 0.0, share=share)

    return band_of(
        at(pool.value, on_stone.value, in_water.value),
        at(pool.high, on_stone.low, in_water.low),
        at(pool.low, on_stone.high, in_water.high),
    )


def _stack_m(crest: CrestWater, on_stone: Band) -> Band:
    """Of a stack [m]: drops leave its topmost course, and may come down at its foot."""
    course = default("crest.course").band
    height = max(sheet.height_m.value for sheet in crest.sheets)

    def at(step_m: float, share: float) -> float:
        step = min(step_m, height)
        return splash_reach(math.sqrt(2.0 * STANDARD_GRAVITY_MS2 * step), share=share, further_m=height - step)

    return band_of(at(course.value, on_stone.value), at(course.low, on_stone.low), at(course.high, on_stone.high))
