"""Every edge of liner in words for a screen: where it has least to spare, what to raise, where spilt water would go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, BodyKind, Judged, NotRun, Raise, RimProfile, SparePoint
from rillwright.drawings import (
    Spare,
    all_ways,
    first_out,
    followed_over,
    goes_to,
    length,
    profiles_of,
    spare_of,
    wanted_m,
    whose,
)
from rillwright.feature import named

_MOST_LOW = 3
_NOTHING_M = 0.0005


class RimNamed(Struct, frozen=True, kw_only=True):
    """One edge of liner that can be looked at, and round what it runs."""

    path: str
    words: str


class RimsTold(Struct, frozen=True, kw_only=True):
    """What is to be said of all edges of liner; sentences, each thing that it speaks of beside it as a path."""

    rims: tuple[RimNamed, ...] = ()
    lowest: tuple[tuple[str, str], ...] = ()
    raises: tuple[tuple[str, str], ...] = ()
    ways: tuple[str, ...] = ()
    reason: str = ""


def rims_told(judged: Judged) -> RimsTold:
    """Rims, lowest places, stretches to raise and the ways of spilt water; or the reason why there are none."""
    assessment = judged.assessment
    containment = assessment.containment
    if isinstance(containment, NotRun):
        return RimsTold(reason=containment.reason)
    profiles = profiles_of(assessment)
    if not profiles:
        return RimsTold(reason="no edge of liner is laid out yet")
    system = assessment.feature.system
    lengths = {each.path: each.length_m for each in profiles}
    return RimsTold(
        rims=tuple(RimNamed(path=each.path, words=_round_what(assessment, each)) for each in profiles),
        lowest=tuple(_low(assessment, place) for place in _lowest(profiles)),
        raises=tuple(_raise(each, lengths[each.rim], system) for each in containment.raises),
        ways=tuple(_ways(assessment)),
    )


def _lowest(profiles: Sequence[RimProfile]) -> list[SparePoint]:
    """The lowest place of what gives each top, the worst of all first."""
    least: dict[str, SparePoint] = {}
    for point in (point for profile in profiles for point in profile.points):
        if point.path not in least or point.spare_m.value < least[point.path].spare_m.value:
            least[point.path] = point
    return sorted(least.values(), key=lambda place: place.spare_m.value)[:_MOST_LOW]


def _low(assessment: Assessment, place: SparePoint) -> tuple[str, str]:
    system = assessment.feature.system
    wanted = wanted_m(assessment, place.water)
    spare = place.spare_m
    where = f"{_at(place.path)}, {length(place.along_m, system)} along"
    said = length(abs(spare.value), system)
    if spare.value < 0.0:
        return place.path, f"{where}: the highest water stands {said} over the edge."
    band = "" if said == length(spare.low, system) else f", it may be {_signed(spare.low, system)}"
    enough = "" if spare_of(spare.value, wanted=wanted) is Spare.ENOUGH else f"; {length(wanted, system)} are wanted"
    return place.path, f"{where}: {said} to spare{band}{enough}."


def _signed(spare_m: float, system: str) -> str:
    said = length(abs(spare_m), system)
    return said if spare_m >= 0.0 else f"{said} under water"


def _raise(raised: Raise, length_m: float, system: str) -> tuple[str, str]:
    """How much, from where to where, and what the first of it buys; what runs over the rim's beginning starts anew."""
    gain = length(raised.inch_gains_m, system)
    inch = "25 mm" if system == "metric" else "inch"
    buys = (
        f"the first {inch} gains {gain} at its lowest place"
        if raised.inch_gains_m > _NOTHING_M
        else "by itself it gains nothing: another place is lower"
    )
    start, end = (length(at if at <= length_m else at - length_m, system) for at in (raised.from_m, raised.to_m))
    stretch = f"{start} to {end} along"
    if raised.read_first:
        buys = "by its likeliest levels it stands high enough: read it there first"
    return raised.path, f"{_at(raised.path)}, {stretch}: by {length(raised.by_m, system)} once settled; {buys}."


def _ways(assessment: Assessment) -> Iterator[str]:
    """What leaves first; where the water of each body and reach would go, what stands in its way first."""
    yield from first_out(assessment)
    system = assessment.feature.system
    together: dict[str, list[str]] = {}
    for spill in all_ways(assessment):
        at = "" if spill.over == "overflow" else f" at {length(spill.along_m, system)} along"
        together.setdefault(goes_to(spill), []).append(f"{whose(assessment, spill)}{at}")
    for where, waters in together.items():
        said = f"{', '.join(waters)}: {where}."
        yield f"{said[:1].upper()}{said[1:]}"
    over = followed_over(assessment)
    if over:
        yield over


def _at(path: str) -> str:
    """What gives a top, in words."""
    said = named(path.partition(".")[0])
    said = f"bank of {said}" if path.endswith(".bank") else said
    return f"{said[:1].upper()}{said[1:]}"


def _round_what(assessment: Assessment, profile: RimProfile) -> str:
    waters = list(dict.fromkeys(point.water for point in profile.points))
    reservoirs = _reservoirs(assessment)
    whose = [named(path, reservoirs=reservoirs) for path in waters if path.startswith("ponds/")]
    for stream in assessment.feature.streams:
        if any(f"reaches/{reach.id}" in waters for reach in stream.reaches):
            whose.append(named(f"streams/{stream.id}"))
    edge = "edge of an island in" if profile.kind == "island" else "edge round"
    return f"{edge} {' and '.join(whose) or named(profile.path)}"


def _reservoirs(assessment: Assessment) -> list[str]:
    return [body.id for body in assessment.feature.bodies if body.kind is BodyKind.RESERVOIR]
