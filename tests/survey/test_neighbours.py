"""Levels that do not go with their neighbours, and what was read once only.

3.5 modified z-scores, 0.6745 (x - median) / MAD: Iglewicz and Hoaglin, 1993, from memory. By hand: of 0, 1, 2, 3, 40 dm
the median is 2 and the MAD 1, so the last stands 0.6745 x 38 = 25.6 away. Floor 10 in: common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.survey import Survey, read_book, reduce, strays

HEAD = "setup,point,backsight,intermediate,foresight,surface\n"
RIMS = "1,BM,1.500,,,\n1,r1,,1.600,,ground\n1,r2,,1.640,,ground\n1,r3,,{r3},,ground\n1,r4,,1.570,,ground\n"


def survey(rows: str) -> Survey:
    return reduce([read_book(HEAD + rows, file="b.csv", rod="metric")], datum="BM")


def states(found: Survey) -> dict[str, str]:
    return {point.id: point.state for point in found.points}


def test_a_shot_read_once_is_not_confirmed_by_its_book() -> None:
    found = survey(RIMS.format(r3="1.610"))
    assert states(found) == {"BM": "held", "r1": "read once", "r2": "read once", "r3": "read once", "r4": "read once"}
    assert found.doubts == ()
    assert found.page_checks[0].sights == 0


def test_a_shot_read_again_is_confirmed() -> None:
    assert states(survey(RIMS.format(r3="1.610") + "1,r3,,1.611,,ground\n"))["r3"] == "confirmed"


def test_what_a_closed_loop_went_through_is_confirmed() -> None:
    rows = "1,BM,1.500,,,\n1,T,,,1.400,mark\n1,p,,1.3,,ground\n2,T,1.200,,,\n2,BM,,,1.300,\n"
    found = survey(rows)
    assert states(found) == {"BM": "held", "T": "confirmed", "p": "read once"}
    assert found.page_checks[0].sights == 4


@pytest.mark.parametrize("r3", ["2.610", "0.610"], ids=["a metre low", "a metre high"])
def test_a_rim_a_metre_out_is_to_be_read_again(r3: str) -> None:
    found = survey(RIMS.format(r3=r3))
    (doubt,) = found.doubts
    assert (doubt.code, doubt.point, doubt.line) == ("stray", "r3", 5)
    assert abs(doubt.size_m) == pytest.approx(1.0, abs=0.05)
    why = next(point.why for point in found.points if point.id == "r3")
    assert "below" in why or "above" in why
    assert "read it again" in why


def test_a_stray_that_was_read_twice_is_the_ground_as_it_is() -> None:
    assert survey(RIMS.format(r3="2.610") + "1,r3,,2.611,,ground\n").doubts == ()


def test_by_hand() -> None:
    levels = dict(zip("abcd", (0.0, 0.1, 0.2, 4.0), strict=True))
    (stray,) = strays(levels)
    assert stray.id == "d"
    assert stray.off_m == pytest.approx(3.85)  # the median of four is the mean of the middle two
    assert stray.allowed_m == pytest.approx(3.5 / 0.6745 * 0.1)  # deviations 0.15, 0.05, 0.05, 3.85


def test_a_slope_is_no_stray_and_a_slip_on_it_is() -> None:
    slope = {f"g{i}": 0.3 * i for i in range(8)}
    assert strays(slope) == ()
    assert [each.id for each in strays(slope | {"g4": 0.3 * 4 + 1.0})] == ["g4"]


@pytest.mark.parametrize("count", [0, 1, 2])
def test_of_fewer_than_three_nothing_is_said(count: int) -> None:
    assert strays({str(i): 5.0 * i for i in range(count)}) == ()


@given(st.lists(st.integers(-2000, 2000), min_size=3, max_size=12), st.integers(-10_000, 10_000))
def test_raising_all_changes_nothing(millimetres: list[int], by: int) -> None:
    low = strays({str(i): each / 1000 for i, each in enumerate(millimetres)})
    high = strays({str(i): (each + by) / 1000 for i, each in enumerate(millimetres)})
    assert [each.id for each in low] == [each.id for each in high] or any(
        abs(abs(each.off_m) - each.allowed_m) < 1e-9 for each in (*low, *high)
    )
    assert len(low) <= (len(millimetres) + 1) // 2
