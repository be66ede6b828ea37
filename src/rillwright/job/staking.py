"""What is to go at every stake today, from what was shot; stakes as a surveyor's file."""

from __future__ import annotations

import re

from msgspec.structs import replace

from rillwright.assessment import Assessment, Judged, NotRun, ReducedShot, Surface, newest
from rillwright.build import PART, FoundLevel, SiteDay, ToGo, to_go
from rillwright.exchange import points_of_stakes, write_points_csv
from rillwright.feature import ElementPath

_STAKE = re.compile(r"s[0-9]{1,5}", re.ASCII)


def found_levels(assessment: Assessment) -> tuple[FoundLevel, ...]:
    """The levels of the readings that count, by path and surface; what is doubted does not.

    Of the places on one path, such as both ends of a crest, the one that lies farthest off plan speaks for it: a stone
    with one end off is off.
    """
    found: dict[tuple[str, Surface], ReducedShot] = {}
    for shot in newest(assessment.shots.shots):
        if shot.surface is None or shot.level_m is None:
            continue
        at = str(_bare(shot.path)) if shot.path is not None else shot.shot.path.strip()
        other = found.get((at, shot.surface))
        if other is None or abs(shot.off_plan_m or 0.0) >= abs(other.off_plan_m or 0.0):
            found[at, shot.surface] = shot
    return tuple(
        FoundLevel(at=at, surface=surface, level_m=shot.level_m, planned_m=shot.planned_m)
        for (at, surface), shot in found.items()
        if shot.level_m is not None
    )


def _bare(path: ElementPath) -> ElementPath:
    """The path of the stake: without the end of a stone, but with the part of an edge that falls into several."""
    return path if path.place.startswith(PART) else replace(path, place="")


def path_of_stake(judged: Judged, at: str) -> str:
    """The path under which a shot at a stake is kept; what is the number of no stake stays as it is."""
    build = judged.assessment.build
    stakes = () if isinstance(build, NotRun) else build.stakes
    plain = at.strip()
    return next((stake.shot_at for stake in stakes if stake.id == plain and stake.shot_at), plain)


def is_stake(at: str) -> bool:
    """Whether it is written as the number of a stake, such as s7."""
    return _STAKE.fullmatch(at.strip()) is not None


def stakes_to_go(judged: Judged, *, site_day: SiteDay | None = None) -> tuple[ToGo, ...]:
    """Every surface at every stake: today's reading, what was found, what is to cut or to fill, met or not."""
    assessment = judged.assessment
    if isinstance(assessment.build, NotRun):
        return ()
    return to_go(assessment.feature, assessment.build.stakes, found_levels(assessment), site_day=site_day)


def stakes_csv(judged: Judged) -> str:
    """Stakes and pegs as a surveyor's CSV, a row for each surface, in metres; empty but for its head without stakes."""
    build = judged.assessment.build
    return write_points_csv(() if isinstance(build, NotRun) else points_of_stakes(build.stakes))
