"""All the soil of a feature."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from rillwright.earth.berms import berm_fill_m3
from rillwright.earth.clearance import clearances, tree_clearances
from rillwright.earth.mouths import open_ridge_m3
from rillwright.earth.on_ground import deepest_m, highest_m, stream_ground
from rillwright.earth.plan import BodyDig, StreamDig, body_dig, stream_dig
from rillwright.earth.result import Dig, Earth, FootingClearance, GroundGap, ServiceCrossing, TreeClearance
from rillwright.earth.section import StreamEarth, bed_fills, stream_earth
from rillwright.earth.services import service_crossings
from rillwright.earth.soil import bank_m3, loose_m3, truckloads
from rillwright.feature import Body, Feature, Stream
from rillwright.shape import LongSection, PondShape, Shape, Surface, natural_tin
from rillwright.sources import default, soil
from rillwright.units import Term

if TYPE_CHECKING:
    from rillwright.ground import GroundData, Tin

UNKNOWN = "unknown"


def move_earth(
    feature: Feature, shape: Shape, *, surface: Surface | None = None, ground: GroundData | None = None
) -> Earth:
    """What is dug, what it swells to, what berms take, and where digging is not free.

    Soil out is what is dug less what berms and banks take, loose; it is never below nought, for what the dig does not
    give is brought in. With the `surface` the digs are cut in the ground as its levels and those of `ground` have it,
    and are as deep as the highest of it beside them; without it they are seen by their rims and long sections.
    """
    tin = natural_tin(feature, ground) if surface is not None else None
    drawn = {section.stream: section for section in shape.sections}
    grounds = {stream.id: stream_ground(stream, drawn[stream.id], tin) for stream in feature.streams}
    sections = {id: found.section for id, found in grounds.items()}
    slope = soil_slope(feature)
    crest, side = default("earth.berm_crest").number, default("earth.berm_side").number
    side = side if slope is None else min(side, slope)  # what does not stand in a cut does not stand as fill
    cut_side = default("earth.bank_side").number
    streams = {
        stream.id: stream_earth(
            stream,
            sections[stream.id],
            cut_side=cut_side,
            crest_m=crest,
            fill_side=side,
            beside=(grounds[stream.id].left, grounds[stream.id].right),
            under_m=feature.liner.under_m,
        )
        for stream in feature.streams
    }
    digs = []
    for body in feature.bodies:
        high = highest_m(f"ponds/{body.id}", surface, tin) if surface is not None else None
        digs.append(_body_dig(feature, body, shape.pond(body.id), highest=high, soil_slope=slope))
    for stream in feature.streams:
        found = replace(streams[stream.id], deepest_m=deepest_m(stream, grounds[stream.id]))
        digs.append(_stream_dig(stream, found, side=steepest(stream, cut_side), soil_slope=slope))
    swell = soil(feature.site.soil).swell
    fill = sum(
        berm_fill_m3(body, shape.pond(body.id).perimeter_m, crest_m=crest, up_per_across=side)
        for body in feature.bodies
    )
    fill += sum(found.fill_m3 for found in streams.values())
    for stream in feature.streams:
        banks = grounds[stream.id].left, grounds[stream.id].right
        left_open = open_ridge_m3(feature, stream, banks, crest_m=crest, fill_side=side)
        fill -= min(left_open, streams[stream.id].fill_m3)
    dug, needed = sum(dig.bank_m3 for dig in digs), bank_m3(fill, soil_shrink(feature))
    taken = min(dug, needed)
    out = loose_m3(dug - taken, swell)
    near, trees, services = _beside(feature, shape, sections, side=cut_side, tin=tin)
    return Earth(
        digs=tuple(digs),
        soil_out_m3=out,
        berm_fill_m3=fill,
        berm_bank_m3=taken,
        brought_in_m3=needed - taken,
        fills=tuple(one for stream in feature.streams for one in bed_fills(stream, sections[stream.id])),
        swell=swell,
        clearances=near,
        trees=trees,
        services=services,
        gaps=tuple(gap for stream in feature.streams for gap in _gaps(stream, sections[stream.id])),
        sections=tuple(sections.values()) if tin is not None else (),
        truckloads=truckloads(out, default("earth.truck").number),
        groundwater_above_floor_m=_groundwater(feature, shape),
    )


def _beside(
    feature: Feature, shape: Shape, sections: dict[str, LongSection], *, side: float, tin: Tin | None
) -> tuple[tuple[FootingClearance, ...], tuple[TreeClearance, ...], tuple[ServiceCrossing, ...]]:
    """The digs against what stands and lies about; nothing is looked at where nothing was said to be there."""
    site = feature.site
    if not (site.structures or site.trees or site.service_lines):
        return (), (), ()
    under = feature.liner.under_m
    bodies: list[BodyDig] = [body_dig(body, shape.pond(body.id), under_m=under, tin=tin) for body in feature.bodies]
    streams: list[StreamDig] = [
        stream_dig(stream, sections[stream.id], side=side, tin=tin) for stream in feature.streams
    ]
    return (
        clearances(feature, bodies, streams),
        tree_clearances(feature, bodies, streams),
        service_crossings(feature, bodies, streams),
    )


def steepest(stream: Stream, cut_side: float) -> float:
    """The steepest side of a stream's banks [up per across, -]; `cut_side` [-] where a bed has none of its own."""
    sides = [reach.side_up_per_across for reach in stream.reaches]
    return max(cut_side if side is None else side for side in sides)


def _gaps(stream: Stream, section: LongSection) -> list[GroundGap]:
    """Where the ground under a stream is a guess: above the first place that is known and below the last."""
    if not section.ground_guessed:
        return []
    known = section.ground_known or (0.0, 0.0)
    ends = ((0.0, known[0]), (known[1], stream.length_m))
    head = stream.head_ground is not None
    return [GroundGap(stream=stream.id, from_m=a, to_m=b, head_known=head) for a, b in ends if b - a > stream.width_m]


def soil_shrink(feature: Feature) -> float:
    """Placed over bank volume [-] of the soil that was named, or of common earth."""
    key = feature.site.soil
    return default("earth.shrink").number if key == UNKNOWN else soil(key).shrink


def soil_slope(feature: Feature) -> float | None:
    """Steepest side [up per across, -] that the soil's class allows; None where nobody has named the soil."""
    key = feature.site.soil
    return None if key == UNKNOWN else soil(key).up_per_across


def dig_floor_m(feature: Feature, body: Body, pond: PondShape) -> float:
    """Level of the dig under the floor [m]."""
    return pond.floor_m - body.gravel_m - feature.liner.under_m


def _body_dig(feature: Feature, body: Body, pond: PondShape, *, highest: float | None, soil_slope: float | None) -> Dig:
    """As deep as its floor lies below the `highest` ground [m] at its edge or in it, or else at a rim."""
    rims = [rim.ground.m for rim in body.rims]
    ground = max([*rims, *(() if highest is None else (highest,))], default=body.waterline.m)
    floor = dig_floor_m(feature, body, pond)
    return Dig(
        path=f"ponds/{body.id}",
        bank_m3=pond.dig_m3,
        deepest_m=max(0.0, ground - floor),
        side_up_per_across=body.side_up_per_across,
        soil_up_per_across=soil_slope,
        because=(
            Term(name="hole with room for liner and underlay", value=pond.dig_m3, unit="m3", kind="earth"),
            Term(
                name="highest ground at a rim" if highest is None else "highest ground at its edge or in it",
                value=ground,
                unit="m",
            ),
            Term(name="floor of the dig", value=floor, unit="m"),
        ),
    )


def _stream_dig(stream: Stream, found: StreamEarth, *, side: float, soil_slope: float | None) -> Dig:
    return Dig(
        path=f"streams/{stream.id}",
        bank_m3=found.cut_m3,
        deepest_m=found.deepest_m,
        side_up_per_across=side,
        soil_up_per_across=soil_slope,
        because=(
            Term(name="length", value=stream.length_m, unit="m"),
            Term(name="mean width of the bed", value=found.width_m, unit="m"),
            Term(name="deepest below the highest ground beside it", value=found.deepest_m, unit="m"),
            Term(name="cut below the ground, by its long section", value=found.cut_m3, unit="m3", kind="earth"),
        ),
    )


def _groundwater(feature: Feature, shape: Shape) -> float | None:
    water = feature.site.groundwater
    if water is None:
        return None
    return water.m - min(dig_floor_m(feature, body, shape.pond(body.id)) for body in feature.bodies)
