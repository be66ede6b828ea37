"""Sides of banks and plunge pools as they are typed, and what is refused of them."""

from __future__ import annotations

import math

import pytest

from rillwright.errors import InputError
from rillwright.feature import Fall, Feature, Plunge, Reach
from tests.feature.joining import SITE, joined


def told(*changes: tuple[str, str]) -> Feature:
    text = SITE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return joined(text)


def reach(feature: Feature, id: str) -> Reach:
    return next(each for each in feature.reaches if each.id == id)


def fall(feature: Feature, id: str) -> Fall:
    return next(each for each in feature.falls if each.id == id)


MAIN, UPPER = "    width: 0.9 m\n", "{bed: upper, length: 2.4 m, pitch: 10 mm}"
OVER = "{fall: over, drop: 0.16 m, "
LAST = "{fall: last, "


def test_nothing_is_taken_for_what_nobody_said() -> None:
    feature = told()
    assert {each.side_up_per_across for each in feature.reaches} == {None}
    assert {each.plunge for each in feature.falls} == {None}
    assert reach(feature, "upper").floor_width_m == reach(feature, "upper").width_m


def test_a_bed_goes_before_its_stream() -> None:
    feature = told((MAIN, MAIN + "    side: 2\n"), (UPPER, UPPER.replace("}", ", side: vertical}")))
    assert reach(feature, "upper").side_up_per_across == math.inf
    assert reach(feature, "meeting").side_up_per_across == 2.0
    assert reach(feature, "side-upper").side_up_per_across is None


def test_the_floor_is_what_the_banks_leave_under_the_gravel() -> None:
    feature = told((MAIN, MAIN + "    side: 2\n    gravel: 80 mm\n"))
    assert reach(feature, "upper").floor_width_m == pytest.approx(0.9 - 2 * 0.080 / 2)


def test_a_dished_bed_leaves_the_liner_less_floor() -> None:
    """Gravel of one thickness over a V and banks through its edges: the floor ends where the two meet."""
    level = ("{bed: meeting, pitch: 10 mm", "{bed: meeting, dish: 0 mm, pitch: 10 mm")
    feature = told((MAIN, MAIN + "    side: 2\n    gravel: 80 mm\n    dish: 45 mm\n"), level)
    bed = reach(feature, "upper")
    assert bed.dish_m == pytest.approx(0.045)
    aside = 0.5 * bed.floor_width_m
    on_bank = 0.045 - (0.45 - aside) * 2.0
    assert on_bank == pytest.approx(0.045 * aside / 0.45 - 0.080)


def test_a_plunge_pool_belongs_to_its_fall_and_lies_in_the_bed_below() -> None:
    feature = told((OVER, OVER + "plunge: {depth: 150 mm, length: 600 mm}, "))
    assert fall(feature, "over").plunge == Plunge(depth_m=0.15, length_m=0.6)
    main = feature.stream("main")
    assert main.plunge_in(reach(feature, "meeting")) == fall(feature, "over").plunge
    assert main.plunge_in(reach(feature, "upper")) is None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (OVER, OVER + "plunge: {depth: 150 mm}, ", "length"),
        (OVER, OVER + "plunge: {depth: 0 mm, length: 1 m}, ", "more than zero"),
        (OVER, OVER + "plunge: {depth: 150 mm, length: 3.4 m}, ", "as long as bed meeting"),
        (OVER, OVER + "plunge: {depth: 1 mm, length: 2 m}, ", "no water would stand in it"),
        (OVER, OVER + "plunge: {depth: 150 mm, length: 1.4 m}, ", "plunge pool of another fall"),
        (LAST, LAST + "plunge: {depth: 150 mm, length: 0.5 m}, ", "not in a bed of its own"),
        (MAIN, MAIN + "    side: 0.1\n", "meet in the gravel"),
        (MAIN, MAIN + "    bank: 0.1 m\n    dish: 0.1 m\n", "as high as its banks end"),
        (MAIN, MAIN + "    side: 0.2\n    gravel: 5 mm\n    dish: 0.1 m\n", "no steeper than the bed"),
        (MAIN, MAIN + "    dish: 40 mm\n", "level across where that comes in"),
        (MAIN, MAIN + "    side: 0\n", "more than 0"),
        (MAIN, MAIN + "    side: steep\n", "vertical"),
    ],
)
def test_what_cannot_be_built_is_refused_by_name(old: str, new: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        told((old, new))
