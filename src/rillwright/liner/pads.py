"""Felt once more under the stones that bear on the liner."""

from __future__ import annotations

from rillwright.feature import Fall, Feature, Stream
from rillwright.liner.result import Sheet
from rillwright.sources import default
from rillwright.units import Term


def pad_sheets(feature: Feature, stream: Stream) -> tuple[Sheet, ...]:
    """Layers of felt where stone bears on the liner, one place a fall: under the liner, and on it."""
    layers = max(1, round(default("underlay.pad").number))
    return tuple(_pad(feature, fall, layer=layer) for fall in stream.falls for layer in range(1, layers + 1))


def _bearing(fall: Fall) -> tuple[str, float, float]:
    """What bears there, with its footprint [m]: the face, which carries the spill stone, or the stone alone."""
    across = fall.crest_width_m + 2.0 * default("stone.spill_bearing").number
    if fall.drop_m > 0.0:
        return "face", across, max(fall.stone_depth_m, default("stone.face_thickness").number)
    return "spill", across, fall.stone_depth_m


def _pad(feature: Feature, fall: Fall, *, layer: int) -> Sheet:
    under, length_m, width_m = _bearing(fall)
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
