"""The examples' heights and volumes against sums and closed forms written out here."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from tests.examples.folders import FT, IN, NAMES, worked

COURT_DROPS = (0.12, 0.20, 0.12, 0.22, 0.26, 0.36)
PRESS_DROPS_IN = [4.5, 4.5, 4.5, 4.5, 12.0]


@pytest.mark.parametrize("name", NAMES)
def test_an_example_completes_is_invented_and_says_so(name: str) -> None:
    done = worked(name)
    assert done.feature.scenario
    assert done.document.text.splitlines()[0].startswith("# ")
    assert "INVENTED" in done.document.text.splitlines()[0]
    assert "Invented" in done.feature.note


@pytest.mark.parametrize("name", NAMES)
def test_the_height_is_spent_and_nothing_is_left_over(name: str) -> None:
    for budget in worked(name).shape.budgets:
        assert budget.left_over_m == pytest.approx(0.0, abs=1e-9)


def test_the_court_spends_1300_millimetres() -> None:
    feature = worked("weavers-court").feature
    # Beds 10 + 10 + 0 + 10 + 0 - 10 = 20 mm; falls but the last 120 + 200 + 120 + 220 + 260 = 920 mm; 360 mm are left.
    assert [round(fall.drop_m, 9) for fall in feature.falls] == list(COURT_DROPS)
    assert sum(COURT_DROPS) + 0.020 == pytest.approx(1.300)
    waterline = 10.013 - 0.150
    assert feature.body("basin").waterline.m == pytest.approx(waterline, abs=1e-9)
    # Top of the first stone: the head's 1.300 less a pitch of 10 mm, and 60 mm of stone.
    assert feature.falls[0].crest.m == pytest.approx(waterline + 1.300 - 0.010 + 0.060, abs=1e-9)
    assert len(feature.falls) == 6
    assert len(feature.runs) == 2


def test_what_the_press_leaves_for_its_last_fall() -> None:
    """17 1/2 in from a bed to the held water, a ripple of 4 1/2 in and two pitches of 1/2 in leave 12 in."""
    done = worked("orchard-press")
    waterline_in = -6.5 - 4  # 4 in below the apron
    bed = {reach.id: reach for reach in done.feature.reaches}["b4"]
    assert bed.bed_start.m / IN - waterline_in == pytest.approx(17.5)
    assert [fall.drop_m / IN for fall in done.feature.falls] == pytest.approx(PRESS_DROPS_IN)
    last = {crest.fall: crest for crest in done.water.crests}["last"]
    drop_at_start = done.water.balance.drop_at_start_m.value
    # The stone's 3 in and what the pond falls at start come on top.
    assert last.fall_height_m.value == pytest.approx(15 * IN + drop_at_start, abs=1e-9)


def test_the_press_keeps_its_built_stone() -> None:
    """Planned 22 - 1/2 + 3 = 24 1/2 in above the bolt, built an eighth higher; the others stay as planned."""
    crests = [fall.crest for fall in worked("orchard-press").feature.falls]
    assert crests[0].m == pytest.approx(24.625 * IN)
    assert crests[0].origin == "built"
    # Beds end at 16.5, 11.5, 6.5 and 1.5 in; a stone of 3 in on each.
    assert [crest.m / IN for crest in crests[1:]] == pytest.approx([19.5, 14.5, 9.5, 4.5])


def test_the_clinics_last_fall_takes_what_is_left() -> None:
    feature = worked("clinic-forecourt").feature
    # Head 102.31 ft + 2 in, court 99.48 ft less 8 in: 2.83 ft + 2 in + 8 in = 43.96 in,
    # less three beds of 1/2 in, a slide of 10 in and a stacked fall of 12 in.
    assert feature.falls[-1].drop_m / IN == pytest.approx(2.83 * 12 + 2 + 8 - 1.5 - 22, abs=1e-9)
    assert [fall.kind.value for fall in feature.falls] == ["slide", "stacked", "free"]


def test_the_courts_basin_by_the_areas_of_a_convex_outline_moved_in() -> None:
    """A - P t + t^2 sum(tan(turn / 2)): area of a convex polygon moved in by t (plane geometry)."""
    done = worked("weavers-court")
    corners = done.feature.body("basin").outline
    round_it = [*corners, corners[0]]
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(round_it)) / 2
    edge = sum(math.dist(a, b) for a, b in pairwise(round_it))
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(round_it)]
    turns = [(b - a) % (2 * math.pi) for a, b in pairwise([*headings, headings[0]])]
    assert sum(turns) == pytest.approx(2 * math.pi)  # convex
    corner = sum(math.tan(turn / 2) for turn in turns)
    deep, per = 0.400, 1 / 1.5
    hole = area * deep - edge * per * deep**2 / 2 + corner * per**2 * deep**3 / 3
    assert done.water.pond.area_m2 == pytest.approx(area, rel=1e-9)
    assert done.water.pond.volume_m3 == pytest.approx(0.92 * hole, rel=1e-3)


def test_the_presss_pond_by_steiner() -> None:
    """A - P t + pi t^2 for an oval moved in by less than its least radius b^2 / a = 4 ft (Steiner); P by Ramanujan."""
    a, b = 9.0, 6.0
    edge = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b)))

    def hole(top: float, bottom: float, shelf: float) -> float:
        """Cubic feet between two depths, sides two up to one across, the shelf's width further in."""
        steps = [top + (bottom - top) * (i + 0.5) / 1000 for i in range(1000)]
        inset = [depth / 2 + shelf for depth in steps]
        return sum(math.pi * a * b - edge * t + math.pi * t * t for t in inset) * (bottom - top) / 1000

    whole = hole(0, 10 / 12, 0) + hole(10 / 12, 2, 1)
    done = worked("orchard-press")
    assert done.water.pond.area_m2 == pytest.approx(math.pi * a * b * FT**2, rel=1e-6)
    assert done.water.pond.volume_m3 == pytest.approx(0.9 * whole * FT**3, rel=5e-3)  # the outline has 64 corners


def test_the_clinics_reservoir_is_a_box_with_sloping_sides() -> None:
    """10 by 6 by 2.5 ft, sides four up to one across: the prismoidal formula, 95 % of it water."""
    long, wide, deep = 10.0, 6.0, 2.5
    across = deep / 4
    top, middle = long * wide, (long - across) * (wide - across)
    bottom = (long - 2 * across) * (wide - 2 * across)
    box = deep / 6 * (top + 4 * middle + bottom)
    assert worked("clinic-forecourt").water.pond.volume_m3 == pytest.approx(0.95 * box * FT**3, rel=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_water_rises_to_no_rim(name: str) -> None:
    done = worked(name)
    for body in done.feature.bodies:
        highest = done.water.worst(f"ponds/{body.id}").level_m.high
        assert body.rims
        for rim in body.rims:
            assert rim.finished_m - highest > 2 * IN  # common practice, no source: 2 to 3 in
    for reach in done.feature.reaches:
        bank = min(reach.bed_start.m, reach.bed_end.m) + reach.bank_m
        assert bank - done.water.worst(f"reaches/{reach.id}").level_m.high > 3 * IN  # common practice, no source


def test_the_low_sides_are_built_up() -> None:
    """Finished = ground + berm less a tenth of it, which settles."""
    court = {rim.id: rim for rim in worked("weavers-court").feature.body("basin").rims}
    assert court["south"].finished_m == pytest.approx(9.956 + 0.9 * 0.080, abs=1e-9)
    press = {rim.id: rim for rim in worked("orchard-press").feature.body("pond").rims}
    assert press["low-side"].finished_m / IN == pytest.approx(-13.625 + 0.9 * 9)
