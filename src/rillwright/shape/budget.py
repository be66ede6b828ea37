"""The height from the stream head to the water, and what it is spent on."""

from __future__ import annotations

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.shape.result import HeightBudget, Step


def height_budget(feature: Feature, stream: Stream) -> HeightBudget:
    """Height there is [m] from the bed at the stream head to the waterline, step by step.

    A fall's height is its crest less the water below at rest: the waterline for the last, else what the next crest
    holds, else the bed below.
    """
    waterline = feature.body(stream.into).waterline.m
    height = stream.head.m - waterline
    steps = tuple(
        Step(path=f"reaches/{link.id}", kind="bed", spent_m=link.pitch_m, fall_height_m=None)
        if isinstance(link, Reach)
        else Step(
            path=f"falls/{link.id}",
            kind="ripple" if link.wished_ripple else "fall",
            spent_m=link.drop_m,
            fall_height_m=link.crest.m - water_below_m(stream, link, waterline),
        )
        for link in stream.links
    )
    return HeightBudget(
        stream=stream.id, height_m=height, steps=steps, left_over_m=height - sum(step.spent_m for step in steps)
    )


def rest_level_m(stream: Stream, reach: Reach) -> float | None:
    """Level [m] at which the next crest down holds water over a reach's bed; None where it drains dry.

    A stone that is not sealed holds nothing: the water leaves under it.
    """
    after = stream.links[stream.links.index(reach) + 1 :]
    crest = next((link for link in after if isinstance(link, Fall)), None)
    if crest is not None and crest.sealed and crest.crest.m > min(reach.bed_start.m, reach.bed_end.m):
        return crest.crest.m
    return None


def water_below_m(stream: Stream, fall: Fall, waterline_m: float) -> float:
    """Level [m] of the water at rest below a fall, or of the bed where it drains; `waterline_m` [m] below the last."""
    after = stream.links[stream.links.index(fall) + 1 :]
    if not after:
        return waterline_m
    below = after[0]
    if not isinstance(below, Reach):
        return fall.foot.m
    rest = rest_level_m(stream, below)
    return below.bed_start.m if rest is None else max(rest, below.bed_start.m)
