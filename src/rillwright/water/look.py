"""How the crests of a stream read at what runs now, and over which flow they would read as wished."""

from __future__ import annotations

from collections.abc import Mapping

from rillwright.feature import Fall, Feature, Stream
from rillwright.hydraulics import coefficient_at, flow_on_crest, head_on_lip
from rillwright.sources import default, limit
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.network import outlet_node
from rillwright.water.result import CrestWater
from rillwright.water.spill import lip_of, over_bed_m
from rillwright.water.stream_result import CrestLook, StreamLook


def look_range(look: str) -> tuple[float, float]:
    """Flow per width of crest between which a crest reads so [m2/s]."""
    return limit(f"look.{look}_least").good, limit(f"look.{look}_most").good


def reads(unit_flow_m2s: float) -> str:
    """How a crest reads at a flow per width [m2/s]: as the look whose usual flow is nearest, as a ratio."""
    if unit_flow_m2s < look_range("quiet")[0]:
        return "dribble"
    if unit_flow_m2s > look_range("loud")[1]:
        return "flood"
    usual = {"quiet": default("flow.quiet"), "lively": default("flow.lively"), "loud": default("flow.loud")}
    ratios = {look: unit_flow_m2s / each.number for look, each in usual.items()}
    return min(ratios, key=lambda look: max(ratios[look], 1.0 / ratios[look]))


def stream_looks(
    feature: Feature, crests: Mapping[str, CrestWater], links: Mapping[str, Band]
) -> tuple[StreamLook, ...]:
    """Every stream with crests, from the water on them and the flow that each link carries [m3/s]."""
    return tuple(_stream(feature, stream, crests, links) for stream in feature.streams if stream.falls)


def _stream(
    feature: Feature, stream: Stream, crests: Mapping[str, CrestWater], links: Mapping[str, Band]
) -> StreamLook:
    flow = links[stream.links[-1].id]
    wished = stream.look.value
    tried = [
        _crest(fall, crests[fall.id], links[fall.id], flow, wished, over_bed=over_bed_m(feature, fall))
        for fall in stream.falls
    ]
    found = [each for each in tried if each is not None]
    nodes = {link.upstream for part in feature.upstream_of(stream) for link in part.links}
    return StreamLook(
        stream=stream.id,
        path=f"streams/{stream.id}",
        wished=wished,
        crests=tuple(found),
        flow_m3s=flow,
        from_m3s=max((each.from_m3s for each in found), default=0.0),
        to_m3s=min((each.to_m3s for each in found), default=0.0),
        runs=tuple(run.id for run in feature.runs if any(outlet_node(feature, end) in nodes for end in run.ends)),
    )


def _crest(
    fall: Fall, water: CrestWater, arriving: Band, flow: Band, wished: str, *, over_bed: float
) -> CrestLook | None:
    """A crest, and the flow of its stream over which it reads as wished: all of it in the same proportion, what goes
    under the stone the same; None where nothing arrives. Of several stones that which carries most gives the look."""
    if arriving.value <= 0.0 or flow.value <= 0.0:
        return None
    under = max(arriving.value - water.flow_m3s.value, 0.0)
    low, high = look_range(wished)
    per = flow.value / arriving.value
    unit, at = _looked_at(water)
    wanted = [_over(fall, water, each, over_bed=over_bed) for each in (low, high)]
    return CrestLook(
        path=water.path,
        reads=reads(unit.value) if water.flow_m3s.value > 0.0 else "dry",
        unit_flow_m2s=unit,
        from_m3s=(wanted[0] + under) * per,
        to_m3s=(wanted[1] + under) * per,
        at=at,
    )


def _looked_at(water: CrestWater) -> tuple[Band, str]:
    """Flow per width [m2/s] by which a crest reads, and of which stone: of several the one that carries most."""
    if not water.stones or water.flow_m3s.value <= 0.0:
        return water.flow_m3s.scale(1.0 / water.width_m), ""
    most = _lead(water)
    stone = water.stones[most]
    flows = (
        share * whole / stone.width_m
        for share, whole in (
            (stone.share.value, water.flow_m3s.value),
            (stone.share.low, water.flow_m3s.low),
            (stone.share.high, water.flow_m3s.high),
        )
    )
    return band_of(*flows), f"stone {most + 1}"


def _lead(water: CrestWater) -> int:
    return max(range(len(water.stones)), key=lambda i: water.stones[i].share.value)


def _over(fall: Fall, water: CrestWater, unit_flow_m2s: float, *, over_bed: float) -> float:
    """What runs over a crest [m3/s] while that by which it reads has so much to the width [m2/s]: the others by the
    level that this takes."""
    if not water.stones or water.flow_m3s.value <= 0.0:
        return unit_flow_m2s * water.width_m
    c = lip_of(fall, over_bed).value
    level = water.stones[_lead(water)].above_m + head_on_lip(unit_flow_m2s, 1.0, c)
    depths = [(stone.width_m, max(level - stone.above_m, 0.0)) for stone in water.stones]
    return sum(flow_on_crest(depth, width, coefficient_at(c, depth)) for width, depth in depths if depth > 0.0)
