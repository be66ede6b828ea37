"""Stone taken piece by piece, by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.build.lifts import lifts_of
from rillwright.feature import Feature
from rillwright.liner import size_liner
from rillwright.shape import shape
from rillwright.stone import Stone, StoneLot, place_stone

FT, IN, LB = 0.3048, 0.0254, 0.45359237


def placed(feature: Feature) -> Stone:
    drawn = shape(feature)
    return place_stone(feature, drawn)


def lot(stone: Stone, id: str) -> StoneLot:
    return next(one for one in stone.lots if one.id == id)


def test_spill_stone_by_hand() -> None:
    """Crest 0.40 m and 6 in of bearing on each side, 0.40 m along the flow, 2-4 in thick; 150-175 lb/cu ft, 0.7-0.85 of
    the box. Common practice, no source."""
    one = placed(sample.four_drops()).spill_stones[0]
    across = 0.40 + 12 * IN
    assert (one.across_m, one.along_m) == pytest.approx((across, 0.40))
    assert one.mass_low_kg == pytest.approx(across * 0.40 * 2 * IN * 0.7 * 150 * LB / FT**3)
    assert one.mass_high_kg == pytest.approx(across * 0.40 * 4 * IN * 0.85 * 175 * LB / FT**3)


@pytest.mark.parametrize(("thick_m", "off_m"), [(0.20, 0.5 * IN), (0.06, 0.5 * IN), (0.02, 0.01)])
def test_a_spill_stone_is_ordered_as_said(thick_m: float, off_m: float) -> None:
    """Half an inch either way, common practice; never less than half of what is said."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    said = {"stone_m": thick_m, "stone_said": True}
    links = tuple(replace(link, **said) if link in stream.falls else link for link in stream.links)
    one = placed(replace(feature, streams=(replace(stream, links=links),))).spill_stones[0]
    assert (one.thick_low_m, one.thick_high_m) == pytest.approx((thick_m - off_m, thick_m + off_m))
    assert one.mass_low_kg < one.mass_high_kg < one.heaviest_kg


def test_a_lift_is_judged_by_a_flat_slab() -> None:
    """All of its box, 4 in thick, of 175 lb/cu ft."""
    feature = sample.four_drops()
    stone = placed(feature)
    across = 0.40 + 12 * IN
    heaviest = across * 0.40 * 4 * IN * 175 * LB / FT**3
    assert stone.spill_stones[0].heaviest_kg == pytest.approx(heaviest)
    lift = lifts_of(feature, stone, size_liner(feature, shape(feature)))[0]
    assert lift.load_kg == pytest.approx(heaviest)


def test_terms_make_the_mass_of_a_spill_stone() -> None:
    for one in placed(sample.four_drops()).spill_stones:
        for end, mass in (("low", one.mass_low_kg), ("high", one.mass_high_kg)):
            other = ", high" if end == "low" else ", low"
            product = 1.0
            for term in one.because:
                product *= 1.0 if term.name.endswith(other) else term.value
            assert product == pytest.approx(mass)


def test_face_by_hand() -> None:
    """As wide as the bed, 0.60 m, as high as the drop, 18 in thick, a quarter voids."""
    feature = sample.four_drops()
    last = feature.falls[-1]
    found = lot(placed(feature), f"face-{last.id}")
    assert found.volume_m3 == pytest.approx(0.60 * 0.30 * 18 * IN)
    assert found.mass_high_kg == pytest.approx(0.60 * 0.30 * 18 * IN * 0.75 * 175 * LB / FT**3)


def test_a_fall_that_rises_has_no_face() -> None:
    feature = sample.four_drops()
    stream = feature.streams[0]
    first = stream.falls[0]
    links = tuple(replace(link, drop_m=-0.05) if link == first else link for link in stream.links)
    found = placed(replace(feature, streams=(replace(stream, links=links),)))
    assert f"face-{first.id}" not in {one.id for one in found.lots}


def test_terms_make_the_mass() -> None:
    """Bulk and face: the product of all terms but the other end's density."""
    for one in placed(sample.four_drops()).lots:
        for end, mass in (("low", one.mass_low_kg), ("high", one.mass_high_kg)):
            other = ", high" if end == "low" else ", low"
            product = 1.0
            for term in one.because:
                product *= 1.0 if term.name.endswith(other) else term.value
            assert product == pytest.approx(mass), (one.id, end)


def test_a_reservoir_is_filled_with_blocks_or_stone() -> None:
    """0.80 of its hole is water: no stone leaves so much, so it is of blocks. 0.40 is what crushed stone leaves."""
    blocks = lot(placed(sample.buried()), "fill-store")
    assert (blocks.kind, blocks.mass_high_kg) == ("blocks", 0.0)
    assert blocks.volume_m3 == pytest.approx(2.0 * 1.2 * 0.9)
    feature = sample.buried()
    feature = replace(feature, bodies=(replace(feature.bodies[0], water_share=0.40),))
    stone = lot(placed(feature), "fill-store")
    assert stone.kind == "reservoir stone"
    assert stone.mass_low_kg == pytest.approx(2.0 * 1.2 * 0.9 * 100 * LB / FT**3, rel=1e-3)  # 100 lb/cu ft loose
    assert not [one for one in placed(feature).lots if one.id == "edge-store"]
