"""Fill under a stream's beds, by hand; nothing is judged where the ground is only guessed."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.earth import BedFill, GroundGap, move_earth
from rillwright.earth.section import bed_fills
from rillwright.feature import Feature, Mark, Surface
from rillwright.shape import shape


def shot(*places: tuple[float, float]) -> Feature:
    """Four drops with ground shot beside the path; it runs from x = -10 m, the head, to x = -2 m."""
    feature = sample.four_drops()
    marks = tuple(
        Mark(id=f"p{i}", role="point", level=sample.level(z, Surface.GROUND), at=(x, 0.1))
        for i, (x, z) in enumerate(places)
    )
    return replace(feature, marks=(*feature.marks, *marks))


def fills(feature: Feature) -> dict[str, BedFill]:
    return {fill.reach: fill for fill in move_earth(feature, shape(feature)).fills}


def test_a_bed_over_the_ground_by_hand() -> None:
    """Ground falls by 0.30 a metre, from 0.80 at the head to -0.40 at 4 m, and stays. The second bed, level at 0.65, is
    dug to 0.65 - 0.075 of gravel - 0.0061 of liner and felt = 0.5689, as far as the face 0.40 m behind its crest, at
    3.6 m: over -0.28 that is 0.8489. The first one, dug to 0.7189, ends at 1.6 m over 0.32; the third, dug to 0.3689,
    stands over -0.40."""
    found = fills(shot((-6.0, -0.40), (-2.0, -0.40)))
    assert found["stream-r1"].high_m == pytest.approx(0.3989, abs=1e-4)
    assert found["stream-r2"].high_m == pytest.approx(0.8489, abs=1e-4)
    assert found["stream-r2"].station_m == pytest.approx(3.6, abs=1e-4)
    assert found["stream-r3"].high_m == pytest.approx(0.7689, abs=1e-4)


def test_a_hollow_under_the_spill_stone_alone_is_counted_to_the_bed_above() -> None:
    """Under the stone, 3.6 m to 4 m, the liner below runs back to the face: dug to 0.3689, as above. Ground that lies
    over all digs but for a hollow down to 0.10 there is filled by 0.2689 under the stone, and by nothing elsewhere.
    """
    feature = sample.four_drops()
    stream = feature.streams[0]
    (drawn,) = shape(feature).sections
    high = 0.9
    hollow = ((0.0, high), (3.65, high), (3.70, 0.10), (3.90, 0.10), (3.95, high), (stream.length_m, high))
    (found,) = bed_fills(stream, replace(drawn, ground=hollow, ground_known=(0.0, stream.length_m)))
    assert found.reach == "stream-r2"
    assert found.high_m == pytest.approx(0.2689, abs=1e-4)
    assert 3.70 <= found.station_m <= 3.90


def test_ground_that_lies_over_the_dig_is_no_fill() -> None:
    assert fills(shot((-6.0, 0.9), (-2.0, 0.9))) == {}


def test_nothing_is_said_of_guessed_ground() -> None:
    """Known are the head and one place at 4 m alone: the beds below it lie over a guess."""
    assert set(fills(shot((-6.0, -0.40)))) == {"stream-r1", "stream-r2"}


def gaps(feature: Feature) -> tuple[GroundGap, ...]:
    return move_earth(feature, shape(feature)).gaps


def test_what_is_not_known_of_the_ground_is_told_and_not_passed_over() -> None:
    """Eight metres of stream: known at the head alone; to 4 m; all along."""
    feature = sample.four_drops()
    long_m = feature.streams[0].length_m
    (whole,) = gaps(feature)
    assert (whole.from_m, whole.to_m) == (0.0, long_m)
    (rest,) = gaps(shot((-6.0, -0.40)))
    assert rest.from_m == pytest.approx(4.0)
    assert rest.to_m == long_m
    assert rest.head_known
    assert gaps(shot((-6.0, -0.40), (-2.0, -0.40))) == ()
