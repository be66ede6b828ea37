"""Felt once more under the stones that bear on the liner."""

from __future__ import annotations

from rillwright.feature import Fall, Feature, Stream
from rillwright.liner.result import Sheet
from rillwright.sources import default
from rillwright.units import Term


def pad_sheets(feature: Feature, stream: Stream) -> tuple[Sheet, ...]:
    """Layers of felt under the spill stone and under the face of every fall."""
    layers = max(1, round(default("underlay.pad").number))
    return tuple(
        _pad(feature, fall, under=under, layer=layer, length_m=length, width_m=width)
        for fall in stream.falls
        for under, length, width in _stones(fall)
        for layer in range(1, layers + 1)
    )


def _stones(fall: Fall) -> list[tuple[str, float, float]]:
    """What bears there, with its footprint [m]; a fall too low for a face has none."""
    across = fall.crest_width_m + 2.0 * default("stone.spill_bearing").number
    found = [("spill", across, fall.stone_depth_m)]
    if fall.drop_m > 0.0:
        found.append(("face", across, default("stone.face_thickness").number))
    return found


def _pad(feature: Feature, fall: Fall, *, under: str, layer: int, length_m: float, width_m: float) -> Sheet:
    mass = feature.liner.underlay_kgm2
    return Sheet(
        id=f"pad-{fall.id}-{under}-{layer}",
        kind="pad",
        name=f"felt pad under {under} stone",
        path=f"falls/{fall.id}",
        length_m=length_m,
        width_m=width_m,
        mass_kg=length_m * width_m * mass,
        because=(
            Term(name="length across the flow", value=length_m, unit="m"),
            Term(name="width along the flow", value=width_m, unit="m"),
            Term(name="underlay's mass by area", value=mass, unit="kg/m2"),
        ),
    )
