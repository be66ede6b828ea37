"""Where nothing fits: what is short and by how much, and which wish, given up, would let it fit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from msgspec.structs import replace

from rillwright.fit.counting import count_arrangements, least_left_over
from rillwright.fit.frame import Frame, make_frame
from rillwright.fit.problem import MOST_DROPS, FitProblem, Kind, Span
from rillwright.fit.result import GiveUp, WouldFit

Eased = tuple[GiveUp, FitProblem]


def least_height(problem: FitProblem, frame: Frame) -> int:
    """The least height that any arrangement needs, in the problem's unit [-]."""
    return min(_needs(problem, frame, number) for number in frame.numbers)


def over_by(problem: FitProblem) -> int:
    """By how much even the least that can be left over is more than is allowed, in the problem's unit [-]."""
    least = least_left_over(make_frame(replace(problem, most_left=None)))
    return 0 if least is None or problem.most_left is None else max(0, least - problem.most_left)


def ways_out(problem: FitProblem) -> tuple[WouldFit, ...]:
    """Single wishes that let it fit once given up; pairs of them where no single one is enough."""
    singles = ((eased,) for ease in _EASES for eased in ease(problem))
    return _those_that_fit(singles) or _those_that_fit(_pairs(problem))


def nearest(problem: FitProblem) -> FitProblem | None:
    """The question with the first single wish given up, or pair of them, that lets it fit; None where none does."""
    singles = ((eased,) for ease in _EASES for eased in ease(problem))
    for ways in (singles, _pairs(problem)):
        found = next((way[-1][1] for way in ways if _fits(way[-1][1])), None)
        if found is not None:
            return found
    return None


def _pairs(problem: FitProblem) -> Iterator[tuple[Eased, ...]]:
    for index, first in enumerate(_EASES):
        for one in first(problem):
            for then in _EASES[index:]:
                for two in then(one[1]):
                    if _comes_later(one[0], two[0]):
                        yield one, two


def _those_that_fit(ways: Iterable[tuple[Eased, ...]]) -> tuple[WouldFit, ...]:
    """Of ways that differ in amounts alone, the first: amounts come smallest first."""
    found: dict[tuple[tuple[str, int | None], ...], WouldFit] = {}
    for way in ways:
        key = tuple((part.what, part.index) for part, _ in way)
        if key not in found and _fits(way[-1][1]):
            found[key] = _way_out(way)
    return tuple(found.values())


def _way_out(eased: tuple[Eased, ...]) -> WouldFit:
    problem = eased[-1][1]
    need = least_height(problem, make_frame(problem))
    return WouldFit(give_up=tuple(part for part, _ in eased), least_height=need, to_spare=problem.height - need)


def _comes_later(one: GiveUp, two: GiveUp) -> bool:
    """Whether `two` belongs after `one`: each pair is looked at once; of two wishes the later stands first."""
    if one.what == two.what == "wish":
        return (one.index or 0) > (two.index or 0)
    return one.what != two.what


def _needs(problem: FitProblem, frame: Frame, number: int) -> int:
    return problem.height - frame.available[number] + frame.least_steps(number) * problem.step


def _fits(problem: FitProblem) -> bool:
    return count_arrangements(make_frame(problem)) > 0


def _fewer_drops(problem: FitProblem) -> Iterator[Eased]:
    """One drop fewer, two, and so on."""
    frame = make_frame(problem)
    for low in range(min(problem.drops.low, frame.numbers[0]) - 1, frame.first, -1):
        eased = replace(problem, drops=Span(low, problem.drops.high))
        amount = problem.drops.low - low
        yield GiveUp(what="fewer drops", amount=amount, kind=_kind_lost(problem, eased)), eased


def _more_drops(problem: FitProblem) -> Iterator[Eased]:
    """One drop more, two, and so on; only where too much would be left over."""
    if problem.most_left is None:
        return
    for high in range(problem.drops.high + 1, min(2 * problem.drops.high, MOST_DROPS) + 1):
        yield (
            GiveUp(what="more drops", amount=high - problem.drops.high),
            replace(problem, drops=Span(problem.drops.low, high)),
        )


def _one_wish(problem: FitProblem) -> Iterator[Eased]:
    first = make_frame(problem).first
    for index, wish in enumerate(problem.wishes):
        if wish.at == "last" or wish.at > first:
            rest = problem.wishes[:index] + problem.wishes[index + 1 :]
            yield GiveUp(what="wish", index=index), replace(problem, wishes=rest)


def _last_lower(problem: FitProblem) -> Iterator[Eased]:
    """The last fall lowered by as little as lets it fit; failing that, to whatever its drop may be."""
    if problem.least_last == 0:
        return
    lowest = replace(problem, least_last=0)
    step, adds = problem.step, problem.last_adds
    height = -(-(problem.least_last - adds) // step) * step + adds
    for lower in range(height - step, 0, -step) if _fits(lowest) else ():
        eased = replace(problem, least_last=lower)
        if _fits(eased):
            yield GiveUp(what="least last", amount=problem.least_last - lower), eased
            return
    yield GiveUp(what="least last", amount=problem.least_last), lowest


def _level_beds(problem: FitProblem) -> Iterator[Eased]:
    """No least pitch any more, in beds that are not built."""

    def level(span: Span) -> Span:
        return Span(min(span.low, 0), max(span.high, 0))

    beds = tuple(replace(bed, pitch=level(bed.pitch)) if bed.pitch else bed for bed in problem.beds)
    grade = level(problem.grade) if problem.grade else None
    eased = replace(problem, pitch=level(problem.pitch), beds=beds, grade=grade)
    if eased != problem:
        yield GiveUp(what="least pitch"), eased


def _kind_lost(problem: FitProblem, eased: FitProblem) -> Kind | None:
    """The kind of the drops that the eased problem's least arrangement has fewer of, if it is one kind."""
    before, after = _least_kinds(problem), _least_kinds(eased)
    lost: list[Kind] = [kind for kind in ("ripple", "fall") if before.count(kind) > after.count(kind)]
    return lost[0] if len(lost) == 1 else None


def _least_kinds(problem: FitProblem) -> list[Kind]:
    frame = make_frame(problem)
    number = min(frame.numbers, key=lambda n: (_needs(problem, frame, n), n))
    windows = [frame.inner[at] for at in range(frame.first + 1, number)] + [frame.last[number]]
    return [min(window, key=lambda w: w.low).kind for window in windows]


_EASES: tuple[Callable[[FitProblem], Iterator[Eased]], ...] = (
    _fewer_drops,
    _more_drops,
    _one_wish,
    _last_lower,
    _level_beds,
)
