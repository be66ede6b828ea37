"""The height there is, the falls as they are seen, and what still fits."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from rillwright.assessment import Assessment, HeightBudget, Judged, NotRun, Severity
from rillwright.compare.arrangements import fits
from rillwright.compare.course import Course, course_of
from rillwright.compare.result import Change, Direction
from rillwright.compare.ripple import Room, room_for_ripple
from rillwright.compare.telling import change, named, severity_of, tells, way
from rillwright.fit import PER_M, FitProblem, FitResult
from rillwright.sources import limit
from rillwright.units import show, style_for

MANY = 1_000_000


def height_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """Stream by stream: height and what is left of it, falls as seen, arrangements that fit, one ripple more."""
    then, now = before.assessment, after.assessment
    if isinstance(then.shape, NotRun) or isinstance(now.shape, NotRun):
        return
    earlier = {budget.stream: budget for budget in then.shape.budgets}
    for budget in now.shape.budgets:
        if budget.stream in earlier:
            name = named(now.feature, f"streams/{budget.stream}")
            yield from height_change(name, earlier[budget.stream], budget)
            yield from _falls(after, earlier[budget.stream], budget)
            yield from _fitting(then, now, budget.stream)


def height_change(name: str, was: HeightBudget, budget: HeightBudget) -> Iterator[Change]:
    """The height there is in a stream of that name in words, and what is left of it."""
    moved = tells(was.height_m, budget.height_m, "m")
    if not moved and not tells(was.left_over_m, budget.left_over_m, "m"):
        return
    left = budget.left_over_m
    rest = "; falls and beds leave {left} of it over" if left > 0.0005 else ""
    rest = "; falls and beds are {short} too high for it" if left < -0.0005 else rest
    head = "The height there is in {name} is {after}, it was {before}"
    head = head if moved else "The height there is in {name} is still {after}"
    yield change(
        "height",
        f"streams/{budget.stream}",
        f"{head}{rest or '; falls and beds take up all of it'}.",
        direction=way(was.height_m, budget.height_m, more_is=Direction.BETTER) if moved else Direction.CHANGED,
        before=was.height_m,
        after=budget.height_m,
        unit="m",
        parameters=(
            ("name", name, ""),
            ("left", max(left, 0.0), "m"),
            ("short", max(-left, 0.0), "m"),
        ),
    )


def _falls(after: Judged, was: HeightBudget, budget: HeightBudget) -> Iterator[Change]:
    earlier = {step.path: step.fall_height_m for step in was.steps}
    for step in budget.steps:
        height = earlier.get(step.path)
        if height is None or step.fall_height_m is None or not tells(height, step.fall_height_m, "m"):
            continue
        codes = ("fall.last", "ripple.low", "ripple.high", "falls.uphill")
        yield change(
            "fall.height",
            step.path,
            "{name} is seen {after} high, it was {before}.",
            direction=Direction.CHANGED,
            before=height,
            after=step.fall_height_m,
            unit="m",
            severity=severity_of(after, codes, step.path) or Severity.OK,
            parameters=(("name", named(after.assessment.feature, step.path), ""),),
        )


def _fitting(then: Assessment, now: Assessment, id: str) -> Iterator[Change]:
    was, stream = then.feature.stream(id), now.feature.stream(id)
    if was.falls and stream.falls:
        yield from fitting_changes(course_of(then.feature, was, then.water), course_of(now.feature, stream, now.water))


def fitting_changes(was: Course, course: Course) -> Iterator[Change]:
    """What still fits a stream's height, and whether one ripple more does. The phone without signal says the same."""
    yield from _count(was, course)
    yield from _ripple(was, course)


def _count(was: Course, course: Course) -> Iterator[Change]:
    """How many arrangements of as many drops fit, and the best of them; nothing where the question is the same."""
    asked = was.problem, course.problem
    if asked[0] == asked[1]:
        return
    found = fits(asked[0], best=1), fits(asked[1])
    if found[0] is None or found[1] is None or found[0].count == found[1].count:
        return
    count = found[1].count
    rest = [_for_drops(problem) / PER_M[problem.unit] for problem in asked]
    same = not tells(rest[0], rest[1], "m") and (asked[0].built, asked[0].drops) == (
        asked[1].built,
        asked[1].drops,
    )
    if same and count > 0 and found[0].count > 0:
        return  # water that runs a hair lower, or beds that are a little longer, are no news
    text = "{many} arrangements of {drops} drops fit {name} now, {once} did before. The best of them: {best}."
    if count == 0:
        text = "No arrangement of {drops} drops fits {name} now, {once} did before: {short} are short."
        text = text if found[1].short_by > 0 else "No arrangement of {drops} drops fits {name} now, {once} did before."
    yield change(
        "fit",
        f"streams/{course.stream}",
        text,
        direction=way(found[0].count, count, more_is=Direction.BETTER),
        severity=Severity.WATCH if count == 0 else Severity.OK,
        before=float(min(found[0].count, 10**15)),
        after=float(min(count, 10**15)),
        unit="each",
        parameters=(
            ("name", course.name, ""),
            ("many", _many(count), ""),
            ("once", _many(found[0].count), ""),
            ("drops", str(asked[1].drops.high), ""),
            ("short", max(found[1].short_by, 0) / PER_M[asked[1].unit], "m"),
            *_best(found[1]),
        ),
        remedy="Take a fall out, or lower one; or run `rillwright fit` for what would have to give way."
        if count == 0
        else "",
    )


def _for_drops(problem: FitProblem) -> int:
    """What the beds whose pitch is given leave of the height, in the problem's unit."""
    return problem.height - sum(bed.pitch.low for bed in problem.beds if bed.pitch is not None)


def _many(count: int) -> str:
    if count == 0:
        return "none"
    return f"{count:,}" if count < MANY else "more than a million"


def _best(result: FitResult) -> tuple[tuple[str, float | str, str], ...]:
    """The best arrangement from the head down, each drop a parameter of its own."""
    if not result.arrangements:
        return (("best", "", ""),)
    style = style_for("us" if result.unit == "1/16 in" else "metric")
    drops = result.arrangements[0].drops
    said = []
    for (kind, drop), these in groupby(drops, key=lambda one: (one.kind, one.drop)):
        many, height = len(list(these)), show(drop / PER_M[result.unit], "length", style)
        said.append(f"{kind} {height}" if many == 1 else f"{many} {kind}s of {height}")
    return (("best", ", ".join(said), ""),)


def _ripple(was: Course, course: Course) -> Iterator[Change]:
    """One ripple more, where the last bed stands higher over the held water than it did."""
    if not was.reaches or not course.reaches:
        return
    high = was.over_water_m, course.over_water_m
    if not tells(high[0], high[1], "m"):
        return
    rooms = room_for_ripple(was), room_for_ripple(course)
    if _rank(rooms[0]) == _rank(rooms[1]):
        return
    more = _rank(rooms[1]) > _rank(rooms[0])
    room = rooms[1] if more else rooms[0]
    assert room is not None
    text = "The last bed of {name} stands {after} over the held water, it stood at {before}: "
    text += (
        "a {ripple} ripple more would fit above the last fall, which keeps {last}."
        if more
        else "the {ripple} ripple more that would have fitted above the last fall does not fit as well any more."
    )
    yield change(
        "fit.ripple",
        f"streams/{course.stream}",
        text,
        direction=Direction.BETTER if more else Direction.WORSE,
        severity=Severity.OK,
        before=high[0],
        after=high[1],
        unit="m",
        parameters=(
            ("name", course.name, ""),
            ("ripple", room.ripple_m, "m"),
            ("last", room.last_m, "m"),
            ("low", limit("falls.ripple_low").good, "m"),
            ("high", limit("falls.ripple_high").good, "m"),
            ("least", limit("falls.last").bad, "m"),
            ("wanted", limit("falls.last").good, "m"),
        ),
        remedy="Set a ripple of {low} to {high} into that bed on the spot, if it is liked: {least} at least must "
        "remain for the last fall, {wanted} is wanted."
        if more
        else "",
    )


def _rank(room: Room | None) -> int:
    return 0 if room is None else 2 if room.well else 1
