"""Levels as built take the place of planned ones; built things stay, what is planned round them may move."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Fall, Feature, Reach, Rim, Stream
from rillwright.feature.model_runs import Run
from rillwright.feature.paths import ElementPath
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import FeatureSaid

BUILT = {
    ("falls", "crest"): Surface.STONE_TOP,
    ("reaches", "start"): Surface.BED,
    ("reaches", "end"): Surface.BED,
    ("rims", "top"): Surface.GROUND,
    ("laps", "upturn"): Surface.LINER,
}
ENDS = ("left", "right")  # of a crest, looking downstream


class BuiltLevel(Struct, frozen=True, kw_only=True):
    """A level as built at a place. A crest may have two: at its left and at its right, looking downstream."""

    path: ElementPath
    level: Level


def overlay(feature: Feature, built: Iterable[BuiltLevel]) -> Feature:
    """The feature with levels as built in the place of planned ones; nothing else moves.

    Of several levels at one place the last counts. The two ends of a crest give its level, their mean, and its tilt;
    a later level without an end means that the stone was set anew. Fill under a rim is taken to settle yet, by the
    share that is planned for it.

    Raises
    ------
    InputError
        With every path that is none of this feature, or at which nothing is judged as built.
    """
    by_place: dict[ElementPath, list[BuiltLevel]] = {}
    for each in built:
        by_place.setdefault(replace(each.path, place=""), []).append(each)
    problems = []
    for path, levels in by_place.items():
        if why := refused(feature, path):
            problems.append(Problem(message=why, found=str(path)))
        else:
            feature = _put(feature, path, levels)
    if problems:
        raise InputError(problems)
    return feature


def refused(feature: Feature, path: ElementPath) -> str:
    """Why no level as built can be put at that path; empty if it can."""
    if (path.collection, path.part) not in BUILT:
        return "nothing there is judged as built"
    ids = {
        "falls": (fall.id for fall in feature.falls),
        "reaches": (reach.id for reach in feature.reaches),
        "rims": (rim.id for body in feature.bodies for rim in body.rims),
        "laps": (lap.id for lap in feature.laps),
    }
    return "" if path.id in ids[path.collection] else "is not an element of this feature"


def with_built(feature: Feature, said: FeatureSaid, levels: Levels) -> Feature:
    """The feature with every level of the file's `built` list in place."""
    filling = levels.filling
    built = []
    for index, row in enumerate(said.built):
        place = ("built", index, "at")
        try:
            path = ElementPath.parse(row.at)
        except InputError as error:
            filling.wrong(place, error.problems[0].message, found=row.at, allowed=error.problems[0].allowed)
            continue
        if why := refused(feature, path):
            known = ", ".join(f"{collection}/ID.{part}" for collection, part in BUILT)
            filling.wrong(place, why, found=row.at, allowed=known if "judged" in why else "")
            continue
        surface = BUILT[(path.collection, path.part)]
        level = levels.resolve(row.level, surface, ("built", index, "level"), origin=Origin.BUILT)
        if level is not None:
            built.append(BuiltLevel(path=path, level=level))
    return overlay(feature, built)


def _put(feature: Feature, path: ElementPath, built: Sequence[BuiltLevel]) -> Feature:
    last = built[-1].level
    if path.collection == "rims":
        bodies = tuple(
            replace(body, rims=tuple(_rim(rim, last) if rim.id == path.id else rim for rim in body.rims))
            for body in feature.bodies
        )
        return replace(feature, bodies=bodies)
    if path.collection == "laps":
        laps = tuple(replace(lap, upturn=last) if lap.id == path.id else lap for lap in feature.laps)
        return replace(feature, laps=laps)
    if path.collection == "reaches":
        return replace(feature, streams=tuple(_bed(stream, path, last) for stream in feature.streams))
    planned = next(fall.crest for fall in feature.falls if fall.id == path.id)
    level, tilt = _crest(built)
    streams = tuple(_stone(stream, path.id, level, tilt) for stream in feature.streams)
    # a run that lifts to this crest lifts to it as built
    runs = tuple(_lifting(run, planned, level) for run in feature.runs)
    return replace(feature, streams=streams, runs=runs)


def _lifting(run: Run, planned: Level, built: Level) -> Run:
    """A run with the level as built wherever one of its ends lifts to the planned one."""
    outlets = tuple(replace(each, level=built) if each.level is planned else each for each in run.outlets)
    return replace(run, outlets=outlets, outlet_level=built if run.outlet_level is planned else run.outlet_level)


def _rim(rim: Rim, top: Level) -> Rim:
    """Built up on its ground, a rim still settles as planned; without fill its top is what stands there."""
    if rim.berm_m > 0.0 and top.m > rim.ground.m:
        return replace(rim, berm_m=top.m - rim.ground.m, top=top)
    return replace(rim, ground=replace(top, surface=Surface.GROUND), berm_m=0.0, settlement=0.0, top=top)


def _bed(stream: Stream, path: ElementPath, level: Level) -> Stream:
    links: list[Reach | Fall] = []
    for link in stream.links:
        if isinstance(link, Reach) and link.id == path.id:
            link = replace(link, bed_start=level) if path.part == "start" else replace(link, bed_end=level)
            link = replace(link, pitch_m=link.bed_start.m - link.bed_end.m)
        links.append(link)
    at_head = path.part == "start" and any(isinstance(link, Reach) and link.id == path.id for link in links[:1])
    return replace(stream, links=tuple(links), head=level if at_head else stream.head)  # the height there is, from here


def _crest(built: Sequence[BuiltLevel]) -> tuple[Level, float | None]:
    """Level of a crest, and its right end less its left one [m] where both were read since the stone was set."""
    last = built[-1]
    ends: dict[str, Level] = {}
    for each in built:
        if each.path.place in ENDS:
            ends[each.path.place] = each.level
        else:
            ends.clear()
    if last.path.place not in ENDS or len(ends) < len(ENDS):
        return last.level, None
    left, right = (ends[end] for end in ENDS)
    sigma = 0.5 * (left.sigma_m**2 + right.sigma_m**2) ** 0.5
    mean = Level(0.5 * (left.m + right.m), last.level.surface, Origin.BUILT, "mean of its ends", sigma)
    return mean, right.m - left.m


def _stone(stream: Stream, id: str, level: Level, tilt_m: float | None) -> Stream:
    links: list[Reach | Fall] = []
    for link in stream.links:
        if isinstance(link, Fall) and link.id == id:
            link = replace(link, crest=level)
            if tilt_m is not None:
                low = "" if tilt_m == 0.0 else "left" if tilt_m > 0.0 else "right"
                link = replace(link, tilt_m=abs(tilt_m), low_end=low)
        links.append(link)
    return replace(stream, links=tuple(links))
