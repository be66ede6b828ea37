"""The height from the stream head to the water, and what it is spent on."""

from __future__ import annotations

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.shape.result import HeightBudget, Step


def height_budget(feature: Feature, stream: Stream) -> HeightBudget:
    """Height there is [m] from the bed at the stream head, step by step: to the waterline, to the top of what covers
    a reservoir, or to the bed that it joins.

    Beds and falls spend what their levels say, built or planned; the last fall what is wished for it. What is left over
    is therefore what the last fall has by the levels above its wish, or lacks. A fall's height is its crest less the
    water below at rest: the waterline for the last, or the top of what covers a reservoir, else what the next crest
    holds, else the bed below.
    """
    body = feature.body(stream.into)
    if stream.joins is not None:
        foot = feature.foot_m(stream, stream.falls[-1])
    else:
        foot = body.waterline.m if body.cover_m is None else body.cover_m
    height = stream.head.m - foot
    steps = tuple(_bed(link) if isinstance(link, Reach) else _fall(feature, stream, link) for link in stream.links)
    return HeightBudget(
        stream=stream.id, height_m=height, steps=steps, left_over_m=height - sum(step.spent_m for step in steps)
    )


def _bed(reach: Reach) -> Step:
    spent = reach.bed_start.m - reach.bed_end.m
    return Step(path=f"reaches/{reach.id}", kind="bed", spent_m=spent, fall_height_m=None)


def _fall(feature: Feature, stream: Stream, fall: Fall) -> Step:
    at = stream.links.index(fall)
    above = stream.links[at - 1] if at > 0 else None
    below = stream.links[at + 1] if at + 1 < len(stream.links) else None
    body = feature.body(stream.into)
    covered = below is None and stream.joins is None and body.cover_m is not None
    spent = fall.drop_m if not covered else fall.drop_m - (body.cover_m or 0.0) + body.waterline.m
    if isinstance(above, Reach) and isinstance(below, Reach):
        spent = above.bed_end.m - below.bed_start.m
    return Step(
        path=f"falls/{fall.id}",
        kind="ripple" if fall.wished_ripple else "fall",
        spent_m=spent,
        fall_height_m=fall.crest.m - water_below_m(feature, stream, fall),
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


def water_below_m(feature: Feature, stream: Stream, fall: Fall) -> float:
    """Level [m] of the water at rest below a fall, or of the bed where it drains; below the last the waterline of its
    body, or the top of what covers it.
    """
    below = feature.below(stream, fall)
    if below is None:
        into = feature.body(stream.into)
        return into.waterline.m if into.cover_m is None else into.cover_m
    if not isinstance(below, Reach):
        return fall.foot.m
    foot = feature.foot_m(stream, fall)
    rest = rest_level_m(feature.stream(below.stream), below)
    return foot if rest is None else max(rest, foot)
