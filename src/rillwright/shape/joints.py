"""Where water falls and where streams meet: the foot of a fall, and the bed that one stream runs into, cut across."""

from __future__ import annotations

import math
from typing import Any

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.shape.course import bank_run_m, course_of
from rillwright.shape.result import Line

LEAST_SINE = 0.3  # of the angle between two streams that meet: nearer to parallel their banks are one for long


def liner_foot_m(feature: Feature, stream: Stream, fall: Fall) -> float:
    """Level of the liner at a fall's foot [m]: under the gravel of the bed there, or of the plunge pool, or at the
    body's waterline."""
    below = feature.below(stream, fall)
    if below is None:
        return feature.body(stream.into).waterline.m
    if not isinstance(below, Reach):
        return fall.foot.m
    pool = 0.0 if fall.plunge is None else fall.plunge.depth_m
    return feature.foot_m(stream, fall) - pool - below.gravel_m


def across_bed(feature: Feature, stream: Stream) -> Line:
    """The liner of the bed that a stream runs into, straight on from its end: (from the end on, level) pairs [m].

    Across the bed and up its far bank; empty where the stream does not end beside that bed.
    """
    import shapely

    bed = feature.joined(stream)
    if bed is None or stream.joins is None:
        return ()
    on = course_of(feature.stream(stream.joins.stream))
    level = bed.bed_at_m(stream.joins.station_m)
    own = course_of(stream)
    end, way = own.path[-1], own.ways[-1]
    far = 4.0 * float(on.edge_half.max()) / LEAST_SINE + 1.0
    ray = shapely.LineString([end, end + far * way])
    reach = [_leaves_m(ray, on.area(edge=edge)) for edge in (False, True)]
    if reach[0] <= 0.0:
        return ()
    floor = level - bed.gravel_m
    bank = max(reach[1] - reach[0], bank_run_m(bed))
    return ((0.0, floor), (reach[0], floor), (reach[0] + bank, level + bed.bank_m))


def _leaves_m(ray: Any, area: Any) -> float:
    """How far along a ray [m] its first stretch inside an area ends; 0 where it meets none."""
    import shapely

    inside = shapely.intersection(ray, area)
    ends = [shapely.line_locate_point(ray, shapely.Point(part.coords[-1])) for part in shapely.get_parts(inside)
            if part.length > 0.0]  # fmt: skip
    return float(min(ends, default=0.0))


def meeting_sine(feature: Feature, stream: Stream) -> float:
    """Sine of the angle [-] at which a stream meets the one that it joins, no less than `LEAST_SINE`."""
    if stream.joins is None:
        return 1.0
    import numpy as np

    on, own = course_of(feature.stream(stream.joins.stream)), course_of(stream)
    left = on.across(np.array([stream.joins.station_m]))[0]
    along = abs(float(left @ own.ways[-1]) / math.hypot(*left))
    return max(along, LEAST_SINE)
