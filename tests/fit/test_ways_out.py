"""What to give up: every way out that is named does fit, as far as it says, and nothing is named where all is well."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from msgspec.structs import replace
from tests.fit.brute import count_all, least_height
from tests.fit.problems import can_be_asked, small_problems

from rillwright.fit import FitProblem, GiveUp, Span, Wish, fit, standard_problem

IN = 16


def _eased(problem: FitProblem, part: GiveUp) -> FitProblem:
    amount = part.amount or 0
    if part.what == "fewer drops":
        return replace(problem, drops=Span(problem.drops.low - amount, problem.drops.high))
    if part.what == "more drops":
        return replace(problem, drops=Span(problem.drops.low, problem.drops.high + amount))
    if part.what == "wish":
        return replace(problem, wishes=tuple(w for i, w in enumerate(problem.wishes) if i != part.index))
    if part.what == "least last":
        return replace(problem, least_last=problem.least_last - amount)
    beds = tuple(replace(b, pitch=b.pitch and Span(min(b.pitch.low, 0), max(b.pitch.high, 0))) for b in problem.beds)
    pitch = Span(min(problem.pitch.low, 0), max(problem.pitch.high, 0))
    grade = problem.grade and Span(min(problem.grade.low, 0), max(problem.grade.high, 0))
    return replace(problem, pitch=pitch, beds=beds, grade=grade)


@settings(deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
@given(small_problems().filter(can_be_asked))
def test_every_way_out_fits(problem: FitProblem) -> None:
    answer = fit(problem, best=0)
    assert not (answer.count and answer.would_fit)
    for way in answer.would_fit:
        eased = problem
        for part in way.give_up:
            eased = _eased(eased, part)
        assert way.least_height == least_height(eased)
        assert way.to_spare == problem.height - way.least_height >= 0
        if eased.drops.high <= 5:
            assert count_all(eased)


def test_one_ripple_fewer_and_an_inch_and_a_half_to_spare() -> None:
    # Three ripples of 4 in and a last fall of 8 in need 20 in; two ripples need 16 in.
    problem = replace(
        standard_problem("1/16 in", height=17 * IN + 8), drops=Span(4, 4), least_last=8 * IN, character="quiet"
    )
    answer = fit(problem)
    assert answer.count == 0
    assert answer.short_by == 2 * IN + 8
    fewer = answer.would_fit[0]
    assert fewer.give_up == (GiveUp(what="fewer drops", amount=1, kind="ripple"),)
    assert fewer.to_spare == IN + 8


def test_the_last_fall_is_lowered_no_more_than_needed() -> None:
    # 4 in + 4 in + 10 in = 18 in; with 16 in the last can still be 8 in.
    problem = replace(standard_problem("1/16 in", height=16 * IN), drops=Span(3, 3), least_last=10 * IN)
    ways = fit(problem).would_fit
    assert GiveUp(what="least last", amount=2 * IN) in [way.give_up[0] for way in ways]


def test_pairs_are_named_only_where_no_single_wish_is_enough() -> None:
    # 12 + 12 + 4 in are wished for: with 20 in one of the two wishes has to go, with 16 in something else besides.
    wishes = (Wish(at=1, drop=Span(12 * IN, 12 * IN)), Wish(at=2, drop=Span(12 * IN, 12 * IN)))
    problem = replace(standard_problem("1/16 in", height=20 * IN), wishes=wishes, drops=Span(3, 3))
    assert [way.give_up for way in fit(problem).would_fit] == [(GiveUp(what="wish", index=i),) for i in (0, 1)]
    fewer = GiveUp(what="fewer drops", amount=1, kind="ripple")
    assert [way.give_up for way in fit(replace(problem, height=16 * IN)).would_fit] == [
        (fewer, GiveUp(what="wish", index=0)),
        (fewer, GiveUp(what="wish", index=1)),
        (GiveUp(what="wish", index=1), GiveUp(what="wish", index=0)),
    ]


def test_too_much_left_over_asks_for_more_drops() -> None:
    # One drop of 24 in and an inch of bed leave 15 in of 40; a second drop takes them up.
    problem = replace(standard_problem("1/16 in", height=40 * IN), drops=Span(1, 1), most_left=7)
    answer = fit(problem)
    assert (answer.count, answer.short_by, answer.over_by) == (0, 0, 15 * IN - 7)
    assert answer.would_fit[0].give_up == (GiveUp(what="more drops", amount=1),)
