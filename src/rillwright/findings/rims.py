"""Rules on the liner's edge as it runs: its lowest place between readings, higher ground behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Containment, Freeboard, LowPlace, NotRun, Raise, Severity
from rillwright.findings.lifts import to_set_out_m
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import named, named_in, spoken

_ROD_M = 0.003  # what a rod is read to, about
_HAIR_M = 0.001  # what is less than a millimetre lower is not lower


def _contained(assessment: Assessment) -> Containment | None:
    return None if isinstance(assessment.containment, NotRun) else assessment.containment


def _tops_of(assessment: Assessment, found: Containment, water: str) -> list[Freeboard]:
    """The rims of a body, or the bank of a reach, as they were read."""
    collection, _, id = water.partition("/")
    if collection == "reaches":
        return [top for top in found.tops if top.path == f"{water}.bank"]
    paths = {f"rims/{rim.id}" for body in assessment.feature.bodies if body.id == id for rim in body.rims}
    return [top for top in found.tops if top.path in paths]


def _lows(assessment: Assessment, collection: str) -> Iterator[tuple[LowPlace, Containment, float]]:
    """The lowest place of each body, or each reach, and the least to spare [m] where its rim was read."""
    found = _contained(assessment)
    for low in () if found is None else found.lows:
        if found is not None and low.water.startswith(collection):
            read = _tops_of(assessment, found, low.water)
            if read:  # that no rim was given is said elsewhere
                yield low, found, min(top.freeboard_m.value for top in read)


def _rims(assessment: Assessment) -> Iterator[Check]:
    for low, found, least in _lows(assessment, "ponds/"):
        if low.spare_m.value > least - _HAIR_M:
            yield _unsure(assessment, found, low) or _no_lower(low)
            continue
        guess, shot = low.ground_is == "guess", low.ground_is == "shot"
        raised = _raised(found, low, assessment.feature.system)
        remedy = _READ_FIRST if guess or not raised else _RAISE if shot else _RAISE_IF_SO
        told = (*_facts(low, least), ("where", where_nearest(low), ""), ("away", low.nearest_m or 0.0, "m"))
        yield Check(
            element=low.water,
            value=low.spare_m,
            facts=(*told, *_place(low), *raised, *_berm(assessment, low, raised)),
            worst=Severity.WATCH if guess else Severity.STOP,
            text=(_GUESSED if guess else _SHOT if shot else "") if low.nearest else _UNREAD,
            remedy=remedy,
        )


def _unsure(assessment: Assessment, found: Containment, low: LowPlace) -> Check | None:
    """No place is likely lower than the rims that were read; one that may be, for how the ground runs between."""
    read = min(top.freeboard_m.low for top in _tops_of(assessment, found, low.water))
    place = next((each for each in found.unsure if each.water == low.water), low)
    if place.ground_is == "shot" or place.spare_m.low > read - _HAIR_M:
        return None
    nearest = ("where", where_nearest(place), ""), ("away", place.nearest_m or 0.0, "m")
    told = (*_facts(place, place.spare_m.value), *nearest)
    facts = (*told, *_place(place))
    return Check(
        element=place.water, value=place.spare_m, facts=facts, worst=Severity.WATCH, text=_MAY_BE, remedy=_READ_FIRST
    )


def _banks(assessment: Assessment) -> Iterator[Check]:
    """What is no lower than at the ends by more than a rod reads is judged there (`bank.low`)."""
    for low, found, least in _lows(assessment, "reaches/"):
        if low.spare_m.value > least - _ROD_M:
            yield _no_lower(low)
            continue
        raised = _raised(found, low, assessment.feature.system)
        facts = (*_facts(low, least), ("station", low.station_m or 0.0, "m"), *raised)
        yield Check(element=low.water, value=low.spare_m, facts=facts, remedy=_RAISE_BANK if raised else "")


def _no_lower(low: LowPlace) -> Check:
    return Check(element=low.water, value=low.spare_m, severity=Severity.OK)


def _facts(low: LowPlace, least_m: float) -> tuple[Fact, ...]:
    return (("case", low.case, ""), ("holding", low.holding, ""), ("lower", max(least_m - low.spare_m.value, 0.0), "m"))


def where_nearest(low: LowPlace) -> str:
    """The reading nearest to a low place, or what gives its top, in words."""
    return spoken(low.nearest) if low.nearest else _at(low.path)


def _at(path: str) -> str:
    """What gives a rim its top, in words."""
    name = named(path.partition(".")[0])
    return f"the bank of {name}" if path.endswith(".bank") else name


def _place(low: LowPlace) -> tuple[Fact, ...]:
    return (("x", low.at[0], "m"), ("y", low.at[1], "m"))


def _berm(assessment: Assessment, low: LowPlace, raised: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """The whole berm there once it is raised: what a rim of the file says."""
    surface = assessment.surface
    build = next((value for name, value, _ in raised if name == "build"), None)
    if not isinstance(build, float):
        return ()
    rims = () if isinstance(surface, NotRun) else surface.rims
    points = [point for rim in rims if rim.path == low.rim for point in rim.points]
    here = min(points, key=lambda point: math.dist(point.at, low.at), default=None)
    there = 0.0 if here is None else max(here.fill_m, 0.0)
    return (("berm", to_set_out_m(build + there, assessment.feature.system), "m"),)


def _raised(found: Containment, low: LowPlace, system: str) -> tuple[Fact, ...]:
    """What is to be raised at the lowest place, and what an inch on it buys."""
    for each in found.raises:
        if each.rim == low.rim and each.water == low.water and _within(each, low.along_m, found):
            return (
                ("by", to_set_out_m(each.by_m, system), "m"),
                ("build", to_set_out_m(each.build_m, system), "m"),
                ("long", max(each.to_m - each.from_m, 0.0), "m"),
                ("gain", each.inch_gains_m, "m"),
                ("sides", "on both sides" if _others(found, each) else "there", ""),
            )
    return ()


def _within(each: Raise, along_m: float, found: Containment) -> bool:
    whole = next(profile.length_m for profile in found.profiles if profile.path == each.rim)
    return any(each.from_m - _HAIR_M <= along <= each.to_m + _HAIR_M for along in (along_m, along_m + whole))


def _others(found: Containment, raised: Raise) -> bool:
    return any(each.water == raised.water and each is not raised for each in found.raises)


def _uphill(assessment: Assessment) -> Iterator[Check]:
    """What the file says drains to a body is held against the higher ground found beside it and its streams."""
    found = _contained(assessment)
    said = {f"ponds/{body.id}": sum(each.area_m2 for each in body.catchments) for body in assessment.feature.bodies}
    ends = {f"streams/{each.id}": f"ponds/{each.into}" for each in assessment.feature.streams}
    drains: dict[str, float] = {}
    for rim in () if found is None else found.uphill:
        body = ends.get(rim.water, rim.water)
        drains[body] = drains.get(body, 0.0) + rim.ground_m2
    for rim in () if found is None else found.uphill:
        body = ends.get(rim.water, rim.water)
        facts: tuple[Fact, ...] = (
            ("long", rim.length_m, "m"),
            ("ground", rim.ground_m2, "m2"),
            ("stands", rim.stands_m, "m"),
            ("said", said[body], "m2"),
            ("drains", drains[body], "m2"),
            ("body", named_in(assessment.feature, body), ""),
        )
        enough = said[body] >= drains[body]
        text, remedy = (_LESS_SAID, _SAY_ALL) if said[body] and not enough else ("", "")
        severity = Severity.OK if enough else Severity.WATCH
        yield Check(element=rim.water, severity=severity, facts=facts, text=text, remedy=remedy)


_LESS_SAID = (
    "Along {long} of its edge the ground outside {name} stands up to {stands} above the rim and slopes to it. The file "
    "lets {said} drain to {body}; {drains} or more do, by the ground as it was read."
)
_SAY_ALL = (
    "Cut a swale above that edge that leads the water past, or raise the rim over the ground behind it; else give the "
    "catchment of {body} the larger area."
)
_GUESSED = (
    "Where nobody read the ground, {away} from the nearest reading ({where}), the rim of {name} may stand no more than "
    "{range} above the highest water ({case}, topped up {holding}); {good} is wanted."
)
_MAY_BE = (
    "Between the readings, {away} from {where}, the rim of {name} has {range} to spare above the highest water "
    "({case}, topped up {holding}), for how the ground may run there; {good} is wanted."
)
_UNREAD = (
    "At {where} the rim of {name} stands {range} above the highest water ({case}, topped up {holding}): {lower} less "
    "than where it was read; {good} is wanted, {bad} is the least."
)
_RAISE = (
    "Raise the rim over {long} there, by up to {by}, built {build} higher before it settles: in the file a rim at "
    "x {x}, y {y} with the ground read there and a berm of {berm}. The first inch raises the lowest place of "
    "{name} by {gain}."
)
_RAISE_IF_SO = (
    "Shoot the ground at x {x}, y {y}. If it is so, raise the rim over {long} there, by up to {by}, built {build} "
    "higher before it settles: in the file a rim with that place and a berm of {berm}. The first inch raises the "
    "lowest place of {name} by {gain}."
)
_SHOT = (
    "By {where} the rim of {name} has {range} to spare above the highest water ({case}, topped up {holding}), {lower} "
    "less than at its rims; {good} is wanted, {bad} is the least."
)
_RAISE_BANK = (
    "Raise the liner's edge {sides} by up to {by} over {long}, built {build} high before its fill settles; or lower "
    "the next crest."
)
_READ_FIRST = "Shoot the ground at x {x}, y {y}, and put it in the file as a rim with that place; then look again."
_LEAST = (
    "{away} from {where}, the nearest reading, {name} has {range} to spare above the highest water ({case}, topped up "
    "{holding}), {lower} less than where it was read; {good} is wanted, {bad} is the least."
)
_BANK_LEAST = (
    "The banks of {name} have {range} to spare above the highest water ({case}, topped up {holding}) at {station} from "
    "the stream head, {lower} less than at the ends of its bed, for how their fill and the water run between; "
    "{good} is wanted, {bad} is the least."
)
BETWEEN = Rule(
    code="rim.between",
    area="containment",
    title="Between the places that were read the rim is no lower",
    well="The rim of {name} has nowhere less to spare than where it was read.",
    ill=_LEAST,
    remedy="Shoot the ground there, and raise the rim or lower the waterline.",
    find=_rims,
    likely="too low",
    limits=("rim.freeboard",),
)
ALONG = Rule(
    code="bank.along",
    area="containment",
    title="Along its whole length the bank is no lower than at its ends",
    well="The banks of {name} have nowhere less to spare than at the ends of its bed.",
    ill=_BANK_LEAST,
    remedy="Raise the liner's edge there, widen the bed, or lower the next crest.",
    find=_banks,
    likely="too low",
    limits=("bank.freeboard",),
)
UPHILL = Rule(
    code="rim.uphill",
    area="containment",
    title="No higher ground drains over the rim",
    well="Along {long} of its edge higher ground drains to {name}, and the file says how much runs in.",
    ill="Along {long} of its edge the ground outside {name} stands up to {stands} above the rim and slopes to it: rain "
    "off {ground} of it or more runs in, with soil and what was spread on it.",
    remedy="Cut a swale above that edge that leads the water past, or raise the rim over the ground behind it; and say "
    "what drains in as its catchment.",
    find=_uphill,
    weight=Weight.UNSAID,
)
