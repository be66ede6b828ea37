"""Water beside an island in a bed: what width it has, how it chokes, what it loses."""

from __future__ import annotations

from itertools import pairwise

import pytest
from msgspec.structs import replace
from tests.shape.sample import body, feature, level, oval, run, stream

from rillwright.feature import XY, Island, Reach
from rillwright.hydraulics import Profile, critical_depth
from rillwright.shape import course_of
from rillwright.water.narrows import open_widths_m
from rillwright.water.places import Place, places
from rillwright.water.reach import Setting, reach_state

FLOW = 0.005  # [m3/s]
SETTING = Setting(crest="value", open_share=1.0, porosity=0.4)


def bed(*, land_m: float | None, slope: float = 1e-3, long_m: float = 8.0) -> Place:
    """A straight bed 0.6 m wide that the water leaves freely, an island 2 m long and so wide in the middle of it."""
    pond = body(oval(6.0, 4.0))
    one = stream(into=pond, drops_m=(), last_m=0.30, reach_m=long_m, width_m=0.6)
    reach = one.reaches[0]
    fall = slope * long_m
    reach = replace(
        reach, pitch_m=fall, bed_start=level(1.0), bed_end=level(1.0 - fall), gravel_m=0.0,
        islands=() if land_m is None else (island(one.path, reach, land_m),),
    )  # fmt: skip
    drawn = replace(one, links=(reach, *one.links[1:]))
    made = feature(bodies=(pond,), streams=(drawn,), runs=(run(outlet_level=level(1.0), wanted_m3s=FLOW),))
    return replace(places(made)[0], crest=None)


def island(path: tuple[XY, ...], reach: Reach, wide_m: float) -> Island:
    (x, y), (ex, ey) = path[0], path[1]
    long = ((ex - x) ** 2 + (ey - y) ** 2) ** 0.5
    along, aside = ((ex - x) / long, (ey - y) / long), (-(ey - y) / long, (ex - x) / long)
    middle = reach.station_m + 0.5 * reach.length_m

    def corner(a: float, s: float) -> XY:
        return (x + (middle + a) * along[0] + s * aside[0], y + (middle + a) * along[1] + s * aside[1])

    half = 0.5 * wide_m
    outline = (corner(-1.0, -half), corner(1.0, -half), corner(1.0, half), corner(-1.0, half))
    return Island(id="rock", of=f"reaches/{reach.id}", outline=outline, top_m=0.3)


def profile(place: Place, flow_m3s: float = FLOW) -> Profile:
    found = reach_state(place, flow_m3s, SETTING).profile
    assert found is not None
    return found


def test_width_beside_an_island() -> None:
    place = bed(land_m=0.2)
    assert place.widths_m == pytest.approx([0.6, 0.6, 0.6, 0.4, 0.4, 0.4, 0.6, 0.6, 0.6])
    assert bed(land_m=None).widths_m == ()


def test_an_island_between_two_stations_is_seen() -> None:
    place = bed(land_m=0.2, long_m=60.0)
    assert min(place.widths_m) == pytest.approx(0.4)


def test_an_island_that_closes_its_bed_leaves_a_little() -> None:
    assert min(bed(land_m=0.8).widths_m) == pytest.approx(0.03)


def test_a_bed_without_islands_asks_for_no_widths() -> None:
    place = bed(land_m=None)
    pond = body(oval(6.0, 4.0))
    one = stream(into=pond, drops_m=(), last_m=0.30, reach_m=8.0)
    assert course_of(one).length_m == pytest.approx(8.0)
    assert open_widths_m(one, place.reach, place.stations_m) == ()


def test_a_narrow_that_chokes_backs_the_water_up() -> None:
    """Least energy, closed form: what comes has at least 1.5 yc of the narrow over the bed there, whatever it loses."""
    free, held = profile(bed(land_m=None)), profile(bed(land_m=0.5))
    needs = 1.5 * critical_depth(FLOW / 0.1)
    at = held.depths_m.index(min(held.depths_m[3:6]))
    assert held.energies_m[3] - held.beds_m[3] >= needs * (1 - 1e-6)
    assert held.levels_m[0] > free.levels_m[0] + 0.03
    assert held.froudes[at] == pytest.approx(1.0, abs=0.3)


def test_energy_falls_through_a_narrow_and_no_flow_is_lost() -> None:
    found = profile(bed(land_m=0.3))
    assert all(above >= below - 1e-9 for above, below in pairwise(found.energies_m))
    assert found.depths_m[4] * found.speeds_ms[4] * 0.3 == pytest.approx(FLOW, rel=1e-6)


def test_the_wider_the_island_the_higher_the_water_above_it() -> None:
    levels = [profile(bed(land_m=wide)).levels_m[0] for wide in (0.05, 0.2, 0.35, 0.5)]
    assert levels == sorted(levels)
    assert levels[-1] > levels[0]
