"""A stream's course as far as it decides what fits: its beds and crests, the water it runs to, and the question."""

from __future__ import annotations

from msgspec import Struct

from rillwright.assessment import Feature, NotRun, Origin, Stream, Water
from rillwright.compare.arrangements import held_below_m, stream_problem
from rillwright.compare.telling import named
from rillwright.fit import FitProblem


class CourseReach(Struct, frozen=True, kw_only=True):
    """A bed: levels [m] at its ends; `pitched` where the file gives its pitch."""

    id: str
    start_m: float
    end_m: float
    pitched: bool


class CourseFall(Struct, frozen=True, kw_only=True):
    """A drop below the bed of the same place: level of its crest and thickness of its stone [m]."""

    id: str
    crest_m: float
    stone_m: float
    built: bool


class Course(Struct, frozen=True, kw_only=True):
    """Of a stream with its name in words: beds and falls in turn from the head, and what was asked of `fit`.

    `held_m` is the level of the held water, or of the running one in the bed that it joins; `last_drop_m` what the
    last fall takes of the height [m].
    """

    stream: str
    name: str
    held_m: float
    last_drop_m: float
    problem: FitProblem
    reaches: tuple[CourseReach, ...]
    falls: tuple[CourseFall, ...]

    @property
    def over_water_m(self) -> float:
        """How high the last bed ends over the held water [m]."""
        return self.reaches[-1].end_m - self.held_m


def course_of(feature: Feature, stream: Stream, water: Water | NotRun) -> Course:
    """The course of a stream that has a bed and a fall at least."""
    held = held_below_m(feature, stream, water)
    joined = stream.joins is not None or feature.body(stream.into).cover_m is not None
    free = {used.path for used in feature.defaults_used if used.default == "stream.pitch"}
    return Course(
        stream=stream.id,
        name=named(feature, f"streams/{stream.id}"),
        held_m=held,
        last_drop_m=stream.reaches[-1].bed_end.m - held if joined else stream.falls[-1].drop_m,
        problem=stream_problem(feature, stream, water),
        reaches=tuple(
            CourseReach(
                id=reach.id,
                start_m=reach.bed_start.m,
                end_m=reach.bed_end.m,
                pitched=f"reaches/{reach.id}.pitch" not in free,
            )
            for reach in stream.reaches
        ),
        falls=tuple(
            CourseFall(id=fall.id, crest_m=fall.crest.m, stone_m=fall.stone_m, built=fall.crest.origin is Origin.BUILT)
            for fall in stream.falls
        ),
    )
