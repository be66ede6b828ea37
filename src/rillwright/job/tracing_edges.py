"""Numbers of the drawings of edges of liner, spilt water, contours and digging: what they are, and of what made."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from types import MappingProxyType

from rillwright.assessment import XY, Assessment, Judged, NotRun, Origin, Raise, SparePoint
from rillwright.drawings import length, level, wanted_m
from rillwright.feature import named_in, spoken
from rillwright.job.origins import came_from
from rillwright.job.worked_out import WorkedOut
from rillwright.units import Band

_OF_RIM = ("rims.berm", "rims.ground", "ponds.waterline")
_OF_BANK = ("reaches.bank", "streams.bank", "reaches.width", "streams.width")


def edge_number(judged: Judged, of: str) -> WorkedOut | None:
    """What such a number is, by what the drawing says of it; None where it is none of these, or is not there."""
    path, _, kind = of.partition(" ")
    if of in _SURFACES:
        return _SURFACES[of]
    element, _, part = path.partition(".")
    if part in _BOUNDS:
        return _BOUNDS[part](judged, element)
    make = _KINDS.get(kind)
    return None if make is None else make(judged, path)


def _top(judged: Judged, path: str) -> WorkedOut | None:
    """The top of an edge at the place on it that lies nearest to where somebody read it."""
    assessment = judged.assessment
    feature, system = assessment.feature, assessment.feature.system
    body, rim = next(((b, r) for b in feature.bodies for r in b.rims if f"rims/{r.id}" == path), (None, None))
    if body is None or rim is None or rim.at is None:
        return None
    at: XY = rim.at
    near = [place for place in _places(assessment) if place.water == f"ponds/{body.id}"]
    if not near:
        return None
    place = min(near, key=lambda each: math.dist(each.at, at))
    if rim.top is not None and rim.top.origin is Origin.BUILT:
        came = [f"Read on built work, less what its fill is expected to settle: {rim.top.source}."]
    else:
        berm = f", and a berm of {length(rim.berm_m, system)} less what it settles" if rim.berm_m else ""
        came = [f"Worked out from the ground there{berm}.", *came_from(judged, f"{path}.ground")]
    return WorkedOut(
        what=f"liner's edge at {named_in(feature, path)}, once its fill has settled",
        value=level(place.top_m.value, system),
        band=_levels(place.top_m, system),
        came=tuple(came),
        path=path,
        wanted=_OF_RIM[:2],
    )


def _lowest(judged: Judged, path: str) -> WorkedOut | None:
    """The lowest top of the edge that holds a body's water."""
    assessment = judged.assessment
    own = (place for place in _places(assessment) if place.water == path)
    place = min(own, key=lambda each: each.top_m.value, default=None)
    if place is None:
        return None
    system = assessment.feature.system
    return WorkedOut(
        what=f"lowest top of the liner's edge round {named_in(assessment.feature, path)}, once its fill has settled",
        value=level(place.top_m.value, system),
        band=_levels(place.top_m, system),
        came=("Worked out from the ground there and between readings, and what is built up on it.",),
        path=place.path.partition(".")[0],
        wanted=_OF_RIM,
    )


def _highest(judged: Judged, path: str) -> WorkedOut | None:
    """The highest water of a body over all cases."""
    assessment = judged.assessment
    if isinstance(assessment.water, NotRun) or not any(high.path == path for high in assessment.water.highest):
        return None
    worst, system = assessment.water.worst(path), assessment.feature.system
    return WorkedOut(
        what=f"highest water of {named_in(assessment.feature, path)}, over all cases and ways of topping up",
        value=level(worst.level_m.value, system),
        band=_levels(worst.level_m, system),
        came=(f"Worked out for this case: {worst.case}, topped up {worst.holding}.",),
        path=path,
        wanted=_OF_RIM[2:],
    )


def _overflow(judged: Judged, path: str) -> WorkedOut | None:
    """The sill of a body's overflow."""
    feature = judged.assessment.feature
    body = next((body for body in feature.bodies if f"ponds/{body.id}" == path), None)
    if body is None or body.overflow is None:
        return None
    return WorkedOut(
        what=f"sill of the overflow of {named_in(feature, path)}",
        value=level(body.overflow.level.m, feature.system),
        came=(f"As the file has it: {spoken(body.overflow.level.source)}.",),
        path=path,
        wanted=("overflows.level", *_OF_RIM[2:]),
    )


def _spare(judged: Judged, path: str) -> WorkedOut | None:
    assessment = judged.assessment
    own = (place for place in _places(assessment) if place.path == path)
    place = min(own, key=lambda each: each.spare_m.value, default=None)
    if place is None:
        return None
    system = assessment.feature.system
    top, water = (level(band.value, system) for band in (place.top_m, place.water_m))
    holding = f", topped up {place.holding}" if place.holding in ("at rest", "while running") else ""
    against = f"{named_in(assessment.feature, place.water)}, {place.case}{holding}"
    spare = length(abs(place.spare_m.value), system)
    return WorkedOut(
        what=f"height to spare at {_at(assessment, path)}",
        value=spare if place.spare_m.value >= 0.0 else f"{spare} under water",
        band=_band(place.spare_m, system),
        came=(
            f"Worked out from the top of the edge there, {top}, less the highest water against it, {water}: {against}.",
        ),
        path=path.partition(".")[0],
        wanted=_wanted(path),
    )


def _raise(judged: Judged, path: str) -> WorkedOut | None:
    assessment = judged.assessment
    found = max(_raises(assessment, path), key=lambda each: each.by_m, default=None)
    if found is None:
        return None
    system = assessment.feature.system
    wanted = length(wanted_m(assessment, found.water), system)
    built = length(found.build_m, system)
    return WorkedOut(
        what=f"by how much to raise {_at(assessment, path)}, once it has settled",
        value=length(found.by_m, system),
        came=(
            f"Worked out from what it lacks to {wanted} above the highest water, where it lacks most.",
            f"Built {built} high, for fill settles." if found.build_m > found.by_m else "It is no fill that settles.",
        ),
        path=path.partition(".")[0],
        wanted=_wanted(path),
    )


def _leaves(judged: Judged, path: str) -> WorkedOut | None:
    """Where water would leave first; several waters may stand against one edge."""
    containment = judged.assessment.containment
    spills = () if isinstance(containment, NotRun) else tuple(each for each in containment.spills if each.rim == path)
    if not spills:
        return None
    least = min(spills, key=lambda each: each.spare_m.value)
    system = judged.assessment.feature.system
    said = (
        f"{named_in(judged.assessment.feature, each.water)}: {level(each.level_m.value, system)}, "
        f"{length(each.along_m, system)} along"
        for each in spills
    )
    return WorkedOut(
        what="level at which water would leave first, and how far its highest water stays below",
        band=_band(least.spare_m, system) if len(spills) == 1 else "",
        came=(
            "Worked out from the lowest place of the edge beside it.",
            *(f"{one[:1].upper()}{one[1:]}." for one in said),
        ),
        path=path,
        wanted=("ponds.waterline",),
    )


def _places(assessment: Assessment) -> Iterator[SparePoint]:
    containment = assessment.containment
    for profile in () if isinstance(containment, NotRun) else containment.profiles:
        yield from profile.points


def _raises(assessment: Assessment, path: str) -> Iterator[Raise]:
    containment = assessment.containment
    yield from () if isinstance(containment, NotRun) else (each for each in containment.raises if each.path == path)


def _at(assessment: Assessment, path: str) -> str:
    said = named_in(assessment.feature, path.partition(".")[0])
    return f"the bank of {said}" if path.endswith(".bank") else said


def _wanted(path: str) -> tuple[str, ...]:
    return _OF_RIM if path.startswith("rims/") else _OF_BANK


def _levels(band: Band, system: str) -> str:
    low, high = level(band.low, system), level(band.high, system)
    return "" if low == high else f"may be {low} to {high}"


def _band(band: Band, system: str) -> str:
    low, high = (f"{'−' if end < 0.0 else ''}{length(abs(end), system)}" for end in (band.low, band.high))
    return "" if low == high else f"may be {low} to {high}"


_KINDS: MappingProxyType[str, Callable[[Judged, str], WorkedOut | None]] = MappingProxyType(
    {"liner": _top, "height to spare": _spare, "raise": _raise, "water": _leaves}
)
_BOUNDS: MappingProxyType[str, Callable[[Judged, str], WorkedOut | None]] = MappingProxyType(
    {"lowest": _lowest, "highest": _highest, "overflow": _overflow}
)
_SURFACES = MappingProxyType(
    {
        "contour ground": WorkedOut(
            what="level of the ground before work, along its contour",
            came=("Drawn through all levels of the ground that were taken, straight from one to the next.",),
        ),
        "contour dig": WorkedOut(
            what="level of the dug surface, along its contour",
            came=("Drawn on the dug surface: under the liner and its underlay, out to where it meets the ground.",),
        ),
        "cut depth": WorkedOut(
            what="depth to be cut there", came=("Worked out from the ground before work less the dug surface.",)
        ),
        "fill depth": WorkedOut(
            what="height to be built up there", came=("Worked out from the dug surface less the ground before work.",)
        ),
    }
)
