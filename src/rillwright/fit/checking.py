"""Refuses a problem that cannot be asked, with every reason at once; what merely does not fit is an answer."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.fit.frame import make_frame, pitch_spans
from rillwright.fit.problem import MOST_DROPS, FitProblem, Span

MOST_STEPS = 4000  # marking steps in the height: some 166 ft, or 40 m


def checked(problem: FitProblem) -> FitProblem:
    """The problem itself, if it can be asked.

    Raises
    ------
    InputError
        Naming each field that cannot be used, what was found and what is allowed.
    """
    problem = FitProblem.from_json(problem.to_json())  # whole numbers and known words only
    found = [*_plain(problem), *_spans(problem), *_beds(problem), *_built(problem), *_wishes(problem)]
    if not found:
        found = [*_pitch_steps(problem), *_no_drop(problem)]
    if found:
        raise InputError(found)
    return problem


def _wrong(field: str, found: object, allowed: str, message: str = "cannot be used") -> Problem:
    return Problem(message=message, field=field, found=str(found), allowed=allowed)


def _plain(problem: FitProblem) -> Iterator[Problem]:
    for name in ("step", "pitch_step"):
        if getattr(problem, name) < 1:
            yield _wrong(name, getattr(problem, name), "1 or more")
    for name in ("least_last", "spill_stone", "running_below_held", "lively_fall", "most_left"):
        value = getattr(problem, name)
        if value is not None and value < 0:
            yield _wrong(name, value, "0 or more")
    most = MOST_STEPS * max(problem.step, 1)
    if abs(problem.height) > most:
        yield _wrong("height", problem.height, f"{-most} to {most}, that is {MOST_STEPS} marking steps")


def _spans(problem: FitProblem) -> Iterator[Problem]:
    for name in ("pitch", "grade", "ripple", "fall", "drops"):
        span = getattr(problem, name)
        if span is not None and span.low > span.high:
            yield _wrong(name, list(span), "[low, high] with low not above high")
    most = MOST_STEPS * max(problem.step, 1)
    for name in ("ripple", "fall"):
        span = getattr(problem, name)
        if span.low < 1 or span.high > most:
            yield _wrong(name, list(span), f"between 1 and {most}")
    if problem.drops.low < 1 or problem.drops.high > MOST_DROPS:
        yield _wrong("drops", list(problem.drops), f"between 1 and {MOST_DROPS}")


def _beds(problem: FitProblem) -> Iterator[Problem]:
    for index, bed in enumerate(problem.beds):
        if bed.length is not None and bed.length < 1:
            yield _wrong(f"beds[{index}].length", bed.length, "1 or more")
        if bed.pitch is not None and bed.pitch.low > bed.pitch.high:
            yield _wrong(f"beds[{index}].pitch", list(bed.pitch), "[low, high] with low not above high")


def _built(problem: FitProblem) -> Iterator[Problem]:
    for index, built in enumerate(problem.built):
        if built.drop is not None and built.drop < 1:
            yield _wrong(f"built[{index}].drop", built.drop, "1 or more")
        if built.drop is None and index < len(problem.built) - 1:
            yield _wrong(f"built[{index}].drop", "nothing", "its drop, since a bed below it is built")
    made = sum(built.drop is not None for built in problem.built)
    if made >= problem.drops.high or len(problem.built) > problem.drops.high:
        allowed = f"fewer drops than {problem.drops.high}, so that the last is still to be made"
        yield _wrong("built", f"{made} drops, {len(problem.built)} beds", allowed)


def _wishes(problem: FitProblem) -> Iterator[Problem]:
    for index, wish in enumerate(problem.wishes):
        field = f"wishes[{index}]"
        if isinstance(wish.at, int) and not 1 <= wish.at <= problem.drops.high:
            yield _wrong(f"{field}.at", wish.at, f"1 to {problem.drops.high} | last")
        if wish.drop is not None and not 1 <= wish.drop.low <= wish.drop.high:
            yield _wrong(f"{field}.drop", list(wish.drop), "[low, high] of 1 or more, low not above high")
        if wish.drop is None and wish.kind is None:
            yield _wrong(field, "nothing wished for", "a drop, a kind, or both")


def _pitch_steps(problem: FitProblem) -> Iterator[Problem]:
    for index, (low, high) in enumerate(pitch_spans(problem, problem.drops.high)):
        if low > high:
            own = index < len(problem.beds) and (problem.beds[index].pitch or problem.grade)
            field = f"beds[{index}].pitch" if own else "pitch"
            yield _wrong(field, "none", f"a span that holds a multiple of pitch_step {problem.pitch_step}")
            if not own:
                return


def _no_drop(problem: FitProblem) -> Iterator[Problem]:
    """Where no drop of any size may stand, at any number of drops, the question contradicts itself."""
    if make_frame(problem).numbers:
        return
    seen = f"ripples {list(problem.ripple)}, falls {list(problem.fall)}, in steps of {problem.step}"
    if not make_frame(replace(problem, least_last=0, wishes=(), drops=Span(1, problem.drops.high))).numbers:
        yield _wrong("step", problem.step, f"one with a multiple among {seen}")
        return
    single = [
        _wrong(f"wishes[{index}]", list(wish.drop or ()), f"a multiple of the step among {seen}")
        for index, wish in enumerate(problem.wishes)
        if not make_frame(replace(problem, least_last=0, wishes=(wish,))).numbers
    ]
    if problem.least_last and not make_frame(replace(problem, wishes=())).numbers:
        single.append(_wrong("least_last", problem.least_last, f"at most what the last drop reaches: {seen}"))
    yield from single or [_wrong("wishes", len(problem.wishes), "wishes (with least_last) that can be met together")]
