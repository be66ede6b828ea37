"""What is to go at every stake today, from what was shot; stakes as a surveyor's file."""

from __future__ import annotations

from rillwright.assessment import Assessment, Judged, NotRun
from rillwright.build import FoundLevel, SiteDay, ToGo, to_go
from rillwright.exchange import points_of_stakes, write_points_csv


def found_levels(assessment: Assessment) -> tuple[FoundLevel, ...]:
    """The levels of all readings that stand, in the order in which they were taken; what is doubted does not count."""
    return tuple(
        FoundLevel(at=shot.shot.path.strip(), surface=shot.surface, level_m=shot.level_m)
        for shot in assessment.shots.shots
        if shot.state in ("kept", "unconfirmed") and shot.surface is not None and shot.level_m is not None
    )


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
