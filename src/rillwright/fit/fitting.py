"""From the problem to the answer."""

from __future__ import annotations

from rillwright.errors import InputError, Problem
from rillwright.fit.checking import checked
from rillwright.fit.counting import count_arrangements
from rillwright.fit.frame import Frame, make_frame, pitch_spans
from rillwright.fit.preference import COST_NAMES, drop_terms, left_terms
from rillwright.fit.problem import FitProblem, Kind, Span
from rillwright.fit.ranking import best_sequences
from rillwright.fit.result import Arrangement, Drop, FitResult
from rillwright.fit.shortfall import least_height, nearest, over_by, ways_out

MOST_BEST = 1000


def fit(problem: FitProblem, *, best: int = 20) -> FitResult:
    """Which arrangements of falls and ripples fit the height: how many, and the `best` [-] of them in order.

    Raises
    ------
    InputError
        Where the problem cannot be asked; names each field.

    References
    ----------
    Common practice, no source, for the defaults; the method note says how it is counted and ranked.
    """
    if not 0 <= best <= MOST_BEST:
        raise InputError(Problem(message="cannot be used", field="best", found=str(best), allowed=f"0 to {MOST_BEST}"))
    problem = checked(problem)
    frame = make_frame(problem)
    count = count_arrangements(frame)
    need = least_height(problem, frame)
    return FitResult(
        unit=problem.unit,
        count=count,
        arrangements=_arrangements(problem, frame, best) if count else (),
        cost_names=COST_NAMES[problem.character],
        least_height=need,
        short_by=max(0, need - problem.height),
        over_by=0 if count or need > problem.height else over_by(problem),
        would_fit=() if count else ways_out(problem),
    )


def fit_nearest(problem: FitProblem) -> Arrangement | None:
    """The best of what fits once as little as it takes is given up; None where nothing does. Raises InputError."""
    eased = nearest(checked(problem))
    return None if eased is None else _arrangements(eased, make_frame(eased), 1)[0]


def _arrangements(problem: FitProblem, frame: Frame, best: int) -> tuple[Arrangement, ...]:
    pitches: dict[tuple[int, int], tuple[int, ...]] = {}  # by number of drops and height for pitch: few differ
    built: list[tuple[Kind, int]] = [
        ("ripple" if part.drop <= problem.ripple.high else "fall", part.drop)
        for part in problem.built
        if part.drop is not None
    ]
    found = []
    for new in best_sequences(problem, frame, best):
        drops = built + [(kind, steps * problem.step) for kind, steps in new]
        key = (len(drops), problem.height - sum(drop for _, drop in drops))
        if key not in pitches:
            pitches[key] = _shared_pitches(pitch_spans(problem, key[0]), key[1], problem.pitch_step)
        found.append(_arrangement(problem, drops, pitches[key]))
    return tuple(found)


def _arrangement(problem: FitProblem, drops: list[tuple[Kind, int]], pitches: tuple[int, ...]) -> Arrangement:
    left = problem.height - sum(drop for _, drop in drops) - sum(pitches)
    *inner, (last_kind, last_drop) = drops
    # The pool below a fall stands at the next crest, unless its bed falls by more than the spill stone is thick.
    seen = [drop + min(problem.spill_stone, below) for (_, drop), below in zip(inner, pitches[1:], strict=True)]
    terms = [drop_terms(problem, kind, drop, is_last=False) for kind, drop in inner]
    terms += [drop_terms(problem, last_kind, last_drop, is_last=True), left_terms(problem, left)]
    last_height = last_drop + problem.last_adds
    return Arrangement(
        drops=tuple(
            Drop(kind=kind, drop=drop, height_seen=height)
            for (kind, drop), height in zip(drops, [*seen, last_height], strict=True)
        ),
        pitches=pitches,
        left_over=left,
        last_height=last_height,
        cost=tuple(map(sum, zip(*terms, strict=True))),
    )


def _shared_pitches(spans: list[Span], height: int, pitch_step: int) -> tuple[int, ...]:
    """Every bed at its least pitch, then step by step to the bed that pitches least, the one nearest the head first."""
    pitches = [span.low for span in spans]
    room = [index for index, span in enumerate(spans) if span.low + pitch_step <= span.high]
    spare = height - sum(pitches)
    while room and spare >= pitch_step:
        index = min(room, key=pitches.__getitem__)
        pitches[index] += pitch_step
        spare -= pitch_step
        if pitches[index] + pitch_step > spans[index].high:
            room.remove(index)
    return tuple(pitches)
