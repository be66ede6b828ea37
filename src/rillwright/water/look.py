"""How the crests of a stream read at what runs now, and over which flow they would read as wished."""

from __future__ import annotations

from collections.abc import Mapping

from rillwright.feature import Fall, Feature, Stream
from rillwright.sources import default, limit
from rillwright.units import Band
from rillwright.water.network import outlet_node
from rillwright.water.result import CrestWater
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
    tried = [_crest(fall, crests[fall.id], links[fall.id], flow, stream.look.value) for fall in stream.falls]
    found = [each for each in tried if each is not None]
    nodes = {link.upstream for part in feature.upstream_of(stream) for link in part.links}
    return StreamLook(
        stream=stream.id,
        path=f"streams/{stream.id}",
        wished=stream.look.value,
        crests=tuple(found),
        flow_m3s=flow,
        from_m3s=max((each.from_m3s for each in found), default=0.0),
        to_m3s=min((each.to_m3s for each in found), default=0.0),
        runs=tuple(run.id for run in feature.runs if any(outlet_node(feature, end) in nodes for end in run.ends)),
    )


def _crest(fall: Fall, water: CrestWater, arriving: Band, flow: Band, wished: str) -> CrestLook | None:
    """A crest, and the flow of its stream over which it reads as wished: all of it in the same proportion, what goes
    under the stone the same; None where nothing arrives."""
    if arriving.value <= 0.0 or flow.value <= 0.0:
        return None
    width, under = fall.crest_width_m, max(arriving.value - water.flow_m3s.value, 0.0)
    low, high = look_range(wished)
    per = flow.value / arriving.value
    return CrestLook(
        path=water.path,
        reads=reads(water.flow_m3s.value / width) if water.flow_m3s.value > 0.0 else "dry",
        unit_flow_m2s=water.flow_m3s.scale(1.0 / width),
        from_m3s=(low * width + under) * per,
        to_m3s=(high * width + under) * per,
    )
