"""Whether one ripple more would fit above the last fall."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rillwright.compare.arrangements import fits
from rillwright.compare.course import Course
from rillwright.fit import PER_M, Arrangement, Built, FitProblem, Span, Wish, counted
from rillwright.sources import limit


class Room(Struct, frozen=True, kw_only=True):
    """A ripple [m] that would fit above the last fall, and what it leaves for that fall as it is seen [m].

    `well` says whether that is what is wanted, and not only the least that must remain.
    """

    ripple_m: float
    last_m: float
    well: bool


def room_for_ripple(course: Course) -> Room | None:
    """Whether one ripple more would fit between the last bed and the last fall, everything above it left as it stands.

    8 in at least, and 10 in as is wanted, must remain for the last fall: the limit for it.
    """
    problem = _one_more(course)
    if problem is None:
        return None
    last = limit("falls.last")
    for least, well in ((last.good, True), (last.bad, False)):
        found = fits(replace(problem, least_last=counted(least, problem.unit)), best=1)
        if found is not None and found.arrangements:
            return _room(found.arrangements[0], problem, well)
    return None


def _room(best: Arrangement, problem: FitProblem, well: bool) -> Room:
    per_m = PER_M[problem.unit]
    return Room(ripple_m=best.drops[-2].drop / per_m, last_m=best.last_height / per_m, well=well)


def _one_more(course: Course) -> FitProblem | None:
    """Everything down to the last bed as built, and one drop more that is to be a ripple."""
    reaches, unit = course.reaches, course.problem.unit
    if not reaches or len(course.falls) != len(reaches):
        return None
    starts = [counted(reach.start_m - course.held_m, unit) for reach in reaches]
    ends = [counted(reach.end_m - course.held_m, unit) for reach in reaches]
    drops = [end - start for end, start in zip(ends, starts[1:], strict=False)]
    if any(drop < 1 for drop in drops):
        return None
    built = [Built(pitch=a - b, drop=drop) for a, b, drop in zip(starts, ends, [*drops, None], strict=True)]
    most = len(reaches) + 1
    return replace(
        course.problem,
        height=starts[0],
        built=tuple(built),
        beds=(),
        drops=Span(most, most),
        wishes=(Wish(at=most - 1, kind="ripple"),),
        pitch=Span(0, 0),
        most_left=None,
    )
