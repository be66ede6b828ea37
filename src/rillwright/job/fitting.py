"""What fits: the question of a stream, or of a bare height, put in whole units and answered."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Judged
from rillwright.compare import PER_M, counted, stream_problem, unit_of
from rillwright.feature import Feature, Stream
from rillwright.fit import Character, FitProblem, FitResult, Span, fit, standard_problem
from rillwright.job.opening import Job, judge


class Fitted(Struct, frozen=True, kw_only=True):
    """A question and its answer; `stream` is empty where only a height was asked for."""

    stream: str
    system: str
    problem: FitProblem
    result: FitResult

    def metres(self, count: int) -> float:
        """A length of the answer [m]."""
        return count / PER_M[self.problem.unit]


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
    return Fitted(stream="", system=system, problem=problem, result=fit(problem, best=best))


def fit_job(job: Job, *, best: int = 20, drops: tuple[int, int] | None = None) -> tuple[Fitted, ...]:
    """What fits each stream of a job: its height, its beds, what is built, its running level; or `drops` in number."""
    judged = judge(job)
    return tuple(_of_stream(job.feature, stream, judged, best=best, drops=drops) for stream in job.feature.streams)


def _of_stream(feature: Feature, stream: Stream, judged: Judged, *, best: int, drops: tuple[int, int] | None) -> Fitted:
    problem = stream_problem(feature, stream, judged.assessment.water, drops=drops)
    return Fitted(stream=stream.id, system=feature.system, problem=problem, result=fit(problem, best=best))
