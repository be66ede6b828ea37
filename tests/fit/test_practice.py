"""Facts of the trade: common practice, no source."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from rillwright.fit import Bed, Built, FitProblem, Span, Wish, fit, standard_problem

IN = 16


def _from_a_bed_17_in_above(character: str = "lively") -> FitProblem:
    return FitProblem.from_json({"unit": "1/16 in", "height": 17 * IN, "character": character})


def test_a_ripple_of_4_in_and_an_inch_of_bed_leave_12_in_for_the_last_fall() -> None:
    level, inch = Bed(pitch=Span(0, 0)), Bed(pitch=Span(IN, IN))
    ripple = Wish(at=1, drop=Span(4 * IN, 4 * IN))
    problem = replace(_from_a_bed_17_in_above(), beds=(level, inch), wishes=(ripple,), drops=Span(2, 2), most_left=0)
    answer = fit(problem)
    assert answer.count == 1
    (only,) = answer.arrangements
    assert [(drop.kind, drop.drop) for drop in only.drops] == [("ripple", 4 * IN), ("fall", 12 * IN)]
    assert only.last_height == 12 * IN


@pytest.mark.parametrize(("stone", "drop_at_start", "seen"), [(0, 0, 12 * IN), (3 * IN, 0, 15 * IN), (3 * IN, 20, 260)])
def test_spill_stone_and_drop_at_start_add_to_the_last_fall(stone: int, drop_at_start: int, seen: int) -> None:
    beds = (Bed(pitch=Span(0, 0)), Bed(pitch=Span(IN, IN)))
    wishes = (Wish(at=1, drop=Span(4 * IN, 4 * IN)), Wish(at="last", drop=Span(12 * IN, 12 * IN)))
    problem = replace(_from_a_bed_17_in_above(), beds=beds, wishes=wishes, drops=Span(2, 2))
    answer = fit(replace(problem, spill_stone=stone, running_below_held=drop_at_start))
    assert answer.arrangements[0].last_height == seen


def test_17_in_above_the_water_is_a_reason_to_add_a_ripple_on_the_spot() -> None:
    """One drop would be 16 in or more; one ripple more still leaves the 8-10 in that the last fall needs."""
    straight = fit(replace(_from_a_bed_17_in_above(), drops=Span(1, 1), most_left=7))
    assert min(found.last_height for found in straight.arrangements) >= 16 * IN
    with_ripple = fit(
        replace(
            _from_a_bed_17_in_above("quiet"), drops=Span(2, 2), least_last=10 * IN, wishes=(Wish(at=1, kind="ripple"),)
        )
    )
    assert with_ripple.count > 0
    for found in with_ripple.arrangements:
        assert found.drops[0].kind == "ripple"
        assert 4 * IN <= found.drops[0].drop <= 5 * IN
        assert found.last_height >= 10 * IN


@pytest.mark.parametrize(("least_last", "ripples"), [(8 * IN, 2), (9 * IN, 2), (10 * IN, 1)])
def test_ripples_stop_where_the_last_fall_would_run_out(least_last: int, ripples: int) -> None:
    """8-10 in must remain: of 17 in, two ripples of 4 in leave 9 in."""
    best = fit(replace(_from_a_bed_17_in_above("quiet"), least_last=least_last, most_left=7)).arrangements[0]
    assert sum(drop.kind == "ripple" for drop in best.drops) == ripples
    assert best.drops[-1].kind == "fall"


def test_what_is_built_counts_as_it_was_built() -> None:
    """A ripple set at 4 5/16 in instead of 4 in takes 5/16 in from what is left below it."""
    problem = replace(_from_a_bed_17_in_above(), built=(Built(pitch=0, drop=4 * IN + 5),), drops=Span(2, 2))
    best = fit(replace(problem, beds=(Bed(), Bed(pitch=Span(IN, IN))))).arrangements[0]
    assert best.drops[0].drop == 4 * IN + 5
    assert best.drops[0].drop + IN + best.drops[1].drop + best.left_over == 17 * IN


def test_lively_comes_to_equal_falls_near_8_in() -> None:
    best = fit(standard_problem("1/16 in", height=42 * IN)).arrangements[0]
    assert [drop.drop for drop in best.drops] == [8 * IN] * 5
    assert sum(best.pitches) == 2 * IN


def test_quiet_has_most_ripples_and_loud_fewest_drops_the_last_largest() -> None:
    problem = replace(standard_problem("1/16 in", height=42 * IN), least_last=8 * IN, most_left=7)
    quiet = fit(replace(problem, character="quiet")).arrangements[0]
    loud = fit(replace(problem, character="loud")).arrangements[0]
    assert sum(drop.kind == "ripple" for drop in quiet.drops) == 8
    assert len(loud.drops) == 2
    assert loud.drops[-1].drop == max(drop.drop for drop in loud.drops) == 24 * IN
