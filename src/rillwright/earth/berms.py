"""Fill in the berms round a body."""

from __future__ import annotations

import itertools
import math

from rillwright.feature import Body, Rim


def berm_fill_m3(body: Body, perimeter_m: float, *, crest_m: float, up_per_across: float) -> float:
    """Fill [m3] that stands on the ground round a body before it settles.

    The berm goes straight from the height at one rim to that at the next, rims taken as evenly spread along the
    perimeter; a single rim's berm falls off to nothing on the far side.

    Parameters
    ----------
    body
        With its rims.
    perimeter_m : float
        Length round the waterline [m].
    crest_m : float
        Level top [m].
    up_per_across : float
        Sides, up per across [-].

    Returns
    -------
    float
        Fill [m3].

    References
    ----------
    Closed form: the mean of h (c + h/s) while h goes straight from one height to another.
    """
    heights = [rim.berm_m for rim in _in_order(body)]
    if not any(heights):
        return 0.0
    if len(heights) == 1:
        heights.append(0.0)
    spans = list(itertools.pairwise([*heights, heights[0]]))
    mean = sum(crest_m * 0.5 * (a + b) + (a * a + a * b + b * b) / 3.0 / up_per_across for a, b in spans) / len(spans)
    return mean * perimeter_m


def _in_order(body: Body) -> list[Rim]:
    """Rims round the body where all have a place, else as listed."""
    x = sum(point[0] for point in body.outline) / len(body.outline)
    y = sum(point[1] for point in body.outline) / len(body.outline)
    placed = [(math.atan2(rim.at[1] - y, rim.at[0] - x), rim) for rim in body.rims if rim.at is not None]
    if len(placed) < len(body.rims):
        return list(body.rims)
    return [rim for _, rim in sorted(placed, key=lambda pair: pair[0])]
