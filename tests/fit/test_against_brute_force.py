"""Counting and ranking against a walk over every arrangement, up to five drops."""

from __future__ import annotations

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.fit.brute import best_of_all, count_all, least_height
from tests.fit.problems import can_be_asked, small_problems

from rillwright.fit import FitProblem, fit

_askable = small_problems().filter(can_be_asked)
_slow = settings(deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])


@_slow
@given(_askable)
def test_count_and_best_twenty_are_those_of_the_walk(problem: FitProblem) -> None:
    answer = fit(problem).to_json()
    assert answer["count"] == str(count_all(problem))
    assert answer["arrangements"] == best_of_all(problem, 20)
    assert answer["least_height"] == least_height(problem)


@_slow
@given(_askable)
def test_all_of_them_come_in_order_when_all_are_asked_for(problem: FitProblem) -> None:
    count = count_all(problem)
    assume(count <= 1000)
    assert fit(problem, best=1000).to_json()["arrangements"] == best_of_all(problem, count + 1)


@_slow
@given(_askable)
def test_what_is_short_is_exactly_what_is_short(problem: FitProblem) -> None:
    unbounded = replace(problem, most_left=None)
    short = fit(unbounded, best=0).short_by
    assert (short == 0) == bool(count_all(unbounded))
    if short:
        assert count_all(replace(unbounded, height=problem.height + short))
        assert not count_all(replace(unbounded, height=problem.height + short - 1))


@_slow
@given(_askable)
def test_what_is_over_is_exactly_what_is_over(problem: FitProblem) -> None:
    over = fit(problem, best=0).over_by
    if over:
        assert problem.most_left is not None
        assert count_all(replace(problem, most_left=problem.most_left + over))
        assert not count_all(replace(problem, most_left=problem.most_left + over - 1))


@_slow
@given(_askable, st.integers(1, 9))
def test_more_height_never_gives_fewer(problem: FitProblem, more: int) -> None:
    problem = replace(problem, most_left=None)
    assert fit(replace(problem, height=problem.height + more), best=0).count >= fit(problem, best=0).count
