"""Where a stream runs into a bed of another: what its long section shows past its end."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from rillwright.assessment import Assessment, NotRun, Reach, Stream
from rillwright.drawings.display import Area, Item, Polyline, View, group
from rillwright.drawings.profile import between, pools


class Joined(Struct, frozen=True, kw_only=True):
    """The bed that a stream runs into: its name in words, its water running there and at rest [m]."""

    bed: Reach
    words: str
    running_m: float | None
    rest_m: float | None

    @property
    def path(self) -> str:
        return f"reaches/{self.bed.id}"


def joined(assessment: Assessment, stream: Stream) -> Joined | None:
    """What a stream runs into where that is a bed; None where it is its body."""
    bed = assessment.feature.joined(stream)
    if bed is None or stream.joins is None:
        return None
    running = rest = None
    if not isinstance(assessment.water, NotRun):
        last = stream.falls[-1]
        heights = (crest.fall_height_m.value for crest in assessment.water.crests if crest.fall == last.id)
        running = next((last.crest.m - height for height in heights), None)
        wet = assessment.water.wet(bed.id)
        rest = wet.rest_level_m if wet is not None else None
    return Joined(bed=bed, words=f"bed {bed.id} of {stream.joins.stream}", running_m=running, rest_m=rest)


def joined_water(found: Joined, line: tuple[tuple[float, float], ...], end_m: float, view: View) -> Iterator[Item]:
    """The running water of that bed as washed areas, beyond station `end_m` [m] of the section's `line` of the bed."""
    bed = between(line, end_m, max(station for station, _ in line))
    if found.running_m is not None:
        for polygon in pools(bed, lambda _: found.running_m or 0.0):
            yield group("running", (Area(points=view.line(polygon), fill="water wash"),), path=found.path)


def joined_lines(found: Joined, line: tuple[tuple[float, float], ...], end_m: float, view: View) -> Iterator[Item]:
    """The levels of that water, running and at rest."""
    bed = between(line, end_m, max(station for station, _ in line))
    for level, pen in ((found.rest_m, "water at rest"), (found.running_m, "water")):
        if level is None:
            continue
        for polygon in pools(bed, lambda _, level=level: level):  # type: ignore[misc]
            left, right = (pick(station for station, _ in polygon) for pick in (min, max))
            yield Polyline(points=view.line(((left, level), (right, level))), pen=pen)
