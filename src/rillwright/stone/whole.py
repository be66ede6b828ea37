"""All the stone of a feature."""

from __future__ import annotations

from rillwright.feature import Feature
from rillwright.shape import Shape
from rillwright.stone.lots import body_lots, stream_lots
from rillwright.stone.result import Stone, StoneLot
from rillwright.stone.spill import spill_stones


def place_stone(feature: Feature, shape: Shape) -> Stone:
    """Spill stones one by one, the rest by mass. At this depth no stone is sized by the water that runs over it."""
    lots: list[StoneLot] = []
    for body in feature.bodies:
        lots += body_lots(body, shape.pond(body.id))
    for stream in feature.streams:
        mouths = [one.reaches[-1].width_m for reach in stream.reaches for one in feature.joining(reach)]
        lots += stream_lots(stream, mouths_m=sum(mouths))
    return Stone(spill_stones=tuple(one for fall in feature.falls for one in spill_stones(fall)), lots=tuple(lots))
