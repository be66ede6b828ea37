"""Ways over the finished surface, those of overflows, and which leaves first: on the made site and the examples."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from tests.containment.leak import TEXT
from tests.examples.folders import EXAMPLES, NAMES

from rillwright.assess import Inputs, assess
from rillwright.assessment import Assessment, Containment, Finished, NotRun, SpillPath, SpiltWays
from rillwright.errors import InputError
from rillwright.feature import Document, complete
from rillwright.ground import footprint, levels_at
from rillwright.job import judge, open
from rillwright.shape import natural_tin, tin_of_mesh
from rillwright.sources import price_book

HOUSE = "  buildings:\n    - {id: shed, outline: [[14 ft, -4 ft], [18 ft, -4 ft], [18 ft, 12 ft], [14 ft, 12 ft]]}\n"


def made(*, overflow: str = "", house: str = "", rain: str = "", tier: str = "surface") -> Assessment:
    """The made site with a low place by a boulder, on ground that falls to the east."""
    text = TEXT.replace("BOULDER_", "  - {id: boulder, level: 2 1/2 in, surface: ground, at: [4.3 ft, 2.95 ft]}")
    text = text.replace("BERM_\n", "").replace("UPTURN_", "6 in").replace("pond:\n", f"{house}{rain}pond:\n", 1)
    text = text.replace("  shelf: none\n", f"  shelf: none\n{overflow}", 1)
    feature = complete(Document.read(text, file="feature.yaml"))
    return assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book()), tier=tier)


def ways_of(assessment: Assessment) -> SpiltWays:
    ways = assessment.ways
    assert ways is not None
    return ways


def of_pond(ways: SpiltWays) -> SpillPath:
    return next(each for each in ways.spills if each.water == "ponds/pond")


@pytest.mark.parametrize("name", NAMES)
def test_ways_run_down_over_known_ground(name: str) -> None:
    opened = open(EXAMPLES / name)
    assessment = judge(opened, tier="surface").assessment
    ways, finished = ways_of(assessment), assessment.finished
    assert ways.over == "finished surface"
    assert isinstance(finished, Finished)
    known = natural_tin(assessment.feature, opened.ground)
    assert known is not None
    within = shapely.buffer(footprint(known), 1e-6)
    for way in (*ways.spills, *ways.may, *ways.led):
        levels = [z for _, _, z in way.way]
        assert levels == sorted(levels, reverse=True)
        assert all(shapely.contains_xy(within, x, y) for x, y, _ in way.way)
        assert len(set(way.way)) == len(way.way)


def test_over_a_berm_it_runs_down_its_side() -> None:
    """The rim stands 2 1/2 in to 6 in over a lawn that falls away: the way begins on the berm, as high as that is; a
    rise beside the low place no higher than a hollow that is filled, 50 mm, is passed.
    """
    assessment = made()
    finished, way = assessment.finished, of_pond(ways_of(assessment))
    assert isinstance(finished, Finished)
    tin = tin_of_mesh(finished.finished)
    x, y, z = way.way[0]
    assert z == pytest.approx(float(levels_at(tin, np.array([[x, y]]))[0]), abs=1e-6)
    assert z <= way.level_m.value + 0.05
    assert way.towards == "footings/house"


def test_no_way_runs_through_a_wall() -> None:
    for tier in ("quick", "surface"):
        assessment = made(house=HOUSE, tier=tier)
        shed = shapely.Polygon([(0.3048 * x, 0.3048 * y) for x, y in ((14, -4), (18, -4), (18, 12), (14, 12))])
        for way in (*ways_of(assessment).spills, *ways_of(assessment).may):
            if len(way.way) > 1:
                assert shapely.LineString([at[:2] for at in way.way]).intersection(shed).length < 1e-6
        assert of_pond(ways_of(assessment)).towards == "buildings/shed"


NOTCH = "  overflow: {level: SILL, width: 12 in, at: [-6 ft, 0 ft]ENDS}\n"
RAIN = "climate:\n  design_rain: {depth: 2 in, lasts: 1 h}\n"


def notch(sill: str, ends: str = "") -> str:
    return NOTCH.replace("SILL", sill).replace("ENDS", f", ends: {ends}" if ends else "")


def contained(assessment: Assessment) -> Containment:
    assert isinstance(assessment.containment, Containment)
    return assessment.containment


def test_what_an_overflow_takes_before_the_rim_goes() -> None:
    """Q = C b h^1.5 with the height from its sill to the lowest place of the rim; rain by 2.5 times its mean."""
    assessment = made(overflow=notch("1 in"), rain=RAIN, tier="quick")
    (out,) = contained(assessment).outs
    low = next(each for each in contained(assessment).lows if each.water == "ponds/pond")
    assert out.room_m.value == pytest.approx(low.top_m.value - 0.0254)
    assert out.carries_m3s.value == pytest.approx(1.7 * 0.3048 * out.room_m.value**1.5, rel=0.25)
    assert out.carries_m3s.low < out.carries_m3s.value < out.carries_m3s.high
    assert not isinstance(assessment.water, NotRun)
    (rain,) = assessment.water.rains
    assert out.peak_m3s is not None
    assert out.peak_m3s.value == pytest.approx(2.5 * rain.inflow_m3s)


def test_an_overflow_over_its_rim_lets_nothing_out() -> None:
    (out,) = contained(made(overflow=notch("8 in"), tier="quick")).outs
    assert out.room_m.value < 0.0
    assert (out.carries_m3s.low, out.carries_m3s.value) == (0.0, 0.0)
    assert out.peak_m3s is None


def test_the_way_of_an_overflow_begins_where_it_lets_go() -> None:
    """Beside its place at the rim; or at the end of its pipe."""
    beside = ways_of(made(overflow=notch("1 in"), tier="quick")).led
    ended = ways_of(made(overflow=notch("1 in", "[10 ft, 3 ft]"), tier="quick")).led
    assert math.dist(beside[0].way[0][:2], (-6 * 0.3048, 0.0)) < 1.0
    assert ended[0].way[0][:2] == pytest.approx((3.048, 3 * 0.3048))
    assert ended[0].towards == "footings/house"
    assert all(a[2] >= b[2] for a, b in pairwise(ended[0].way))


def test_without_a_place_it_is_not_followed() -> None:
    assessment = made(overflow="  overflow: {level: 1 in, width: 12 in}\n", tier="quick")
    assert ways_of(assessment).led == ()
    assert len(contained(assessment).outs) == 1


def test_an_end_without_a_number_is_an_error() -> None:
    with pytest.raises(InputError, match="ends"):
        made(overflow=notch("1 in", "yonder"), tier="quick")
