"""Where streams join: the ridge of a bank that is open there is not built."""

from __future__ import annotations

import numpy as np

from rillwright.earth.section import level_on, ridge_area_m2
from rillwright.feature import Feature, Stream
from rillwright.shape import Line, course_of


def open_ridge_m3(
    feature: Feature, stream: Stream, beside: tuple[Line, Line], *, crest_m: float, fill_side: float
) -> float:
    """Fill of the banks of a stream that the mouths of others leave open.

    Parameters
    ----------
    feature : Feature
        Both streams.
    stream : Stream
        The one that is joined.
    beside : two lines
        Ground at its left and its right edge of liner [m].
    crest_m : float
        Level top of a bank that is built up [m].
    fill_side : float
        Sides of such a bank, up per across [-].

    Returns
    -------
    float
        [m3].

    References
    ----------
    The ridge's section at the mouth times the width between the edges that come in: closed form.
    """
    found = 0.0
    on = course_of(stream)
    for reach in stream.reaches:
        for one in feature.joining(reach):
            if one.joins is None:
                continue
            own, station = course_of(one), one.joins.station_m
            at = np.array([station])
            aside = own.path[-1] - on.places(at)[0]
            ground = beside[0 if float(aside @ on.across(at)[0]) > 0.0 else 1]
            high = reach.bed_at_m(station) + reach.bank_m - level_on(ground, station)
            wide = 2.0 * float(own.half_m(np.array([own.length_m]))[0])
            found += ridge_area_m2(high, crest_m=crest_m, up_per_across=fill_side) * wide
    return found
