"""The long section and the height budget of a stream whose every level is known by hand."""

from __future__ import annotations

import itertools

import pytest
from msgspec.structs import replace
from tests.shape.sample import buried, feature, four_drops, level, two_streams

from rillwright.feature import Level, Mark, Origin, Reach, Rim, Surface
from rillwright.shape import Line, rest_level_m, shape


def levels_at(line: Line, station_m: float) -> set[float]:
    """All levels [m] of a line at a station [m], ends of upright pieces included."""
    found = {round(z, 9) for x, z in line if abs(x - station_m) < 1e-9}
    for (a, low), (b, high) in itertools.pairwise(line):
        if a < station_m < b:
            found.add(round(low + (high - low) * (station_m - a) / (b - a), 9))
    return found


def test_surfaces_run_parallel_along_a_reach() -> None:
    """Bed 0.80, 0.45 after drops of 0.15 and 0.20; gravel 75 mm, liner 1.1 mm, felt 5 mm."""
    section = shape(four_drops()).sections[0]
    for station, bed in ((1.0, 0.80), (5.0, 0.45)):
        assert levels_at(section.bed, station) == {bed}
        assert levels_at(section.liner, station) == {round(bed - 0.075, 9)}
        assert levels_at(section.dig, station) == {round(bed - 0.0811, 9)}


def test_liner_rises_behind_each_spill_stone() -> None:
    """To the crest (bed + 50 mm) where the piece goes on; the last fall's lap ends at 0.02, below the upper liner."""
    section = shape(four_drops()).sections[0]
    assert max(levels_at(section.liner, 1.6)) == pytest.approx(0.85)
    assert levels_at(section.liner, 7.6) == {0.125, -0.1}


def test_lap_upturn_above_the_upper_liner_is_drawn() -> None:
    drawn = four_drops()
    lap = replace(drawn.laps[0], upturn=level(0.18, Surface.LINER))
    assert max(levels_at(shape(replace(drawn, laps=(lap,))).sections[0].liner, 7.6)) == pytest.approx(0.18)


def test_section_goes_on_to_the_far_side() -> None:
    section = shape(four_drops()).sections[0]
    assert section.length_m == 8.0
    assert section.liner[-3] == pytest.approx((12.0, -0.10))
    assert section.liner[-2] == pytest.approx((12.05, 0.0))  # up the side, 2 up to 1 across, to the rim's ground
    assert section.liner[-1] == pytest.approx((12.2, 0.0))  # and held there, 150 mm
    assert min(z for _, z in section.liner) == pytest.approx(-0.75)
    assert min(z for _, z in section.bed) == pytest.approx(-0.70)
    assert min(z for _, z in section.dig) == pytest.approx(-0.7561)
    for line in (section.ground, section.bed, section.liner, section.dig):
        assert [x for x, _ in line] == sorted(x for x, _ in line)


def test_spill_stones_lie_at_their_crests() -> None:
    stones = shape(four_drops()).sections[0].stones
    spills = {stone.fall: stone.corners for stone in stones if stone.kind == "spill"}
    rounded = tuple((round(x, 9), round(z, 9)) for x, z in spills["stream-f2"])
    assert rounded == ((3.6, 0.64), (4.0, 0.64), (4.0, 0.70), (3.6, 0.70))
    assert len([stone for stone in stones if stone.kind == "face"]) == 4


def test_ground_is_guessed_until_somebody_shot_it() -> None:
    drawn = four_drops()
    plain = shape(drawn).sections[0]
    assert plain.ground_guessed
    assert plain.ground[0] == pytest.approx((0.0, 0.80))
    assert plain.ground[-1][1] == pytest.approx(-0.03)
    pond = drawn.bodies[0]
    near = Rim(id="near", body="pond", ground=level(0.05, Surface.GROUND), berm_m=0.0, settlement=0.0, at=(-2.0, 0.3))
    shot = Mark(id="p1", role="point", level=Level(0.5, Surface.GROUND, Origin.MEASURED, "invented"), at=(-6.0, 0.5))
    aside = replace(shot, id="p2", at=(-6.0, 5.0), level=level(9.0, Surface.GROUND))
    known = shape(
        replace(drawn, marks=(*drawn.marks, shot, aside), bodies=(replace(pond, rims=(*pond.rims, near)),))
    ).sections[0]
    assert not known.ground_guessed
    assert levels_at(known.ground, 4.0) == {0.5}
    assert levels_at(known.ground, 8.0) == {0.05}
    assert 9.0 not in {z for _, z in known.ground}


def test_height_is_spent_drop_by_drop() -> None:
    """0.90 from the bed to the water: 0.15 + 0.20 + 0.25 + 0.30. Water at rest stands at the next crest, 50 mm above
    its bed, so a fall shows its own drop; the last falls from 50 mm above its bed to the waterline."""
    budget = shape(four_drops()).budgets[0]
    assert budget.height_m == pytest.approx(0.90)
    assert budget.left_over_m == pytest.approx(0.0, abs=1e-12)
    falls = [step for step in budget.steps if step.kind != "bed"]
    assert [step.spent_m for step in falls] == pytest.approx([0.15, 0.20, 0.25, 0.30])
    assert [step.fall_height_m for step in falls] == pytest.approx([0.15, 0.20, 0.25, 0.35])
    assert [step.kind for step in falls] == ["ripple", "fall", "fall", "fall"]
    assert budget.steps[0].path == "reaches/stream-r1"


def test_a_head_shot_too_low_leaves_too_little() -> None:
    drawn = four_drops()
    brook = replace(drawn.streams[0], head=level(0.70))
    assert shape(replace(drawn, streams=(brook,))).budgets[0].left_over_m == pytest.approx(-0.10)


def test_a_bed_built_too_low_takes_from_the_last_fall() -> None:
    """Bed 3 built 30 mm low, and bed 4 below it as planned from there: the last fall has 0.27 left of its 0.30."""
    brook = four_drops().streams[0]
    low = {"stream-r3": -0.03, "stream-r4": -0.03}
    links = tuple(
        replace(
            link,
            bed_start=link.bed_start.moved(low.get(link.id, 0.0)),
            bed_end=link.bed_end.moved(low.get(link.id, 0.0)),
        )
        if isinstance(link, Reach)
        else link
        for link in brook.links
    )
    budget = shape(replace(four_drops(), streams=(replace(brook, links=links),))).budgets[0]
    assert budget.left_over_m == pytest.approx(-0.03)
    assert [step.spent_m for step in budget.steps if step.kind != "bed"] == pytest.approx([0.15, 0.23, 0.25, 0.30])


def test_an_unsealed_stone_holds_no_water() -> None:
    brook = four_drops().streams[0]
    links = tuple(link if isinstance(link, Reach) else replace(link, sealed=False) for link in brook.links)
    open_brook = replace(brook, links=links)
    assert rest_level_m(brook, brook.reaches[1]) == pytest.approx(0.70)
    assert rest_level_m(open_brook, open_brook.reaches[1]) is None


@pytest.mark.parametrize("drawn", [buried(), two_streams()], ids=["buried", "two streams"])
def test_every_stream_and_body_has_its_shape(drawn: object) -> None:
    found = shape(drawn)  # type: ignore[arg-type]
    assert [section.stream for section in found.sections] == [stream.id for stream in drawn.streams]  # type: ignore[attr-defined]
    assert [pond.body for pond in found.ponds] == [body.id for body in drawn.bodies]  # type: ignore[attr-defined]
    with pytest.raises(KeyError):
        found.pond("nowhere")


def test_a_feature_without_a_stream_is_a_pond() -> None:
    drawn = four_drops()
    found = shape(feature(bodies=drawn.bodies, streams=(), runs=()))
    assert found.sections == ()
    assert len(found.ponds) == 1
