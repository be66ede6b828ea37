"""The height there is, shared out among falls: the best staircase for the look, or the nearest to it that fits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import cast

from rillwright.fit import Arrangement, Character, FitProblem, Span, Unit, fit, standard_problem
from rillwright.sources import default, limit
from rillwright.units import show, style_for
from rillwright.visit.answers import MOST_FALLS, Answers

_PER_M: dict[Unit, float] = {"1/16 in": 16 / 0.0254, "1 mm": 1000.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stair:
    """Kinds and drops [m] from the head down, the pitch [m] of the bed above each, and what is to be said of them.

    The last drop is what the others leave. Without height there is one fall, and its drop is what there is.
    """

    kinds: tuple[str, ...]
    drops_m: tuple[float, ...]
    pitches_m: tuple[float, ...]
    notes: tuple[str, ...] = ()


def find_stair(answers: Answers) -> Stair:
    """The staircase for these answers; where the wish does not fit, the nearest that does, and why."""
    unit: Unit = "1/16 in" if answers.system == "us" else "1 mm"
    height = round(height_m(answers) * _PER_M[unit])
    if height <= 0:
        return _bare(answers, "There is no height: no fall fits. One is written, so that it can be judged.")
    problem = replace(
        standard_problem(unit, height=height),
        character=cast(Character, answers.character()[0]),
        spill_stone=round(default("stream.spill_stone").number * _PER_M[unit]),
    )
    for tried, note in _attempts(problem, answers):
        found = fit(tried, best=1)
        if found.arrangements:
            return _stair(found.arrangements[0], answers, unit=unit, note=note)
    short = fit(replace(problem, drops=Span(1, 1)), best=0).short_by
    return _bare(answers, f"Nothing fits: {_shown(short, unit, answers)} of height are short. One fall is written.")


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
            yield replace(exact, drops=span, least_last=round(least_m * _PER_M[problem.unit])), note
    if wished and problem.height <= most:
        for number in sorted(range(1, MOST_FALLS + 1), key=lambda n: (n > tight, abs(n - wished))):
            many = "1 fall does" if wished == 1 else f"{wished} falls do"
            told = f"{many} not fit the height of {_shown(problem.height, problem.unit, answers)}; {number} would."
            yield replace(exact, drops=Span(number, number)), told
    told = "Falls of a usual height do not use up what there is: the last one takes all the rest."
    yield replace(problem, drops=Span(1, tight), height=min(problem.height, most)), told


def _last_falls(look: str, answers: Answers) -> list[tuple[float, str]]:
    """Least heights of the last fall [m] to try; a quiet stream may end in a ripple."""
    last, style = limit("falls.last"), style_for(answers.system)
    low = f"A last fall of {show(last.bad, 'length', style)} does not fit: it is lower."
    return [(0.0, "")] if look == "quiet" else [(last.good, ""), (last.bad, ""), (0.0, low)]


def _most(length_m: float, bed_m: float) -> int:
    return max(1, min(MOST_FALLS, int(length_m / bed_m + 1e-9)))


def _stair(found: Arrangement, answers: Answers, *, unit: Unit, note: str) -> Stair:
    bed_m = answers.length_m("stream_length") / len(found.drops)
    notes = [note] if note else []
    if bed_m < default("stream.spill_depth").number - 1e-9:
        notes.append("Its beds are shorter than a spill stone is deep: a longer stream, or fewer falls, would suit it.")
    return Stair(
        kinds=tuple(drop.kind for drop in found.drops),
        drops_m=tuple(drop.drop / _PER_M[unit] for drop in found.drops),
        pitches_m=tuple(pitch / _PER_M[unit] for pitch in found.pitches),
        notes=tuple(notes),
    )


def _bare(answers: Answers, note: str) -> Stair:
    return Stair(kinds=("fall",), drops_m=(height_m(answers),), pitches_m=(0.0,), notes=(note,))


def _shown(count: int, unit: Unit, answers: Answers) -> str:
    return show(count / _PER_M[unit], "length", style_for(answers.system))
