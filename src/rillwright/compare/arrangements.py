"""What fits a stream's height: the question put in whole units, and whether one ripple more would fit."""

from __future__ import annotations

import math

from msgspec.structs import replace

from rillwright.assessment import Feature, NotRun, Origin, Reach, Stream, Water
from rillwright.errors import InputError
from rillwright.findings import bound_of
from rillwright.fit import (
    Bed,
    Built,
    FitProblem,
    FitResult,
    Span,
    Unit,
    counted,
    fit,
    problem_by_limits,
    unit_of,
)


def stream_problem(
    feature: Feature, stream: Stream, water: Water | NotRun, *, drops: tuple[int, int] | None = None
) -> FitProblem:
    """What fits a stream: its height, its beds, what is built, its running level; as many drops as it has, or `drops`.

    Raises
    ------
    InputError
        If the question contradicts itself.
    """
    unit = unit_of(feature.system)
    wished = not stream.falls[-1].wished_ripple and stream.joins is None
    problem = problem_by_limits(
        unit,
        height=counted(stream.head.m - held_below_m(feature, stream, water), unit),
        character=stream.look.value,
        least_last_m=bound_of(feature, "falls.last").bad if wished else 0.0,
    )
    built = _built(stream, unit)
    beds = _beds(feature, stream, unit)
    said = [bed.pitch.low for bed in beds if bed.pitch is not None]
    count = Span(*drops) if drops is not None else Span(len(stream.falls), len(stream.falls))
    return replace(
        problem,
        step=counted(feature.step_m, unit) or problem.step,
        drops=Span(max(count.low, len(built) + 1), max(count.high, len(built) + 1)),
        built=built,
        beds=beds[: max(count.low, 1)],
        pitch_step=math.gcd(problem.pitch_step, *said),
        spill_stone=counted(stream.falls[-1].stone_m, unit),
        running_below_held=_running_below(feature, stream, water, unit=unit),
        most_left=counted(feature.step_m, unit) - 1,
    )


def _beds(feature: Feature, stream: Stream, unit: Unit) -> tuple[Bed, ...]:
    """The beds with their lengths, and with the pitch that the file gives them; free where it gives none."""
    free = {used.path for used in feature.defaults_used if used.default == "stream.pitch"}

    def pitch(reach: Reach) -> Span | None:
        count = counted(reach.pitch_m, unit)
        return None if f"reaches/{reach.id}.pitch" in free else Span(count, count)

    return tuple(Bed(length=counted(reach.length_m, unit), pitch=pitch(reach)) for reach in stream.reaches)


def fits(problem: FitProblem, *, best: int = 3) -> FitResult | None:
    """The answer, or None where the question contradicts itself."""
    try:
        return fit(problem, best=best)
    except InputError:
        return None


def _built(stream: Stream, unit: Unit) -> tuple[Built, ...]:
    """Drops whose crest and whose next crest are built, from the head down as far as that goes."""
    found: list[Built] = []
    falls, reaches = stream.falls, stream.reaches
    for index, fall in enumerate(falls[:-1]):
        if fall.crest.origin is not Origin.BUILT or falls[index + 1].crest.origin is not Origin.BUILT:
            break
        drop = fall.crest.m - fall.stone_m - (falls[index + 1].crest.m - falls[index + 1].stone_m)
        pitch = reaches[index].pitch_m
        found.append(Built(pitch=counted(pitch, unit), drop=counted(drop - reaches[index + 1].pitch_m, unit)))
    return tuple(found)


def held_below_m(feature: Feature, stream: Stream, water: Water | NotRun) -> float:
    """Level [m] to which a stream falls: of the water of its body as held, or the top of what covers that; or of the
    bed that it joins as it runs, before that is known of that bed itself.
    """
    if stream.joins is None:
        into = feature.body(stream.into)
        return into.waterline.m if into.cover_m is None else into.cover_m
    last = stream.falls[-1]
    if not isinstance(water, NotRun):
        for crest in water.crests:
            if crest.fall == last.id:
                return last.crest.m - crest.fall_height_m.value
    return feature.foot_m(stream, last)


def _running_below(feature: Feature, stream: Stream, water: Water | NotRun, *, unit: Unit) -> int:
    """What the last fall is seen higher while the water runs; nothing where it falls onto a cover, or into a bed."""
    if isinstance(water, NotRun) or stream.joins is not None or feature.body(stream.into).cover_m is not None:
        return 0
    balance = next(b for b in water.balances if b.body == stream.into)
    return max(counted(balance.held_m - balance.running_level_m.value, unit), 0)
