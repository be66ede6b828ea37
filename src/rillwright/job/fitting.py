"""What fits: the question of a stream, or of a bare height, put in whole units and answered."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Judged
from rillwright.compare import stream_problem
from rillwright.feature import Feature, Stream, named_in
from rillwright.fit import (
    PER_M,
    Arrangement,
    Character,
    FitProblem,
    FitResult,
    Span,
    counted,
    fit,
    fit_nearest,
    short_words,
    standard_problem,
    unit_of,
)
from rillwright.job.opening import Job, judge
from rillwright.units import style_for

_LOOKED_AT = 40  # arrangements for each that is listed: many differ by the order of their drops alone
_MOST = 1000


class Fitted(Struct, frozen=True, kw_only=True):
    """A question and its answer; `stream` is empty where only a height was asked for."""

    stream: str
    system: str
    problem: FitProblem
    result: FitResult
    down_to: str = "the held water"  # or the running water of a bed that it joins, or the cover of a reservoir
    nearest: Arrangement | None = None  # where nothing fits: the best once as little as it takes is given up

    def metres(self, count: int) -> float:
        """A length of the answer [m]."""
        return count / PER_M[self.problem.unit]

    @property
    def short(self) -> tuple[str, ...]:
        """Why nothing fits and what would, a sentence each; nothing where something fits."""
        return short_words(self.problem, self.result, style_for(self.system))


def fit_height(
    height_m: float,
    *,
    system: str,
    character: Character = "lively",
    drops: tuple[int, int] | None = None,
    least_last_m: float = 0.0,
    spill_stone_m: float = 0.0,
    best: int = 20,
) -> Fitted:
    """What fits a height from bed to held water.

    Parameters
    ----------
    height_m
        Bed at the stream head less the held water [m].
    system
        us or metric: unit and marking step.
    character
        quiet, lively or loud.
    drops
        Least and greatest number of drops [-].
    least_last_m
        Least height of the last fall as it is seen [m].
    spill_stone_m
        Thickness of the spill stones [m].
    best
        How many arrangements are listed [-].
    """
    unit = unit_of(system)
    problem = standard_problem(unit, height=counted(height_m, unit))
    problem = replace(
        problem,
        character=character,
        drops=Span(*drops) if drops is not None else problem.drops,
        least_last=counted(least_last_m, unit),
        spill_stone=counted(spill_stone_m, unit),
        most_left=problem.step - 1,
    )
    return _fitted("", system, problem, best)


def fit_job(
    job: Job, *, best: int = 20, drops: tuple[int, int] | None = None, judged: Judged | None = None
) -> tuple[Fitted, ...]:
    """What fits each stream of a job: its height, its beds, what is built, its running level; or `drops` in number."""
    judged = judge(job) if judged is None else judged
    return tuple(_of_stream(job.feature, stream, judged, best=best, drops=drops) for stream in job.feature.streams)


def _of_stream(feature: Feature, stream: Stream, judged: Judged, *, best: int, drops: tuple[int, int] | None) -> Fitted:
    problem = stream_problem(feature, stream, judged.assessment.water, drops=drops)
    found = _fitted(stream.id, feature.system, problem, best)
    bed = feature.joined(stream)
    if bed is not None:
        return replace(found, down_to=f"the running water of {named_in(feature, f'reaches/{bed.id}')}")
    covered = feature.body(stream.into).cover_m is not None
    return replace(found, down_to="the top of what covers the reservoir") if covered else found


def _fitted(stream: str, system: str, problem: FitProblem, best: int) -> Fitted:
    result = _apart(problem, best)
    nearest = None if result.count else fit_nearest(problem)
    return Fitted(stream=stream, system=system, problem=problem, result=result, nearest=nearest)


def _apart(problem: FitProblem, best: int) -> FitResult:
    """The best that are no near twins: of two whose drops, put in order, are at most a step apart, the better one."""
    result = fit(problem, best=min(_LOOKED_AT * best, _MOST))
    kept: list[Arrangement] = []
    for one in result.arrangements:
        if len(kept) == best:
            break
        if not any(_twins(one, other, problem.step) for other in kept):
            kept.append(one)
    return replace(result, arrangements=tuple(kept))


def _twins(one: Arrangement, other: Arrangement, step: int) -> bool:
    if len(one.drops) != len(other.drops) or abs(one.last_height - other.last_height) > step:
        return False
    pairs = zip(*(sorted((drop.kind, drop.drop) for drop in each.drops[:-1]) for each in (one, other)), strict=True)
    return all(a[0] == b[0] and abs(a[1] - b[1]) <= step for a, b in pairs)
