"""The bank at the ends of its bed once its fill has settled, as the edge was followed there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from rillwright.containment.result import Freeboard
from rillwright.containment.rim_result import RimProfile, SparePoint
from rillwright.feature import Feature, Reach

NEAR_M = 0.25  # of the end of a bed


def bank_settled(top: Freeboard, feature: Feature, profiles: Sequence[RimProfile]) -> Freeboard:
    """A bank's top as it stands at the ends of its bed with its fill settled, where that is less than it was given as.

    Parameters
    ----------
    top : Freeboard
        Of a bank, as it is built [m].
    feature : Feature
        The beds.
    profiles : sequence of RimProfile
        Height to spare along the rims, settled [m].

    Returns
    -------
    Freeboard
        [m].

    References
    ----------
    The least of the places within 25 cm of an end: definition.
    """
    path = top.path.removesuffix(".bank")
    reach = next(each for each in feature.reaches if f"reaches/{each.id}" == path)
    low = min(_near_ends(reach, profiles), key=lambda point: point.spare_m.value, default=None)
    if low is None or low.spare_m.value >= top.freeboard_m.value:
        return top
    against = replace(top.against, case=low.case, holding=low.holding, level_m=low.water_m)
    return replace(top, top_m=low.top_m, freeboard_m=low.spare_m, against=against)


def _near_ends(reach: Reach, profiles: Sequence[RimProfile]) -> Iterator[SparePoint]:
    ends = (reach.station_m, reach.station_m + reach.length_m)
    for point in (point for profile in profiles for point in profile.points if point.water == f"reaches/{reach.id}"):
        if point.station_m is not None and min(abs(point.station_m - end) for end in ends) <= NEAR_M:
            yield point
