"""Twelve drops: the count by multiplying generating functions, and what must hold for any arrangement."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from rillwright.fit import CHARACTERS, FitProblem, Span, fit, standard_problem

IN = 16


def count_by_polynomials(problem: FitProblem) -> int:
    """Drops as powers of x in units, one polynomial a position; the coefficients up to the height there is, summed.

    For problems without beds, wishes or built parts; a polynomial is held as one integer in base 2**200.
    """
    base = 200
    kinds = (problem.ripple, problem.fall)

    def polynomial(adds: int, least: int) -> int:
        drops = range(problem.step, problem.fall.high + 1, problem.step)
        return sum(
            1 << (base * drop)
            for drop in drops
            for low, high in kinds
            if low <= drop + adds <= high and drop + adds >= least
        )

    inner = polynomial(0, 0)
    last = polynomial(problem.last_adds, problem.least_last)
    total = 0
    for number in range(problem.drops.low, problem.drops.high + 1):
        there_is = problem.height - number * problem.pitch.low
        product = last * inner ** (number - 1)
        total += sum((product >> (base * power)) & ((1 << base) - 1) for power in range(max(there_is + 1, 0)))
    return total


US = replace(standard_problem("1/16 in", height=100 * IN), drops=Span(12, 12), least_last=9 * IN, spill_stone=2 * IN)
METRIC = replace(standard_problem("1 mm", height=1437), least_last=230, spill_stone=60, running_below_held=18)


@pytest.mark.parametrize(
    "problem",
    [
        pytest.param(replace(US, height=5 * IN * 12), id="60 in, twelve drops"),
        pytest.param(replace(METRIC, height=905, drops=Span(1, 12)), id="905 mm, one to twelve drops"),
        pytest.param(replace(METRIC, pitch=Span(5, 25), drops=Span(3, 9)), id="1437 mm, beds that pitch"),
    ],
)
def test_count_is_the_sum_of_coefficients(problem: FitProblem) -> None:
    assert fit(problem, best=0).count == count_by_polynomials(problem)


def test_a_stream_of_100_in_has_more_than_1e13_arrangements() -> None:
    # Steps of 1/2 in: dividing units and height by 8 changes nothing, and keeps the polynomials short.
    small = replace(
        US, height=200, step=1, ripple=Span(8, 10), fall=Span(11, 48), pitch=Span(0, 2), least_last=18, spill_stone=4
    )
    count = fit(US, best=0).count
    assert count == count_by_polynomials(small)
    assert count > 10**13


@pytest.mark.parametrize("character", CHARACTERS)
@pytest.mark.parametrize("problem", [US, METRIC], ids=["US", "metric"])
def test_every_arrangement_adds_up(problem: FitProblem, character: str) -> None:
    asked = FitProblem.from_json({**problem.to_json(), "character": character})
    answer = fit(asked)
    assert len(answer.arrangements) == 20
    for found in answer.arrangements:
        drops = [drop.drop for drop in found.drops]
        assert sum(drops) + sum(found.pitches) + found.left_over == asked.height
        assert all(drop % asked.step == 0 for drop in drops)
        assert all(asked.pitch.low <= pitch <= asked.pitch.high for pitch in found.pitches)
        assert found.last_height == drops[-1] + asked.last_adds == found.drops[-1].height_seen
        assert found.last_height >= asked.least_last
    costs = [found.cost for found in answer.arrangements]
    assert costs == sorted(costs)
    assert len({found.drops for found in answer.arrangements}) == 20


@pytest.mark.parametrize("best", [1, 7, 20, 60])
def test_fewer_asked_for_are_the_first_of_more(best: int) -> None:
    assert fit(US, best=best).arrangements == fit(US, best=100).arrangements[:best]


def test_scaling_everything_scales_the_answer() -> None:
    twice = replace(
        METRIC,
        height=2 * METRIC.height, step=20, pitch_step=10, pitch=Span(0, 50), ripple=Span(200, 260),
        fall=Span(280, 1200), lively_fall=400, least_last=460, spill_stone=120, running_below_held=36,
    )  # fmt: skip
    small, large = fit(METRIC), fit(twice)
    assert small.count == large.count
    assert [[2 * drop.drop for drop in found.drops] for found in small.arrangements] == [
        [drop.drop for drop in found.drops] for found in large.arrangements
    ]


def test_a_lower_bar_for_the_last_fall_never_gives_fewer() -> None:
    counts = [fit(replace(US, least_last=inches * IN), best=0).count for inches in range(12, 0, -1)]
    assert counts == sorted(counts)
