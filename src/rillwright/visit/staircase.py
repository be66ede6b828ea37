"""The height there is, shared out among falls: the best staircase for the look, or the nearest to it that fits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from rillwright.fit import (
    PER_M,
    Arrangement,
    Character,
    FitProblem,
    Span,
    Unit,
    counted,
    fit,
    standard_problem,
    unit_of,
)
from rillwright.sources import default, limit
from rillwright.units import show, style_for
from rillwright.visit.answers import MOST_FALLS, Answers


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
    if height <= 0:
        told = "There is no height: no fall fits. One is written, so that it can be judged."
        return _bare(answers, told, running_below_m)
    problem = replace(
        standard_problem(unit, height=height),
        character=cast(Character, answers.character()[0]),
        ripple=_ripple(unit, answers),
        spill_stone=counted(default("stream.spill_stone").number, unit),
        running_below_held=max(counted(running_below_m, unit), 0),
    )
    for tried, note in _attempts(problem, answers):
        found = fit(tried, best=1)
        if found.arrangements:
            stair = _stair(found.arrangements[0], answers, note, unit=unit, running_below_m=running_below_m)
            low = stair.last_m < limit("falls.last").bad - 1e-9
            return stair if low or note != _low_last(answers) else replace(stair, notes=stair.notes[1:])
    short = fit(replace(problem, drops=Span(1, 1)), best=0).short_by
    told = f"Nothing fits: {_shown(short, unit, answers)} of height are short. One fall is written."
    return _bare(answers, told, running_below_m)


def _ripple(unit: Unit, answers: Answers) -> Span:
    """What a ripple may drop: at least what is seen, and no more than what still reads as one."""
    usual = standard_problem(unit, height=0).ripple
    inch_m = 0.025 if answers.system == "metric" else 0.0254  # as crews count, and as the limits are judged
    high = int(limit("falls.ripple_high").good / 0.0254 * inch_m * PER_M[unit] + 1e-6)
    return Span(usual.low, min(usual.high, high))


def height_m(answers: Answers) -> float:
    """From the held water up to the ground at the stream head [m]; negative where it lies below."""
    return answers.reading_m("paving_reading") + answers.length_m("waterline_below") - answers.reading_m("head_reading")


def _attempts(problem: FitProblem, answers: Answers) -> Iterator[tuple[FitProblem, str]]:
    """What to try, the wish itself first, each with what is to be said if it must do."""
    look, wished = answers.character()
    length = answers.length_m("stream_length")
    roomy = _most(length, default("stream.reach_length").low or default("stream.reach_length").number)
    tight = _most(length, default("stream.spill_depth").number)
    exact = replace(problem, most_left=problem.step - 1)
    spans = [Span(wished, wished)] if wished else [Span(1, most) for most in dict.fromkeys((roomy, tight))]
    most = MOST_FALLS * (problem.fall.high + problem.pitch.high)
    for span in spans if problem.height <= most else ():
        for least_m, note in _last_falls(look, answers):
            yield replace(exact, drops=span, least_last=counted(least_m, problem.unit)), note
    if wished and problem.height <= most:
        for number in sorted(range(1, MOST_FALLS + 1), key=lambda n: (n > tight, abs(n - wished))):
            told = _other_number(wished, number, problem, answers)
            yield replace(exact, drops=Span(number, number)), told
    told = "Falls of a usual height do not use up what there is: the last one takes all the rest."
    yield replace(problem, drops=Span(1, tight), height=min(problem.height, most)), told


def _other_number(wished: int, number: int, problem: FitProblem, answers: Answers) -> str:
    """The numbers in between were tried before, so that this one is the most, or the least, that fits."""
    many = "1 fall does" if wished == 1 else f"{wished} falls do"
    height, low, high = (
        _shown(count, problem.unit, answers) for count in (problem.height, problem.ripple.low, problem.fall.high)
    )
    most = f"at most {number} fit{'s' if number == 1 else ''}, none of them lower than {low}"
    least = f"it takes at least {number}, none of them higher than {high}"
    return f"{many} not fit the height of {height}; {most if number < wished else least}."


def _last_falls(look: str, answers: Answers) -> list[tuple[float, str]]:
    """Least heights of the last fall [m] to try; a quiet stream may end in a ripple."""
    last = limit("falls.last")
    return [(0.0, "")] if look == "quiet" else [(last.good, ""), (last.bad, ""), (0.0, _low_last(answers))]


def _low_last(answers: Answers) -> str:
    least = show(limit("falls.last").bad, "length", style_for(answers.system))
    return f"A last fall of {least} does not fit: it is lower."


def _most(length_m: float, bed_m: float) -> int:
    return max(1, min(MOST_FALLS, int(length_m / bed_m + 1e-9)))


def _stair(found: Arrangement, answers: Answers, note: str, *, unit: Unit, running_below_m: float) -> Stair:
    bed_m = answers.length_m("stream_length") / len(found.drops)
    notes = [note] if note else []
    if bed_m < default("stream.spill_depth").number - 1e-9:
        notes.append("Its beds are shorter than a spill stone is deep: a longer stream, or fewer falls, would suit it.")
    inner_m = tuple(drop.drop / PER_M[unit] for drop in found.drops[:-1])
    pitches_m = tuple(pitch / PER_M[unit] for pitch in found.pitches)
    last_m = height_m(answers) - sum(inner_m) - sum(pitches_m)  # with what was left over of the marking step
    return Stair(
        kinds=tuple(drop.kind for drop in found.drops),
        drops_m=(*inner_m, last_m),
        pitches_m=pitches_m,
        last_m=_seen_m(last_m, running_below_m),
        notes=tuple(notes),
    )


def _bare(answers: Answers, note: str, running_below_m: float) -> Stair:
    drop_m = height_m(answers)
    last_m = _seen_m(drop_m, running_below_m)
    return Stair(kinds=("fall",), drops_m=(drop_m,), pitches_m=(0.0,), last_m=last_m, notes=(note,))


def _seen_m(drop_m: float, running_below_m: float) -> float:
    """What is seen of a last fall [m] that drops so far from its bed to the held water [m]."""
    return drop_m + default("stream.spill_stone").number + running_below_m


def _shown(count: int, unit: Unit, answers: Answers) -> str:
    return show(count / PER_M[unit], "length", style_for(answers.system))
