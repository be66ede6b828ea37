"""What fits: the question of a stream, or of a bare height, put in whole units and answered."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rillwright.assessment import Judged, NotRun
from rillwright.feature import Feature, Origin, Stream
from rillwright.fit import Bed, Built, Character, FitProblem, FitResult, Span, Unit, fit, standard_problem
from rillwright.job.opening import Job, judge
from rillwright.sources import limit

PER_M = {"1/16 in": 16 / 0.0254, "1 mm": 1000.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
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
    unit = _unit(system)
    problem = standard_problem(unit, height=_count(height_m, unit))
    problem = replace(
        problem,
        character=character,
        drops=Span(*drops) if drops is not None else problem.drops,
        least_last=_count(least_last_m, unit),
        spill_stone=_count(spill_stone_m, unit),
        most_left=problem.step - 1,
    )
    return Fitted(stream="", system=system, problem=problem, result=fit(problem, best=best))


def fit_job(job: Job, *, best: int = 20, drops: tuple[int, int] | None = None) -> tuple[Fitted, ...]:
    """What fits each stream of a job: its height, its beds, what is built, its running level; or `drops` in number."""
    judged = judge(job)
    return tuple(_of_stream(job.feature, stream, judged, best=best, drops=drops) for stream in job.feature.streams)


def _of_stream(feature: Feature, stream: Stream, judged: Judged, *, best: int, drops: tuple[int, int] | None) -> Fitted:
    unit = _unit(feature.system)
    body = feature.body(stream.into)
    problem = standard_problem(unit, height=_count(stream.head.m - body.waterline.m, unit))
    built = _built(stream, unit)
    count = Span(*drops) if drops is not None else Span(len(stream.falls), len(stream.falls))
    problem = replace(
        problem,
        step=_count(feature.step_m, unit) or problem.step,
        character=stream.look.value,
        drops=Span(max(count.low, len(built) + 1), max(count.high, len(built) + 1)),
        built=built,
        beds=tuple(Bed(length=_count(reach.length_m, unit)) for reach in stream.reaches)[: max(count.low, 1)],
        least_last=_count(limit("falls.last").bad, unit),
        spill_stone=_count(stream.falls[-1].stone_m, unit),
        running_below_held=_running_below(judged, stream.into, unit),
        most_left=_count(feature.step_m, unit) - 1,
    )
    return Fitted(stream=stream.id, system=feature.system, problem=problem, result=fit(problem, best=best))


def _built(stream: Stream, unit: Unit) -> tuple[Built, ...]:
    """Drops whose crest and whose next crest are built, from the head down as far as that goes."""
    found: list[Built] = []
    falls, reaches = stream.falls, stream.reaches
    for index, fall in enumerate(falls[:-1]):
        if fall.crest.origin is not Origin.BUILT or falls[index + 1].crest.origin is not Origin.BUILT:
            break
        drop = fall.crest.m - fall.stone_m - (falls[index + 1].crest.m - falls[index + 1].stone_m)
        pitch = reaches[index].pitch_m
        found.append(Built(pitch=_count(pitch, unit), drop=_count(drop - reaches[index + 1].pitch_m, unit)))
    return tuple(found)


def _running_below(judged: Judged, body: str, unit: Unit) -> int:
    water = judged.assessment.water
    if isinstance(water, NotRun):
        return 0
    balance = next(b for b in water.balances if b.body == body)
    return max(_count(balance.held_m - balance.running_level_m.value, unit), 0)


def _unit(system: str) -> Unit:
    return "1/16 in" if system == "us" else "1 mm"


def _count(length_m: float, unit: Unit) -> int:
    return round(length_m * PER_M[unit])
