"""A rim or a floor that nobody would build is judged in a moment, and its volume stays that of the closed form."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape.sample import body, feature, level, stream

from rillwright.feature import Rim, Surface
from rillwright.shape import shape
from rillwright.shape.slices import MOST_SLICES


@pytest.mark.parametrize("rise_m", [40.0, 9000.0])
def test_a_rim_absurdly_high_is_cut_in_few_slices(rise_m: float) -> None:
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    high = Rim(id="r", body="pond", ground=level(rise_m, Surface.GROUND), berm_m=0.0, settlement=0.0)
    plain = replace(body(square, depth_m=0.6), side_up_per_across=1.0, shelf_width_m=0.0, shelf_depth_m=0.0)
    made = shape(feature(bodies=(replace(plain, rims=(high,)),), streams=(stream(into=plain),), runs=()))
    assert len(made.ponds[0].storage) < MOST_SLICES + 10
    # Rectangle 4 x 3 m, sides 1:1, 0.6 m deep: 4.968 m3 by the prismoidal formula (computed independently).
    assert made.ponds[0].gross_m3 == pytest.approx(4.968, rel=1e-6)
