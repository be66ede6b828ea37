"""The kit of a day: what a phone needs to answer by itself at every place that can be shot. Levels in nanometres."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Judged, NotRun
from rillwright.build import STAKED, HoldPoint, Stake, tolerance_m
from rillwright.compare import Course, course_of, least_m
from rillwright.feature import Feature, Place, Surface, named_in, places
from rillwright.job.margins import KitMargin, margins_at
from rillwright.job.opening import Job
from rillwright.job.shot_file import as_built
from rillwright.sources import limit
from rillwright.survey import LEVEL, Shot, ShotState, taped_within_m, whole_nm
from rillwright.units import Style, show, style_for


class KitMark(Struct, frozen=True, kw_only=True):
    """A mark on which the instrument can be set up."""

    id: str
    name: str
    level_nm: int


class KitPlace(Struct, frozen=True, kw_only=True):
    """One surface at one place: the level planned there, its tolerance, and what a level found there comes to."""

    stake: str
    path: str
    surface: str
    words: str
    peg: str
    planned_nm: int | None
    low_nm: int | None
    high_nm: int | None
    margins: tuple[KitMargin, ...]


class KitHoldShot(Struct, frozen=True, kw_only=True):
    path: str
    surface: str
    words: str
    wanted_nm: int
    low_nm: int
    high_nm: int


class KitHoldTape(Struct, frozen=True, kw_only=True):
    words: str
    wanted_m: float | None
    within_m: float | None  # further off than that is asked about


class KitHold(Struct, frozen=True, kw_only=True):
    """A moment at which work waits."""

    id: str
    when: str
    at: str
    called: str  # the same in words
    words: str
    shoot: tuple[KitHoldShot, ...]
    tape: tuple[KitHoldTape, ...]
    look: tuple[str, ...]
    photograph: tuple[str, ...]
    initials: tuple[str, ...]


class Kit(Struct, frozen=True, kw_only=True):
    """All of it. `benchmark` are the bounds [m] within which a mark read again agrees, and beyond which it moved.

    `fits` are the streams without the day's readings, which the phone puts in itself; `least_m` is the smallest change
    that is told, `last_m` what is wanted for the last fall, and the least that must remain [m].
    """

    benchmark: tuple[float, float]
    marks: tuple[KitMark, ...]
    places: tuple[KitPlace, ...]
    holds: tuple[KitHold, ...]
    fits: tuple[Course, ...]
    least_m: float
    last_m: tuple[float, float]
    shots: tuple[Shot, ...]


def kit_of(job: Job, judged: Judged, *, day: str) -> Kit:
    """The kit of a judged job for a day as its set-ups are named, such as 2026-05-04."""
    feature, build = job.planned, judged.assessment.build
    bounds, last = limit("survey.benchmark"), limit("falls.last")
    return Kit(
        benchmark=(bounds.good, bounds.bad),
        marks=tuple(
            KitMark(id=mark.id, name=_named(mark.id, mark.role), level_nm=whole_nm(mark.level.m))
            for mark in feature.marks
            if mark.level.surface is Surface.MARK
        ),
        places=_places(feature, judged),
        holds=() if isinstance(build, NotRun) else tuple(_hold(hold, feature) for hold in build.holds),
        fits=_courses(job, judged, day=day),
        least_m=least_m(),
        last_m=(last.good, last.bad),
        shots=_of_the_day(job.sheet.shots, day),
    )


def _named(id: str, role: str) -> str:
    return id if role == "point" else f"{id} ({role})"


def _places(feature: Feature, judged: Judged) -> tuple[KitPlace, ...]:
    """Stakes as they are walked, then whatever else can be shot; each path and surface once.

    What is planned there is what the service holds a shot against: the plan as it was before anything was built.
    """
    build = judged.assessment.build
    can = {(str(place.path), place.surface): place for place in places(feature)}
    found: dict[tuple[str, Surface], KitPlace] = {}
    for stake in () if isinstance(build, NotRun) else build.stakes:
        for surface in STAKED:
            planned = can.get((_bare(stake.shot_at), surface))
            wanted = stake.level_m(surface)
            if wanted is not None and (stake.shot_at, surface) not in found:
                level = wanted if planned is None else planned.planned_m
                found[stake.shot_at, surface] = _place(feature, judged, stake, surface=surface, level_m=level)
    for (path, surface), place in can.items():
        if (path, surface) not in found:
            found[path, surface] = _unstaked(feature, judged, place)
    return tuple(found.values())


def _bare(path: str) -> str:
    return path.partition("@")[0]


def _place(feature: Feature, judged: Judged, stake: Stake, *, surface: Surface, level_m: float | None) -> KitPlace:
    peg = "" if stake.peg is None else _peg(stake, style_for(feature.system))
    place = KitPlace(
        stake=stake.id, path=stake.shot_at, surface=surface.value, words=stake.text, peg=peg,
        planned_nm=None, low_nm=None, high_nm=None, margins=(),
    )  # fmt: skip
    return _bounded(place, feature, judged, level_m=level_m)


def _unstaked(feature: Feature, judged: Judged, place: Place) -> KitPlace:
    path = str(place.path)
    words = f"{place.path.id}, {place.path.part.replace('_', ' ')}"
    found = KitPlace(
        stake="", path=path, surface=place.surface.value, words=words, peg="",
        planned_nm=None, low_nm=None, high_nm=None, margins=(),
    )  # fmt: skip
    return _bounded(found, feature, judged, level_m=place.planned_m)


def _bounded(place: KitPlace, feature: Feature, judged: Judged, *, level_m: float | None) -> KitPlace:
    """The place with its planned level, what is still within tolerance, and what lies beyond."""
    if level_m is None:
        return place
    tolerance = whole_nm(tolerance_m(feature, Surface(place.surface), place.path))
    planned = whole_nm(level_m)
    low, high = planned - tolerance, planned + tolerance
    margins = margins_at(judged, place.path, surface=Surface(place.surface), low_nm=low, high_nm=high)
    return replace(place, planned_nm=planned, low_nm=low, high_nm=high, margins=margins)


def _peg(stake: Stake, style: Style) -> str:
    assert stake.peg is not None
    told = f"peg {show(stake.peg.away_m, 'length', style)} {stake.peg.way}"
    return told if stake.peg.clear else f"{told}; other work lies there: set the peg aside, and tape it"


def _hold(hold: HoldPoint, feature: Feature) -> KitHold:
    return KitHold(
        id=hold.id,
        when=hold.when.value,
        at=hold.at,
        called=named_in(feature, hold.at),
        words=hold.text,
        shoot=tuple(
            KitHoldShot(
                path=shot.path,
                surface=shot.surface.value,
                words=shot.text,
                wanted_nm=whole_nm(shot.wanted_m),
                low_nm=whole_nm(shot.wanted_m) - whole_nm(shot.tolerance_m),
                high_nm=whole_nm(shot.wanted_m) + whole_nm(shot.tolerance_m),
            )
            for shot in hold.shoot
        ),
        tape=tuple(
            KitHoldTape(words=tape.text, wanted_m=tape.wanted_m, within_m=taped_within_m(tape.wanted_m))
            for tape in hold.tape
        ),
        look=hold.look,
        photograph=hold.photograph,
        initials=hold.initials,
    )


def _courses(job: Job, judged: Judged, *, day: str) -> tuple[Course, ...]:
    """The streams as they were built before this day."""
    feature = job.feature
    today = {shot.uuid for shot in _of_the_day(job.sheet.shots, day)}
    if today:
        rows = tuple(_before(job.sheet.shots, today))
        _, feature = as_built(job.planned, replace(job.sheet, shots=rows))
    return tuple(
        course_of(feature, stream, judged.assessment.water)
        for stream in feature.streams
        if stream.falls and stream.reaches
    )


def _before(shots: tuple[Shot, ...], today: set[str]) -> Iterator[Shot]:
    """The rows without those of the day; what these say of earlier ones stays."""
    for shot in shots:
        if shot.uuid not in today:
            yield shot
        elif shot.re and shot.re not in today:
            yield replace(shot, reading="", state=ShotState.WITHDRAWN) if shot.reading else shot


def _of_the_day(shots: tuple[Shot, ...], day: str) -> tuple[Shot, ...]:
    """The rows of the day's set-ups, and those that speak of one of them."""
    own = {shot.uuid for shot in shots if shot.setup.startswith(f"{day}/") or shot.time.startswith(day)}
    return tuple(_chosen(shots, own))


def _chosen(shots: tuple[Shot, ...], own: set[str]) -> Iterator[Shot]:
    for shot in shots:
        if (shot.uuid in own or shot.re in own) and shot.rod != LEVEL:  # a level given is none of the phone's sums
            yield shot
