"""The height there is, shared out among falls: the best staircase for the look, or the nearest to it that fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from rillwright.fit import (
    PER_M,
    Arrangement,
    Bed,
    Character,
    FitProblem,
    Span,
    Unit,
    counted,
    fit,
    problem_by_limits,
    short_words,
    unit_of,
)
from rillwright.sources import default, limit
from rillwright.units import show, style_for
from rillwright.visit.answers import MOST_FALLS, Answers

_ONE_IS_WRITTEN = "One fall is written, so that it can be judged."


class Stair(Struct, frozen=True, kw_only=True):
    """Kinds and drops [m] from the head down, the pitch [m] of the bed above each, and what is to be said of them.

    The last drop is what the others leave, and `last_m` [m] what is seen of it over the running water. Without height
    there is one fall, and its drop is what there is.
    """

    kinds: tuple[str, ...]
    drops_m: tuple[float, ...]
    pitches_m: tuple[float, ...]
    last_m: float
    notes: tuple[str, ...] = ()


def find_stair(answers: Answers, *, running_below_m: float = 0.0) -> Stair:
    """The staircase for these answers; where the wish does not fit, the nearest that does, and why.

    Parameters
    ----------
    answers
        The answers, every one of which can be used.
    running_below_m
        How far the pond stands below its held level while the pump runs [m]; the last fall is seen so much higher.
    """
    unit = unit_of(answers.system)
    height = counted(height_m(answers), unit)
    problem = replace(
        problem_by_limits(unit, height=height, character=cast(Character, answers.character()[0])),
        spill_stone=counted(default("stream.spill_stone").number, unit),
        running_below_held=max(counted(running_below_m, unit), 0),
    )
    if height <= 0:
        return _bare(problem, answers, "There is no height: no fall fits.", running_below_m)
    for tried, notes in _attempts(problem, answers):
        found = fit(tried, best=1)
        if found.arrangements:
            return _stair(found.arrangements[0], problem, answers, notes, running_below_m=running_below_m)
    return _bare(problem, answers, "", running_below_m)


def height_m(answers: Answers) -> float:
    """From the held water up to the ground at the stream head [m]; negative where it lies below."""
    return answers.reading_m("paving_reading") + answers.length_m("waterline_below") - answers.reading_m("head_reading")


def _attempts(problem: FitProblem, answers: Answers) -> Iterator[tuple[FitProblem, tuple[str, ...]]]:
    """What to try, the wish itself first, each with what is to be said if it must do.

    The last fall is lower than its limit only where no number of falls lets it be as high.
    """
    _, wished = answers.character()
    length = answers.length_m("stream_length")
    roomy = _most(length, default("stream.reach_length").low or default("stream.reach_length").number)
    tight = _most(length, default("stream.spill_depth").number)
    spans = [Span(wished, wished)] if wished else [Span(1, most) for most in dict.fromkeys((roomy, tight))]
    most = MOST_FALLS * (problem.fall.high + problem.pitch.high)
    last = limit("falls.last")
    for least_m in (last.good, last.bad, 0.0) if problem.height <= most else ():
        asked = replace(problem, least_last=min(_counted_up(least_m, problem.unit), problem.fall.high))
        low = (_low_last(answers),) if not least_m else ()
        for span in spans:
            yield replace(asked, drops=span), low
        if wished and least_m != last.good:
            for number in sorted(range(1, MOST_FALLS + 1), key=lambda n: (n > tight, abs(n - wished))):
                told = _other_number(wished, number, asked, answers)
                yield replace(asked, drops=Span(number, number)), (told, *low)
    told = "Falls of a usual height do not use up what there is: the last one takes all the rest."
    over = replace(problem, drops=Span(1, tight), height=min(problem.height, most), most_left=None, least_last=0)
    yield over, (told,)


def _counted_up(length_m: float, unit: Unit) -> int:
    """A least length in whole units, none of which is below it [-]."""
    return -int(-length_m * PER_M[unit] // 1)


def _other_number(wished: int, number: int, problem: FitProblem, answers: Answers) -> str:
    """The numbers in between were tried before, so that this one is the most, or the least, that fits."""
    many = "1 fall does" if wished == 1 else f"{wished} falls do"
    height, low, high, last = (
        _shown(count, problem.unit, answers)
        for count in (problem.height, problem.ripple.low, problem.fall.high, problem.least_last)
    )
    ends = f" and the last at least {last}" if problem.least_last else ""
    most = f"at most {number} fit{'s' if number == 1 else ''}, none of them lower than {low}{ends}"
    least = f"it takes at least {number}, none of them higher than {high}"
    return f"{many} not fit the height of {height}; {most if number < wished else least}."


def _low_last(answers: Answers) -> str:
    least = show(limit("falls.last").bad, "length", style_for(answers.system))
    return f"A last fall of {least} does not fit: it is lower."


def _most(length_m: float, bed_m: float) -> int:
    return max(1, min(MOST_FALLS, int(length_m / bed_m + 1e-9)))


def _stair(
    found: Arrangement, problem: FitProblem, answers: Answers, notes: Sequence[str], *, running_below_m: float
) -> Stair:
    unit = problem.unit
    bed_m = answers.length_m("stream_length") / len(found.drops)
    short = _short(problem, found.pitches, answers)
    told = [*notes, *short]
    if bed_m < default("stream.spill_depth").number - 1e-9:
        told.append("Its beds are shorter than a spill stone is deep: a longer stream, or fewer falls, would suit it.")
    inner_m = tuple(drop.drop / PER_M[unit] for drop in found.drops[:-1])
    pitches_m = tuple(pitch / PER_M[unit] for pitch in found.pitches)
    last_m = height_m(answers) - sum(inner_m) - sum(pitches_m)  # with what was left over of the marking step
    kinds = [drop.kind for drop in found.drops]
    return Stair(
        kinds=(*kinds[:-1], "fall" if short else kinds[-1]),  # a fall was wished for: it is judged as one
        drops_m=(*inner_m, last_m),
        pitches_m=pitches_m,
        last_m=_seen_m(last_m, running_below_m),
        notes=tuple(told),
    )


def _bare(problem: FitProblem, answers: Answers, note: str, running_below_m: float) -> Stair:
    drop_m = height_m(answers)
    last_m = _seen_m(drop_m, running_below_m)
    notes = (*([note] if note else []), *_short(problem, (0,), answers), _ONE_IS_WRITTEN)
    return Stair(kinds=("fall",), drops_m=(drop_m,), pitches_m=(0.0,), last_m=last_m, notes=notes)


def _short(problem: FitProblem, pitches: Sequence[int], answers: Answers) -> tuple[str, ...]:
    """By how much what is written does not fit, as the kept job says it; nothing where it fits."""
    beds = tuple(Bed(pitch=Span(pitch, pitch)) for pitch in pitches)
    kept = replace(problem, drops=Span(len(beds), len(beds)), beds=beds)
    return short_words(kept, fit(kept, best=0), style_for(answers.system))[:1]


def _seen_m(drop_m: float, running_below_m: float) -> float:
    """What is seen of a last fall [m] that drops so far from its bed to the held water [m]."""
    return drop_m + default("stream.spill_stone").number + running_below_m


def _shown(count: int, unit: Unit, answers: Answers) -> str:
    return show(count / PER_M[unit], "length", style_for(answers.system))
